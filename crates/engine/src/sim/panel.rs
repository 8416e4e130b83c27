//! What an owner says of a panel, and what is assumed where the label or the sheet is not to hand.

use super::sun::{BEARINGS, PlaneSetting};
use crate::calc::cell_temperature::Mounting;
use crate::calc::single_diode::Datasheet;
use crate::finding::Assumed;
use crate::model::source::Array;
use crate::tables::Tables;
use crate::units::show::{UnitSystem, decimal, length, temperature};
use crate::units::{Angle, Current, Length, Power, Temperature, Voltage};

/// Why an array has no model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoPanel {
    /// Path in the design file.
    pub path: String,
    /// What is missing or cannot be, in a sentence.
    pub says: String,
}

impl NoPanel {
    /// The four figures contradict each other.
    pub(super) fn of(array: &Array, sheet: &Datasheet) -> Self {
        let [open, short, volts, amps] =
            [sheet.open_v, sheet.short_a, sheet.working_v, sheet.working_a]
                .map(|figure| decimal(figure, 1));
        Self {
            path: format!("array.{}.working_volts", array.part.name),
            says: format!(
                "{open} V open, {short} A short, {volts} V and {amps} A working cannot be one panel: \
                 it works at 50 to 100 % of its open volts and of its short-circuit amps."
            ),
        }
    }

    fn missing(array: &Array) -> Self {
        Self {
            path: format!("array.{}.working_volts", array.part.name),
            says: "The panel's label is needed: its watts and its working volts at least."
                .to_owned(),
        }
    }
}

/// Where assumptions are noted.
struct Notes<'a> {
    array: &'a Array,
    tables: &'a Tables,
    assumed: &'a mut Vec<Assumed>,
}

/// How an assumption is told.
struct Words<'a> {
    key: &'a str,
    id: &'a str,
    how_to_measure: &'a str,
    matters: &'a str,
}

impl Notes<'_> {
    /// The usual figure, noted with the value it leads to.
    fn usual(&mut self, words: &Words<'_>, value: impl Fn(f64) -> String) -> f64 {
        let usual = self.tables.limits.value(words.id);
        self.assumed.push(Assumed {
            path: format!("array.{}.{}", self.array.part.name, words.key),
            value: value(usual.value),
            how_to_measure: words.how_to_measure.to_owned(),
            matters: words.matters.to_owned(),
            cite: usual.cite,
        });
        usual.value
    }

    /// The missing one of a pair on the label: the other times or over the usual ratio.
    fn paired(&mut self, key: &str, other: f64, up: bool) -> f64 {
        let volts = key.ends_with("volts");
        let id = if volts { "panel-working-volts-share" } else { "panel-working-amps-share" };
        let unit = if volts { "V" } else { "A" };
        let from = |ratio: f64| if up { other / ratio } else { other * ratio };
        let words = Words {
            key,
            id,
            how_to_measure: "read it on the label behind the panel",
            matters: "a few percent of the power, and the volts the controller must bear",
        };
        let ratio = self.usual(&words, |ratio| format!("{} {unit}", decimal(from(ratio), 1)));
        from(ratio)
    }
}

/// The data sheet of a panel: printed figures first, then power over the other one, then usual ratios.
pub(super) fn sheet(
    array: &Array,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> Result<Datasheet, NoPanel> {
    let mut notes = Notes { array, tables, assumed };
    let watts = array.panel.map(Power::as_watts);
    let open_v = array.open_volts.map(Voltage::as_volts);
    let short_a = array.short_amps.map(Current::as_amps);
    let over = |other: Option<f64>| Some(watts? / other?);
    let said_v = array.working_volts.map(Voltage::as_volts);
    let said_a = array.working_amps.map(Current::as_amps);
    let working_v = said_v
        .or_else(|| over(said_a))
        .or_else(|| open_v.map(|open| notes.paired("working_volts", open, false)));
    let working_a = said_a
        .or_else(|| over(working_v))
        .or_else(|| short_a.map(|short| notes.paired("working_amps", short, false)));
    let working_v = working_v.or_else(|| over(working_a)).ok_or_else(|| NoPanel::missing(array))?;
    let working_a = working_a.ok_or_else(|| NoPanel::missing(array))?;
    let open_v = open_v.unwrap_or_else(|| notes.paired("open_volts", working_v, true));
    let short_a = short_a.unwrap_or_else(|| notes.paired("short_amps", working_a, true));
    let per_kelvin = |share: f64| format!("{} % per kelvin", decimal(share * 100.0, 3));
    let open_share = array.volts_per_kelvin.unwrap_or_else(|| {
        let words = Words {
            key: "volts_per_kelvin",
            id: "panel-volts-per-kelvin",
            how_to_measure: "read it on the panel's data sheet: temperature coefficient of Voc",
            matters: "the volts on a frosty morning, and 2 to 4 % of the power on a hot roof",
        };
        notes.usual(&words, per_kelvin)
    });
    let short_share = array.amps_per_kelvin.unwrap_or_else(|| {
        let words = Words {
            key: "amps_per_kelvin",
            id: "panel-current-per-kelvin",
            how_to_measure: "read it on the panel's data sheet: temperature coefficient of Isc",
            matters: "under 1 % of the power",
        };
        notes.usual(&words, per_kelvin)
    });
    Ok(Datasheet {
        open_v,
        short_a,
        working_v,
        working_a,
        open_v_per_k: open_share * open_v,
        short_a_per_k: short_share * short_a,
    })
}

/// How hot a panel gets where it sits.
pub(super) fn mounting(
    array: &Array,
    tables: &Tables,
    units: UnitSystem,
    assumed: &mut Vec<Assumed>,
) -> Mounting {
    let mut notes = Notes { array, tables, assumed };
    let noct_c = array.noct.map(Temperature::as_celsius).unwrap_or_else(|| {
        let words = Words {
            key: "noct",
            id: "panel-noct",
            how_to_measure: "read it on the panel's data sheet: NOCT, rated cell temperature",
            matters: "2 K more cost under 1 % of the power in full sun",
        };
        notes.usual(&words, |c| {
            let wind = decimal(tables.limits.value("panel-wind").value, 1);
            let part = tables.limits.value("panel-efficiency").value * 100.0;
            format!(
                "{} in a wind of {wind} m/s, with {} % of the light leaving as power",
                temperature(Temperature::celsius(c), units),
                decimal(part, 0)
            )
        })
    });
    let air_behind_in = array.air_behind.map(Length::as_inches).unwrap_or_else(|| {
        let words = Words {
            key: "air_behind",
            id: "panel-air-behind",
            how_to_measure: "measure from the roof to the back of the panel; 0 where it is glued down",
            matters: "a panel close to a roof runs 6 to 18 K hotter, which costs 2 to 7 % in full sun",
        };
        notes.usual(&words, |inches| length(Length::inches(inches), units))
    });
    let efficiency = tables.limits.value("panel-efficiency").value;
    let wind_m_s = tables.limits.value("panel-wind").value;
    Mounting { noct_c, efficiency, air_behind_in, wind_m_s }
}

/// Where an array stands, by what its place knows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Latitude, north positive [deg].
    pub latitude_deg: f64,
    /// Heights of the horizon, north first, every 30 degrees east [deg].
    pub horizon_deg: [f64; BEARINGS],
}

/// How the plane of an array stands in the light.
#[must_use]
pub fn plane_setting(
    array: &Array,
    at: &Standing,
    tables: &Tables,
    assumed: &mut Vec<Assumed>,
) -> PlaneSetting {
    let mut notes = Notes { array, tables, assumed };
    let tilt_deg = array.tilt.map(Angle::as_degrees).unwrap_or_else(|| {
        let words = Words {
            key: "tilt",
            id: "panel-tilt",
            how_to_measure: "lay a phone with a level on the panel",
            matters: "nothing in June; in December a tilted panel gives half as much again",
        };
        notes.usual(&words, |tilt| format!("{} deg from flat", decimal(tilt, 0)))
    });
    let south = at.latitude_deg < 0.0;
    let facing_deg = match array.facing {
        Some(facing) => facing.as_degrees(),
        // A flat panel faces nowhere, so nothing is assumed of it.
        None if tilt_deg < 1.0 => 0.0,
        None => {
            let words = Words {
                key: "facing",
                id: "panel-facing",
                how_to_measure: "read a compass away from steel, along the fall of the panel",
                matters: "a tilted panel that looks away from noon gives a third less or worse",
            };
            let turned = |facing: f64| if south { facing - 180.0 } else { facing };
            turned(notes.usual(&words, |facing| format!("{} deg", decimal(turned(facing), 0))))
        }
    };
    let shade = array.shade.unwrap_or_else(|| {
        let words = Words {
            key: "shade",
            id: "panel-shade",
            how_to_measure: "look from the panel: the part of the sun's path behind trees and gear",
            matters: "what is shaded is lost, and a mast over one row of cells costs a third",
        };
        notes.usual(&words, |share| format!("{} %", decimal(share * 100.0, 0)))
    });
    let dirt = array.dirt.unwrap_or_else(|| {
        let words = Words {
            key: "dirt",
            id: "panel-soiling",
            how_to_measure: "amps at noon before and after washing the panel",
            matters: "1 % when washed, 10 % under trees or on dusty roads",
        };
        notes.usual(&words, |share| format!("{} %", decimal(share * 100.0, 0)))
    });
    PlaneSetting { tilt_deg, facing_deg, horizon_deg: at.horizon_deg, shade, dirt }
}

#[cfg(test)]
mod tests {
    use super::{Standing, plane_setting};
    use crate::model::part::{Part, Spot};
    use crate::model::source::Array;
    use crate::tables::Tables;
    use crate::units::Angle;

    fn check(tilt: Option<f64>, latitude_deg: f64, facing: f64, notes: &[&str]) {
        let array = Array {
            part: Part { name: "roof".to_owned(), ..Part::default() },
            controller: None,
            series: 1,
            parallel: 1,
            panel: None,
            open_volts: None,
            working_volts: None,
            short_amps: None,
            working_amps: None,
            volts_per_kelvin: None,
            tilt: tilt.map(Angle::degrees),
            facing: None,
            shade: None,
            dirt: Some(0.05),
            mass: None,
            spot: Spot::default(),
            amps_per_kelvin: None,
            noct: None,
            air_behind: None,
        };
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let at = Standing { latitude_deg, horizon_deg: [0.0; 12] };
        let mut assumed = Vec::new();
        let setting = plane_setting(&array, &at, &tables, &mut assumed);
        assert!(
            (setting.facing_deg - facing).abs() < 1e-9,
            "{tilt:?} at {latitude_deg}: {setting:?}"
        );
        assert!((setting.dirt - 0.05).abs() < 1e-12, "the owner's word counts");
        let paths: Vec<String> = assumed.into_iter().map(|a| a.path).collect();
        let want: Vec<String> = notes.iter().map(|key| format!("array.roof.{key}")).collect();
        assert_eq!(paths, want, "what is assumed of {tilt:?}");
    }

    #[test]
    fn a_tilted_panel_is_taken_to_look_at_noon() {
        check(None, 45.0, 0.0, &["tilt", "shade"]);
        check(Some(0.0), 45.0, 0.0, &["shade"]);
        check(Some(30.0), 45.0, 180.0, &["facing", "shade"]);
        check(Some(30.0), -41.0, 0.0, &["facing", "shade"]);
    }
}
