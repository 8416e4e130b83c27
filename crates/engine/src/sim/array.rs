//! What the panels of an array give, by light and temperature.
//!
//! The curve of the data sheet is worked out once; the inner step of the weather years then asks a
//! surface of fifteen terms that lies within 0.3 % of it.

use super::panel::{NoPanel, mounting, sheet};
use super::surface::Surface;
use crate::calc::cell_temperature::{cell_c, rise_per_light};
use crate::calc::single_diode::{
    Datasheet, Diode, STANDARD, amps_at, best_point, diode_at, diode_of, open_volts,
};
use crate::finding::Assumed;
use crate::model::source::Array;
use crate::tables::Tables;
use crate::tables::sky::Silicon;
use crate::units::show::UnitSystem;
use crate::units::{Temperature, Voltage};

/// An array that can be asked for its power.
#[derive(Clone, Debug, PartialEq)]
pub struct ArrayModel {
    /// Name in the design.
    pub name: String,
    /// Panels in series.
    pub series: f64,
    /// Strings of panels in parallel.
    pub parallel: f64,
    /// What the panel's sheet says, with what was assumed.
    pub sheet: Datasheet,
    /// Curve of one panel at standard test conditions.
    pub diode: Diode,
    /// Whether the curve meets the change of the open volts too.
    pub exact: bool,
    /// Power of one panel by light and cell temperature [W].
    pub panel_w: Surface,
    /// Rise of the cells over the air per light [K m2/W].
    pub rise: f64,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
    silicon: Silicon,
}

impl ArrayModel {
    /// The model of an array, from what its owner says of a panel.
    pub fn of(array: &Array, tables: &Tables, units: UnitSystem) -> Result<Self, NoPanel> {
        let mut assumed = Vec::new();
        let sheet = sheet(array, tables, &mut assumed)?;
        let silicon = tables.sky.silicon;
        let fitted = diode_of(&sheet, &silicon).ok_or_else(|| NoPanel::of(array, &sheet))?;
        let mounting = mounting(array, tables, units, &mut assumed);
        let diode = fitted.diode;
        let panel_w = Surface::fitted(sheet.working_v * sheet.working_a, |light, cell| {
            let best = best_point(&diode_at(&diode, sheet.short_a_per_k, light, cell, &silicon));
            best.volts * best.amps
        });
        Ok(Self {
            name: array.part.name.clone(),
            series: f64::from(array.series),
            parallel: f64::from(array.parallel),
            sheet,
            diode,
            exact: fitted.exact,
            panel_w,
            rise: rise_per_light(&mounting, &tables.sky.heat),
            assumed,
            silicon,
        })
    }

    /// Power of the whole array at standard test conditions [W].
    #[must_use]
    pub fn rated_w(&self) -> f64 {
        self.series * self.parallel * self.sheet.working_v * self.sheet.working_a
    }

    /// Temperature of the cells [C] in air and light on the plane.
    #[must_use]
    #[inline]
    pub fn cell_c(&self, light_w_m2: f64, air_c: f64) -> f64 {
        cell_c(air_c, light_w_m2, self.rise)
    }

    /// Power of the whole array [W] at its best point, in light that reaches the cells and air.
    #[must_use]
    #[inline]
    pub fn power_w(&self, light_w_m2: f64, air_c: f64) -> f64 {
        let cell = self.cell_c(light_w_m2, air_c);
        (self.series * self.parallel * self.panel_w.value(light_w_m2, cell)).max(0.0)
    }

    /// Best point of one panel by its curve, volts and amps: the slow way that the surface stands for.
    #[must_use]
    pub fn panel_best(&self, light_w_m2: f64, cell_c: f64) -> (f64, f64) {
        let best = best_point(&self.curve(light_w_m2, cell_c));
        (best.volts, best.amps)
    }

    /// Volts of the open array with cells at a temperature, by the change its sheet prints.
    #[must_use]
    pub fn voc_at(&self, cell: Temperature) -> Voltage {
        let warmer = cell.as_celsius() - STANDARD.1;
        Voltage::volts(self.series * (self.sheet.open_v + self.sheet.open_v_per_k * warmer))
    }

    /// Volts of the open array by its curve, in full light: they rise less in deep frost than the
    /// straight line of the sheet.
    #[must_use]
    pub fn voc_by_curve(&self, cell: Temperature) -> Voltage {
        let curve = self.curve(STANDARD.0, cell.as_celsius());
        Voltage::volts(self.series * open_volts(&curve))
    }

    /// Working volts of the array in full light with cells at a temperature.
    #[must_use]
    pub fn vmp_at(&self, cell: Temperature) -> Voltage {
        Voltage::volts(self.series * self.panel_best(STANDARD.0, cell.as_celsius()).0)
    }

    /// Amps of the whole array held to volts, as a controller without a converter holds it to the bank.
    #[must_use]
    pub fn amps_at(&self, light_w_m2: f64, cell_c: f64, volts: Voltage) -> f64 {
        let curve = self.curve(light_w_m2, cell_c);
        self.parallel * amps_at(&curve, volts.as_volts() / self.series)
    }

    /// Amps of one string held to volts, by light and cell temperature, for the inner step; times
    /// [`Self::parallel`] they are the array's. Below zero they mean none.
    #[must_use]
    pub fn amps_held_to(&self, volts: Voltage) -> Surface {
        let panel_v = volts.as_volts() / self.series;
        let exact = |light: f64, cell: f64| amps_at(&self.curve(light, cell), panel_v);
        Surface::fitted(self.sheet.short_a, exact)
    }

    fn curve(&self, light_w_m2: f64, cell_c: f64) -> Diode {
        diode_at(&self.diode, self.sheet.short_a_per_k, light_w_m2, cell_c, &self.silicon)
    }
}

#[cfg(test)]
mod tests {
    use super::ArrayModel;
    use crate::model::part::{Part, Spot};
    use crate::model::source::Array;
    use crate::tables::Tables;
    use crate::units::show::UnitSystem;
    use crate::units::{Current, Power, Temperature, Voltage};

    /// An array of panels that say only what a label says.
    fn array(watts: f64, open: f64, working: f64) -> Array {
        Array {
            part: Part { name: "roof".to_owned(), ..Part::default() },
            controller: None,
            series: 2,
            parallel: 3,
            panel: Some(Power::watts(watts)),
            open_volts: Some(Voltage::volts(open)),
            working_volts: Some(Voltage::volts(working)),
            short_amps: Some(Current::amps(watts / working / 0.94)),
            working_amps: Some(Current::amps(watts / working)),
            volts_per_kelvin: Some(-0.0028),
            tilt: None,
            facing: None,
            noct: None,
            amps_per_kelvin: None,
            air_behind: None,

            shade: None,
            dirt: None,
            mass: None,
            spot: Spot::default(),
        }
    }

    fn model(array: &Array) -> ArrayModel {
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        ArrayModel::of(array, &tables, UnitSystem::Metric).expect("a panel")
    }

    #[test]
    fn the_surface_lies_within_three_thousandths_of_the_curve() {
        for (watts, open, working) in
            [(200.0, 24.3, 20.4), (410.0, 37.5, 31.4), (100.0, 21.6, 17.2)]
        {
            let model = model(&array(watts, open, working));
            let mut worst: f64 = 0.0;
            for light in (50..=1100).step_by(35) {
                for cell in (-20..=75).step_by(5) {
                    let (light, cell) = (f64::from(light), f64::from(cell));
                    let (volts, amps) = model.panel_best(light, cell);
                    let apart = model.panel_w.value(light, cell) - volts * amps;
                    worst = worst.max(apart.abs() / watts);
                }
            }
            // The promise of this file; the corners of the band lie outside the points of the check.
            assert!(worst < 0.003, "{watts} W: {worst} of the rated power");
            let stated = model.panel_w.residual;
            assert!(stated <= worst * 1.05 && 0.0 < stated, "{stated} stated, {worst} found");
        }
    }

    #[test]
    fn full_light_at_25_c_gives_the_label() {
        let model = model(&array(200.0, 24.3, 20.4));
        assert!((model.rated_w() - 1200.0).abs() < 1e-9, "six panels: {}", model.rated_w());
        let air = 25.0 - model.rise * 1000.0;
        let power = model.power_w(1000.0, air);
        // 0.3 % is the promise of the surface.
        assert!((power / 1200.0 - 1.0).abs() < 0.003, "{power} W");
        assert!(model.power_w(0.0, 10.0).abs() < 1e-12, "no light, no power");
    }

    #[test]
    fn frost_lifts_the_volts_and_heat_lowers_them() {
        let model = model(&array(410.0, 41.6, 34.5));
        let at = |celsius| model.voc_at(Temperature::celsius(celsius)).as_volts();
        // Hand worked: 2 * 41.6 * (1 + 0.0028 * 60) = 97.18 V at -35 C.
        assert!((at(-35.0) - 97.1776).abs() < 1e-3, "{} V at -35 C", at(-35.0));
        let curve = model.voc_by_curve(Temperature::celsius(0.0)).as_volts();
        // The curve bends: within 1 % of the straight line at 0 C.
        assert!((curve / at(0.0) - 1.0).abs() < 0.01, "{curve} V by the curve, {} V", at(0.0));
        let hot = model.vmp_at(Temperature::celsius(70.0)).as_volts();
        assert!(hot < 2.0 * 34.5 * 0.93, "working volts at 70 C: {hot}");
    }

    #[test]
    fn a_bank_holds_a_high_panel_down() {
        let model = model(&array(200.0, 24.3, 20.4));
        let held = Voltage::volts(28.8);
        let amps = model.amps_at(1000.0, 45.0, held);
        let surface = model.amps_held_to(held);
        let by_surface = model.parallel * surface.value(1000.0, 45.0);
        assert!((amps / by_surface - 1.0).abs() < 0.005, "{amps} A and {by_surface} A");
        // Hand worked: 14.4 V of about 18.7 V at 45 C, at 7 % more amps, is 0.82 of the power.
        let part = amps * 28.8 / (6.0 * model.panel_w.value(1000.0, 45.0));
        assert!((0.79..0.85).contains(&part), "held to the bank it gives {part} of its power");
    }

    #[test]
    fn what_the_label_leaves_out_is_assumed_and_listed() {
        let bare = Array {
            open_volts: None,
            short_amps: None,
            working_amps: None,
            volts_per_kelvin: None,
            ..array(100.0, 0.0, 18.0)
        };
        let model = model(&bare);
        assert!((model.rated_w() - 600.0).abs() < 1e-9, "watts over volts: {}", model.rated_w());
        let paths: Vec<&str> = model.assumed.iter().map(|a| a.path.as_str()).collect();
        for key in [
            "open_volts",
            "short_amps",
            "volts_per_kelvin",
            "amps_per_kelvin",
            "noct",
            "air_behind",
        ] {
            assert!(paths.contains(&format!("array.roof.{key}").as_str()), "{key} in {paths:?}");
        }
        let none = Array { working_volts: None, open_volts: None, ..bare };
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let says = ArrayModel::of(&none, &tables, UnitSystem::Metric).expect_err("watts alone");
        assert_eq!(says.path, "array.roof.working_volts", "{}", says.says);
    }
}
