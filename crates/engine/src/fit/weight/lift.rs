//! What is too heavy for one pair of hands, and what the floor under the box is asked.

use crate::calc::floor_load::floor_load_kg_m2;
use crate::cite::Cite;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Length, Mass};

/// Something to lift.
#[derive(Clone, Debug, PartialEq)]
pub struct Lift {
    /// What it is.
    pub what: String,
    /// Where the owner writes its mass.
    pub path: String,
    /// Its mass; `None` when nobody said: weigh one first.
    pub mass: Option<Mass>,
    /// More than one person may lift.
    pub heavy: bool,
    /// Lifted over a rail, a sill or a side.
    pub over_rail: bool,
    /// The most one person lifts.
    pub most: Mass,
    /// Where that limit comes from.
    pub cite: Cite,
}

impl Lift {
    /// Two people, or a plank and a strap.
    #[must_use]
    pub const fn needs_help(&self) -> bool {
        self.heavy || self.over_rail
    }
}

/// The blocks of the bank, each model once.
pub(super) fn lifts(study: &Study, tables: &Tables) -> Vec<Lift> {
    let limit = tables.limits.value("lift-one-person-max");
    let most = Mass::kg(limit.value);
    let over_rail = study.design.enclosure.as_ref().and_then(|e| e.over_rail) == Some(true);
    let mut lifts: Vec<Lift> = Vec::new();
    for block in &study.facts.blocks {
        if lifts.iter().any(|l| l.what == block.model) {
            continue;
        }
        let mass = study.design.block_model(&block.model).and_then(|m| m.mass);
        lifts.push(Lift {
            what: block.model.clone(),
            path: format!("block.{}.mass", block.model),
            mass,
            heavy: mass.is_some_and(|m| m > most),
            over_rail,
            most,
            cite: limit.cite.clone(),
        });
    }
    lifts
}

/// Mass per area under the box; `None` where its base or a mass is not known.
pub(super) fn floor(study: &Study, tables: &Tables) -> Option<f64> {
    let enclosure = study.design.enclosure.as_ref()?;
    let wall = enclosure.wall.unwrap_or(Length::ZERO) * 2.0;
    let (length, width) = (enclosure.length? + wall, enclosure.width? + wall);
    let mut all = enclosure.mass?;
    for block in &study.facts.blocks {
        let model = study.design.block_model(&block.model)?;
        let usual =
            || tables.battery.case_mass(model.case.as_deref()?).map(|c| (c.low + c.high) / 2.0);
        all = all + model.mass.or_else(usual)?;
    }
    (length.as_mm() > 0.0 && width.as_mm() > 0.0).then(|| floor_load_kg_m2(all, length, width))
}
