//! What the rig weighs and where it presses, from the day it was measured to this stage.
//!
//! It starts from what the owner measured and adds and takes out what the stages bring. A mass that
//! nobody knows is named and left out of the sum; a place that nobody knows leaves the load unknown.

pub mod masses;
pub mod loads;
pub mod band;
pub mod confirm;
pub mod lift;

use crate::cite::Cite;
use crate::finding::Assumed;
use crate::model::design::Design;
use crate::model::rig::RigKind;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::{Angle, Mass};
use band::Band;
use confirm::Confirm;
use lift::Lift;
use masses::{Moved, Moves};

/// A limit written on a plate or in the papers.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// What it is the limit of.
    pub what: &'static str,
    /// Where the owner writes it.
    pub path: &'static str,
    /// The limit; `None` when the owner did not say.
    pub max: Option<Mass>,
}

/// One axle, or all that share the load.
#[derive(Clone, Debug, PartialEq)]
pub struct AxleLoad {
    /// Its name.
    pub id: String,
    /// What it carries.
    pub load: Option<Mass>,
    /// Its plate.
    pub plate: Option<Mass>,
}

/// The rig at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct StageWeight {
    /// The stage; the first state of all is the day of the measurement.
    pub stage: String,
    /// On the ball.
    pub ball: Option<Mass>,
    /// The ball may read this much more or less.
    pub ball_error: Mass,
    /// On the axles.
    pub axles: Vec<AxleLoad>,
    /// All of it.
    pub gross: Option<Mass>,
    /// What is loaded, where the empty mass is known.
    pub payload: Option<Mass>,
    /// Put in since the measurement, less what came out.
    pub added: Mass,
    /// Sideways moment since the measurement, starboard above zero [kg m].
    pub list_kg_m: Option<f64>,
    /// Lengthwise moment since the measurement, by the bow above zero [kg m].
    pub trim_kg_m: Option<f64>,
    /// Heel from that sideways moment, where the boat's stiffness is known.
    pub heel: Option<Angle>,
}

impl StageWeight {
    /// The ball load as a share of the gross [%].
    #[must_use]
    pub fn ball_percent(&self) -> Option<f64> {
        let (ball, gross) = (self.ball?, self.gross?);
        (gross.as_kg() > 0.0).then(|| ball / gross * 100.0)
    }
}

/// Something that must be known before the sum can be trusted.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Where the owner writes it.
    pub path: String,
    /// What is not known.
    pub what: String,
    /// How to find it.
    pub find: &'static str,
    /// Without it there is no load at all; otherwise the sum stands without one part.
    pub whole: bool,
}

/// Everything about weight at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// What kind of rig it is.
    pub kind: RigKind,
    /// The day of the measurement, then each stage up to this one.
    pub states: Vec<StageWeight>,
    /// What comes and goes between them, in order.
    pub moved: Vec<Moved>,
    /// What limits the load on the ball.
    pub ball_plates: Vec<Plate>,
    /// What limits the gross.
    pub gross_plate: Plate,
    /// What limits the payload.
    pub payload_plate: Plate,
    /// Where the box may lie so that nothing is over its limit.
    pub band: Option<Band>,
    /// How to confirm the load on the ball with a scale and a beam.
    pub confirm: Option<Confirm>,
    /// Mass per area under the box [kg/m2], where its base is known.
    pub floor_kg_m2: Option<f64>,
    /// What is heavy to lift.
    pub lifts: Vec<Lift>,
    /// What is not known.
    pub unknown: Vec<Unknown>,
    /// What was assumed.
    pub assumed: Vec<Assumed>,
}

impl Weight {
    /// The weight of a stage that has been worked through.
    #[must_use]
    pub fn of(study: &Study, whole: &Design, tables: &Tables) -> Self {
        let Moves { moved, stages, assumed } = masses::moves(study, whole, tables);
        let summed = loads::sum(whole, &stages, &moved, tables);
        let vehicle = whole.vehicle.clone().unwrap_or_default();
        let plate = |what, path, max| Plate { what, path, max };
        let ball_plates = vec![
            plate("hitch", "vehicle.hitch_max", vehicle.hitch_max),
            plate("tow ball", "vehicle.ball_max", vehicle.ball_max),
            plate("coupling", "vehicle.coupler_max", vehicle.coupler_max),
            plate("tow vehicle", "vehicle.towbar_max", vehicle.towbar_max),
        ];
        let mut weight = Self {
            kind: whole.rig.kind,
            states: summed.states,
            moved,
            ball_plates,
            gross_plate: plate("gross", "vehicle.gross_max", vehicle.gross_max),
            payload_plate: plate("payload", "vehicle.payload_max", vehicle.payload_max),
            band: None,
            confirm: None,
            floor_kg_m2: lift::floor(study, tables),
            lifts: lift::lifts(study, tables),
            unknown: summed.unknown,
            // Nobody weighs a cabin.
            assumed: if whole.rig.kind == RigKind::Cabin { Vec::new() } else { assumed },
        };
        weight.band = band::of(&weight, study, whole, tables);
        weight.confirm = confirm::of(&weight, tables);
        weight
    }

    /// The rig before the work of this stage.
    #[must_use]
    pub fn before(&self) -> &StageWeight {
        let n = self.states.len();
        &self.states[n.saturating_sub(2)]
    }

    /// The rig after the work of this stage.
    #[must_use]
    pub fn after(&self) -> &StageWeight {
        // `loads::sum` always writes the day of the measurement first.
        &self.states[self.states.len() - 1]
    }

    /// The smallest stated limit of the load on the ball.
    #[must_use]
    pub fn ball_plate(&self) -> Option<(&Plate, Mass)> {
        let stated = self.ball_plates.iter().filter_map(|p| Some((p, p.max?)));
        stated.min_by(|a, b| a.1.as_kg().total_cmp(&b.1.as_kg()))
    }

    /// The first thing without which there is no load at all.
    pub fn missing(&self) -> impl Iterator<Item = &Unknown> {
        self.unknown.iter().filter(|u| u.whole)
    }

    /// Parts that the sum leaves out.
    pub fn left_out(&self) -> impl Iterator<Item = &Unknown> {
        self.unknown.iter().filter(|u| !u.whole)
    }

    /// Where the weakest figure of the sum comes from.
    #[must_use]
    pub fn cite(&self) -> Cite {
        let weakest = self.moved.iter().map(|m| m.cite.status).max();
        let mut cite = Cite::new("tow-ball-guides", "lever method", crate::cite::Status::Read);
        cite.status = weakest.map_or(cite.status, |s| s.weaker(cite.status));
        cite
    }
}
