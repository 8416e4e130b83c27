//! What one practice setting asks of the leads, with the sizes it may choose from.

use crate::cite::Cite;
use crate::facts::device::nominal_volts;
use crate::model::design::Design;
use crate::model::rig::Practice;
use crate::tables::Tables;
use crate::tables::ampacity::{AmpacityTable, Surroundings};
use crate::tables::error::TableError;
use crate::tables::practice::{PracticeSettings, Rounding};
use crate::units::conductor::{ConductorSize, Gauge, MetricSize};

/// A size on sale and its copper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) size: ConductorSize,
    pub(super) area_mm2: f64,
}

/// How far a fuse may stand over the ampacity of what it guards.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ceiling {
    /// Share of the ampacity.
    pub(super) share: f64,
    /// The next stock size above that share may be taken.
    pub(super) next_size_up: bool,
    pub(super) cite: Cite,
}

/// The rules in force.
pub(super) struct Rules<'a> {
    pub(super) settings: &'a PracticeSettings,
    /// Sizes the practice allows, least copper first; never empty.
    pub(super) sizes: Vec<Candidate>,
    pub(super) nominal_v: f64,
    pub(super) ceiling: Ceiling,
}

impl<'a> Rules<'a> {
    /// # Errors
    /// When the practice table lacks the setting or its family has no sizes.
    pub(super) fn of(
        design: &Design,
        tables: &'a Tables,
        practice: Practice,
    ) -> Result<Self, TableError> {
        let word = practice.word();
        let settings = tables.practices.of(word).ok_or_else(|| TableError::no_practice(word))?;
        let sizes = sizes(tables, settings);
        if sizes.is_empty() {
            return Err(TableError::no_practice(word));
        }
        let nominal_v = nominal_volts(design).map_or(12.0, |v| v.as_volts());
        let ceiling = ceiling(tables, settings, nominal_v);
        Ok(Self { settings, sizes, nominal_v, ceiling })
    }

    pub(super) fn table(&self) -> AmpacityTable {
        self.settings.ampacity_table.value
    }

    /// The number of the smallest size with at least this much copper; the largest when none has.
    pub(super) fn not_below(&self, area_mm2: f64) -> usize {
        let last = self.sizes.len() - 1;
        // Half a per cent lets a size equal itself whatever its last digit.
        self.sizes.iter().position(|c| area_mm2 <= c.area_mm2 * 1.005).unwrap_or(last)
    }
}

/// The family's sizes from the smallest that the practice allows.
fn sizes(tables: &Tables, settings: &PracticeSettings) -> Vec<Candidate> {
    let least = SmallestSize::from_text(&settings.size_min.value);
    let mut all: Vec<Candidate> = tables
        .conductor
        .sizes(settings.conductor_family.value)
        .into_iter()
        .filter(|size| least.is_none_or(|l| l.allows(*size)))
        // A size that the practice's table has no current for cannot be said to hold.
        .filter(|size| {
            let (table, class) = (settings.ampacity_table.value, settings.insulation.value);
            tables.ampacity(table, *size, class, &Surroundings::alone_at_30c()).is_some()
        })
        .filter_map(|size| {
            let area = tables.conductor.area(size)?;
            Some(Candidate { size, area_mm2: area.value.as_mm2() })
        })
        .collect();
    all.sort_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2));
    all
}

/// The smallest conductor as the practice table writes it: a gauge or square millimetres.
#[derive(Clone, Copy)]
enum SmallestSize {
    Gauge(Gauge),
    Metric(MetricSize),
}

impl SmallestSize {
    fn from_text(text: &str) -> Option<Self> {
        let (number, unit) = text.rsplit_once(' ')?;
        match unit {
            "AWG" => Gauge::from_text(number).map(Self::Gauge),
            _ => number.parse().ok().and_then(MetricSize::mm2).map(Self::Metric),
        }
    }

    fn allows(self, size: ConductorSize) -> bool {
        match (self, size) {
            // A smaller gauge number is a thicker conductor.
            (Self::Gauge(least), ConductorSize::Awg(g) | ConductorSize::Boat(g)) => g <= least,
            (Self::Metric(least), ConductorSize::Metric(m)) => least <= m,
            _ => true,
        }
    }
}

/// The practice's ceiling. From 50 V on the boat law and what follows it take the ampacity itself,
/// with the next stock size up.
fn ceiling(tables: &Tables, settings: &PracticeSettings, nominal_v: f64) -> Ceiling {
    let share = settings.fuse_ceiling_percent.value / 100.0;
    let cite = settings.fuse_ceiling_percent.cite.clone();
    let from = tables.limits.value("fuse-ampacity-high-voltage");
    if from.value <= nominal_v && 1.0 < share {
        return Ceiling { share: 1.0, next_size_up: true, cite: from.cite };
    }
    let next_size_up = settings.fuse_rounding.value == Rounding::UpOneSize;
    Ceiling { share, next_size_up, cite }
}

#[cfg(test)]
mod tests {
    use super::sizes;
    use crate::tables::Tables;
    use crate::tables::ampacity::Surroundings;

    #[test]
    fn every_size_on_offer_has_a_current() {
        let tables = Tables::load().expect("the data files are sound");
        for settings in tables.practices.all() {
            let offered = sizes(&tables, settings);
            assert!(8 < offered.len(), "{} offers {} sizes", settings.word, offered.len());
            for c in offered {
                let (table, class) = (settings.ampacity_table.value, settings.insulation.value);
                let amps = tables.ampacity(table, c.size, class, &Surroundings::alone_at_30c());
                assert!(amps.is_some(), "{}: {} has no current", settings.word, c.size);
            }
        }
    }
}
