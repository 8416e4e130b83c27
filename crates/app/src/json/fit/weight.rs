//! The weight on ball and axles as JSON.

use crate::rig::Rig;
use engine::fit::weight::confirm::Confirm;
use engine::fit::weight::lift::Lift;
use engine::fit::weight::masses::Moved;
use engine::fit::weight::{AxleLoad, StageWeight, Weight};
use engine::units::Mass;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct WeightJson {
    before: StateJson,
    after: StateJson,
    /// Ahead of the axle; null where no place passes or nothing can be said.
    band_mm: Option<[f64; 2]>,
    band: Option<BandJson>,
    stages: Vec<StateJson>,
    moved: Vec<MovedJson>,
    ball_plates: Vec<PlateJson>,
    payload_plate_kg: Option<f64>,
    confirm: Option<ConfirmJson>,
    floor_kg_m2: Option<f64>,
    lifts: Vec<LiftJson>,
    unknown: Vec<UnknownJson>,
}

#[derive(Debug, Serialize)]
struct StateJson {
    stage: String,
    ball_kg: Option<f64>,
    ball_error_kg: f64,
    ball_plate_kg: Option<f64>,
    axles: Vec<AxleJson>,
    gross_kg: Option<f64>,
    plate_kg: Option<f64>,
    ball_percent: Option<f64>,
    payload_kg: Option<f64>,
    added_kg: f64,
    list_kgm: Option<f64>,
    trim_kgm: Option<f64>,
    heel_deg: Option<f64>,
}

#[derive(Debug, Serialize)]
struct AxleJson {
    id: String,
    kg: Option<f64>,
    plate_kg: Option<f64>,
}

#[derive(Debug, Serialize)]
struct BandJson {
    ahead_of_axle_mm: [f64; 2],
    behind_ball_mm: [f64; 2],
    exists: bool,
    nearer_axle_stopped_by: &'static str,
    nearer_ball_stopped_by: &'static str,
    box_ahead_of_axle_mm: f64,
    box_mass_kg: f64,
    holds_box: bool,
}

#[derive(Debug, Serialize)]
struct MovedJson {
    stage: String,
    what: String,
    kg: Option<f64>,
    behind_ball_mm: Option<f64>,
    behind_front_axle_mm: Option<f64>,
    off_centre_mm: Option<f64>,
    ahead_of_middle_mm: Option<f64>,
    status: &'static str,
}

#[derive(Debug, Serialize)]
struct PlateJson {
    what: &'static str,
    path: &'static str,
    kg: Option<f64>,
}

#[derive(Debug, Serialize)]
struct ConfirmJson {
    ball_kg: [f64; 3],
    needs_beam: bool,
    bar_to_ball_mm: f64,
    ball_to_scale_mm: f64,
    scale_under_beam_kg: [f64; 3],
    factor: f64,
}

#[derive(Debug, Serialize)]
struct LiftJson {
    what: String,
    kg: Option<f64>,
    most_kg: f64,
    over_rail: bool,
    needs_help: bool,
}

#[derive(Debug, Serialize)]
struct UnknownJson {
    path: String,
    what: String,
    find: &'static str,
    whole: bool,
}

pub(super) fn kg(mass: Option<Mass>) -> Option<f64> {
    mass.map(|m| m.as_kg())
}

fn kgs(masses: [Mass; 3]) -> [f64; 3] {
    masses.map(|m| m.as_kg())
}

impl WeightJson {
    pub(super) fn of(rig: &Rig, weight: &Weight) -> Self {
        let state = |s: &StageWeight| StateJson::of(weight, s);
        let band = weight.band.as_ref();
        let ends = |b: &engine::fit::weight::band::Band| [b.from.as_mm(), b.to.as_mm()];
        Self {
            before: state(weight.before()),
            after: state(weight.after()),
            band_mm: band.filter(|b| b.exists()).map(ends),
            band: band.map(|b| BandJson {
                ahead_of_axle_mm: ends(b),
                behind_ball_mm: [b.to, b.from].map(|end| (b.ball_to_axle - end).as_mm()),
                exists: b.exists(),
                nearer_axle_stopped_by: b.from_by,
                nearer_ball_stopped_by: b.to_by,
                box_ahead_of_axle_mm: b.at.as_mm(),
                box_mass_kg: b.mass.as_kg(),
                holds_box: b.holds_box(),
            }),
            stages: weight.states.iter().map(state).collect(),
            moved: weight.moved.iter().map(|m| MovedJson::of(rig, m)).collect(),
            ball_plates: weight
                .ball_plates
                .iter()
                .map(|p| PlateJson { what: p.what, path: p.path, kg: kg(p.max) })
                .collect(),
            payload_plate_kg: kg(weight.payload_plate.max),
            confirm: weight.confirm.as_ref().map(ConfirmJson::of),
            floor_kg_m2: weight.floor_kg_m2,
            lifts: weight.lifts.iter().map(LiftJson::of).collect(),
            unknown: weight
                .unknown
                .iter()
                .map(|u| UnknownJson {
                    path: u.path.clone(),
                    what: u.what.clone(),
                    find: u.find,
                    whole: u.whole,
                })
                .collect(),
        }
    }
}

impl StateJson {
    fn of(weight: &Weight, state: &StageWeight) -> Self {
        Self {
            stage: state.stage.clone(),
            ball_kg: kg(state.ball),
            ball_error_kg: state.ball_error.as_kg(),
            ball_plate_kg: weight.ball_plate().map(|(_, max)| max.as_kg()),
            axles: state.axles.iter().map(AxleJson::of).collect(),
            gross_kg: kg(state.gross),
            plate_kg: kg(weight.gross_plate.max),
            ball_percent: state.ball_percent(),
            payload_kg: kg(state.payload),
            added_kg: state.added.as_kg(),
            list_kgm: state.list_kg_m,
            trim_kgm: state.trim_kg_m,
            heel_deg: state.heel.map(|h| h.as_degrees()),
        }
    }
}

impl AxleJson {
    fn of(axle: &AxleLoad) -> Self {
        Self { id: axle.id.clone(), kg: kg(axle.load), plate_kg: kg(axle.plate) }
    }
}

impl MovedJson {
    fn of(rig: &Rig, moved: &Moved) -> Self {
        let stage = rig.design.stages.get(moved.stage);
        Self {
            stage: stage.map_or_else(String::new, |s| s.name.clone()),
            what: moved.what.clone(),
            kg: kg(moved.mass),
            behind_ball_mm: moved.spot.behind_ball.map(|l| l.as_mm()),
            behind_front_axle_mm: moved.spot.behind_front_axle.map(|l| l.as_mm()),
            off_centre_mm: moved.spot.off_centre.map(|l| l.as_mm()),
            ahead_of_middle_mm: moved.spot.ahead_of_middle.map(|l| l.as_mm()),
            status: moved.cite.status.word(),
        }
    }
}

impl ConfirmJson {
    fn of(confirm: &Confirm) -> Self {
        Self {
            ball_kg: kgs(confirm.ball),
            needs_beam: confirm.needs_beam(),
            bar_to_ball_mm: confirm.bar_to_ball.as_mm(),
            ball_to_scale_mm: confirm.ball_to_scale.as_mm(),
            scale_under_beam_kg: kgs(confirm.beam),
            factor: confirm.factor,
        }
    }
}

impl LiftJson {
    fn of(lift: &Lift) -> Self {
        Self {
            what: lift.what.clone(),
            kg: kg(lift.mass),
            most_kg: lift.most.as_kg(),
            over_rail: lift.over_rail,
            needs_help: lift.needs_help(),
        }
    }
}
