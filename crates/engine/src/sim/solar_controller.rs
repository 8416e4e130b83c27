//! A solar controller: what of an array's power leaves it.

use crate::finding::Assumed;
use crate::model::device::Device;
use crate::tables::Tables;
use crate::units::show;

/// A solar controller's law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolarController {
    /// It converts volts (MPPT); otherwise it only switches (PWM). `None` where that is not known.
    pub converts: Option<bool>,
    /// Most amps at its output [A].
    pub most_a: f64,
    /// Output over input [1].
    pub efficiency: f64,
    /// What it takes for itself, day and night [W].
    pub own_w: f64,
    /// Most volts at its input [V].
    pub input_max_v: Option<f64>,
}

/// An array at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArrayNow {
    /// Power at its working point, after wiring [W].
    pub watts: f64,
    /// Volts at its working point [V].
    pub volts: f64,
}

/// What leaves a controller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Output {
    /// Power at its output, own draw not taken off [W].
    pub watts: f64,
    /// Power of the array that is lost: clipped, out of its window, or thrown away by a PWM [W].
    pub unused_w: f64,
}

impl SolarController {
    /// The law of a controller.
    #[must_use]
    pub fn of(tables: &Tables, device: &Device, assumed: &mut Vec<Assumed>) -> Self {
        let name = &device.part.name;
        let mut usual = |key: &str, stated: Option<f64>, limit: &str, unit: (f64, &str)| {
            stated.unwrap_or_else(|| {
                let row = tables.limits.value(limit);
                assumed.push(Assumed {
                    path: format!("device.{name}.{key}"),
                    value: format!("{} {}", show::decimal(row.value * unit.0, 1), unit.1),
                    how_to_measure: "its own sheet".to_owned(),
                    matters: "a few per cent of the sun's amps".to_owned(),
                    cite: row.cite,
                });
                row.value
            })
        };
        let converts = device.mppt;
        let efficiency = if converts == Some(false) {
            // A switch loses next to nothing of the amps.
            1.0
        } else {
            usual("efficiency", device.efficiency, "mppt-efficiency", (100.0, "%"))
        };
        let own_w =
            usual("idle", device.idle.map(|p| p.as_watts()), "controller-own-draw", (1.0, "W"));
        Self {
            converts,
            most_a: device.rating.map_or(f64::MAX, |a| a.as_amps()),
            efficiency,
            own_w,
            input_max_v: device.input_max.map(|v| v.as_volts()),
        }
    }

    /// What leaves it while the bank stands at so many volts.
    ///
    /// # Formula
    /// MPPT: P = min(e Pa, Imax V) while Va > V, else 0; PWM: P = min(Pa / Va, Imax) V while Va > V,
    /// else 0
    /// # Symbols
    /// - `array`: Pa, power of the array at its working point [W]; Va, volts there [V]
    /// - `bank_v`: V, volts at its output [V]
    /// - e, efficiency [1]; Imax, its rating [A]
    /// - returns P and the rest of Pa [W]
    /// # Valid
    /// PWM holds the array at the bank's volts and passes its working amps, a little less than the
    /// true amps at lower volts. A controller of which it is not known is taken for PWM.
    /// # Source
    /// physics, power in and out; controller-pwm-pages for what a PWM throws away, read
    /// # Checked by
    /// `a_plain_controller_throws_volts_away`
    #[must_use]
    pub fn output(&self, array: ArrayNow, bank_v: f64) -> Output {
        let in_window = bank_v < array.volts;
        let watts = if !in_window || array.watts <= 0.0 {
            0.0
        } else if self.converts == Some(true) {
            (self.efficiency * array.watts).min(self.most_a * bank_v)
        } else {
            (array.watts / array.volts).min(self.most_a) * bank_v
        };
        Output { watts, unused_w: (array.watts - watts).max(0.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::{ArrayNow, SolarController};

    fn controller(converts: bool) -> SolarController {
        SolarController {
            converts: Some(converts),
            most_a: 20.0,
            efficiency: 0.96,
            own_w: 1.0,
            input_max_v: Some(50.0),
        }
    }

    #[test]
    fn a_plain_controller_throws_volts_away() {
        // Controller pages (read): a 120 W panel of 17 V gives 84 W on a 12 V bank: 7.06 A at 11.9 V.
        let panel = ArrayNow { watts: 120.0, volts: 17.0 };
        let out = controller(false).output(panel, 11.9);
        assert!((out.watts - 84.0).abs() < 0.1, "{out:?}");
        assert!(
            (out.watts + out.unused_w - 120.0).abs() < 1e-9,
            "nothing is lost from the account"
        );
        let out = controller(true).output(panel, 11.9);
        assert!((out.watts - 0.96 * 120.0).abs() < 1e-9, "a converting one keeps it: {out:?}");
    }

    #[test]
    fn it_clips_and_it_has_a_window() {
        let big = ArrayNow { watts: 400.0, volts: 34.0 };
        // Hand worked: 20 A at 13 V are 260 W.
        assert!((controller(true).output(big, 13.0).watts - 260.0).abs() < 1e-9, "clipped");
        let hot = ArrayNow { watts: 100.0, volts: 13.0 };
        assert!(controller(true).output(hot, 14.4).watts.abs() < 1e-12, "under the bank's volts");
    }
}
