//! The sums: ball, axles, gross, payload, list and trim, stage by stage.

use super::masses::{Moved, arm};
use super::{AxleLoad, StageWeight, Unknown};
use crate::calc::axle_share::axle_share;
use crate::calc::ball_load::ball_load_change;
use crate::calc::heel::{heel, moment_kg_m};
use crate::model::design::Design;
use crate::model::rig::RigKind;
use crate::model::vehicle::Vehicle;
use crate::tables::Tables;
use crate::units::{Length, Mass};

/// The states of the rig and what is missing for them.
pub(super) struct Summed {
    pub(super) states: Vec<StageWeight>,
    pub(super) unknown: Vec<Unknown>,
}

/// Adds up what moves.
pub(super) fn sum(whole: &Design, stages: &[usize], moved: &[Moved], tables: &Tables) -> Summed {
    let vehicle = whole.vehicle.clone().unwrap_or_default();
    let kind = whole.rig.kind;
    let mut run = Running::measured(kind, &vehicle, tables);
    let mut unknown = missing(kind, &vehicle);
    let mut states = vec![run.state("as measured".to_owned(), &vehicle)];
    for &stage in stages {
        for one in moved.iter().filter(|m| m.stage == stage) {
            run.take(one);
            unknown.extend(unknown_of(kind, one));
        }
        let name = whole.stages.get(stage).map_or_else(String::new, |s| s.name.clone());
        states.push(run.state(name, &vehicle));
    }
    let mut once: Vec<Unknown> = Vec::new();
    for item in unknown {
        if !once.iter().any(|o| o.path == item.path) {
            once.push(item);
        }
    }
    Summed { states, unknown: once }
}

/// The sums so far.
struct Running {
    kind: RigKind,
    lever: Option<Length>,
    ball: Option<Mass>,
    ball_error: Mass,
    /// The axle of a trailer, or front and rear of a van.
    axles: [Option<Mass>; 2],
    gross: Option<Mass>,
    added: Mass,
    list: Option<f64>,
    trim: Option<f64>,
    tape: Length,
}

impl Running {
    fn measured(kind: RigKind, vehicle: &Vehicle, tables: &Tables) -> Self {
        let together = |masses: &[Option<Mass>]| -> Option<Mass> {
            (!masses.is_empty()).then(|| masses.iter().copied().sum::<Option<Mass>>())?
        };
        let now: Vec<Option<Mass>> = vehicle.axles.iter().map(|a| a.now).collect();
        let scale = tables.limits.value("ball-scale-error").value;
        let tape = Length::mm(tables.limits.value("tape-error-route").value);
        let ball = vehicle.ball_now.filter(|_| kind == RigKind::Trailer);
        let (lever, axles, gross) = match kind {
            RigKind::Trailer => {
                let axle = vehicle.axle_now.or_else(|| together(&now));
                let both = ball.zip(axle).map(|(b, a)| b + a);
                let gross = vehicle.gross_now.or(both);
                let rest = gross.zip(ball).map(|(g, b)| g - b);
                (vehicle.ball_to_axle, [axle.or(rest), None], gross)
            }
            RigKind::Van => {
                let two = [now.first().copied().flatten(), now.get(1).copied().flatten()];
                let gross = vehicle.gross_now.or_else(|| together(&now));
                (vehicle.axles_apart(), if now.len() == 2 { two } else { [None; 2] }, gross)
            }
            RigKind::Boat => (None, [None; 2], vehicle.displacement.or(vehicle.gross_now)),
            RigKind::Cabin => (None, [None; 2], None),
        };
        let ball_error = ball.map_or(Mass::ZERO, |b| b * scale);
        let afloat = (kind == RigKind::Boat).then_some(0.0);
        Self {
            kind,
            lever,
            ball,
            ball_error,
            axles,
            gross,
            added: Mass::ZERO,
            list: afloat,
            trim: afloat,
            tape,
        }
    }

    fn take(&mut self, one: &Moved) {
        let Some(mass) = one.mass else {
            if !one.small {
                self.lose_all();
            }
            return;
        };
        self.gross = self.gross.map(|g| g + mass);
        self.added = self.added + mass;
        if mass.as_kg().abs() < f64::EPSILON {
            return;
        }
        match self.kind {
            RigKind::Trailer => self.on_the_ball(one, mass),
            RigKind::Van => {
                let shares = arm(self.kind, one.spot).zip(self.lever);
                let shares = shares.map(|(x, base)| axle_share(mass, x, base));
                self.axles = [
                    self.axles[0].zip(shares).map(|(now, s)| now + s.0),
                    self.axles[1].zip(shares).map(|(now, s)| now + s.1),
                ];
            }
            RigKind::Boat => {
                let add = |sum: Option<f64>, arm: Option<Length>| {
                    sum.zip(arm).map(|(sum, arm)| sum + moment_kg_m(mass, arm))
                };
                self.list = add(self.list, one.spot.off_centre);
                self.trim = add(self.trim, one.spot.ahead_of_middle);
            }
            RigKind::Cabin => {}
        }
    }

    fn on_the_ball(&mut self, one: &Moved, mass: Mass) {
        let change = one
            .spot
            .behind_ball
            .zip(self.lever)
            .map(|(x, lever)| (ball_load_change(mass, x, lever), x, lever));
        let Some((change, x, lever)) = change else {
            self.ball = None;
            self.axles[0] = None;
            return;
        };
        self.ball = self.ball.map(|b| b + change);
        self.axles[0] = self.axles[0].map(|a| a + mass - change);
        let by_tape = mass.abs() * (self.tape / lever);
        let by_mass = ball_load_change(one.spread, x, lever).abs();
        self.ball_error = self.ball_error + by_tape + by_mass;
    }

    fn lose_all(&mut self) {
        self.ball = None;
        self.axles = [None; 2];
        self.gross = None;
        self.list = None;
        self.trim = None;
    }

    fn state(&self, stage: String, vehicle: &Vehicle) -> StageWeight {
        let heel = self
            .list
            .zip(vehicle.displacement.zip(vehicle.metacentric_height))
            .map(|(list, (mass, height))| heel(list, mass, height));
        StageWeight {
            stage,
            ball: self.ball,
            ball_error: self.ball_error,
            axles: self.axle_loads(vehicle),
            gross: self.gross,
            payload: self.gross.zip(vehicle.empty).map(|(g, e)| g - e),
            added: self.added,
            list_kg_m: self.list,
            trim_kg_m: self.trim,
            heel,
        }
    }

    fn axle_loads(&self, vehicle: &Vehicle) -> Vec<AxleLoad> {
        let plates: Vec<Option<Mass>> = vehicle.axles.iter().map(|a| a.max).collect();
        match self.kind {
            RigKind::Trailer => {
                let all = || plates.iter().copied().sum::<Option<Mass>>();
                let plate =
                    vehicle.axle_max.or_else(|| if plates.is_empty() { None } else { all() });
                let id = if plates.len() > 1 { "axles together" } else { "axle" };
                vec![AxleLoad { id: id.to_owned(), load: self.axles[0], plate }]
            }
            RigKind::Van => vehicle
                .axles
                .iter()
                .enumerate()
                .map(|(n, axle)| AxleLoad {
                    id: axle.name.clone(),
                    load: self.axles.get(n).copied().flatten(),
                    plate: axle.max,
                })
                .collect(),
            RigKind::Boat | RigKind::Cabin => Vec::new(),
        }
    }
}

fn unknown(path: &str, what: &str, find: &'static str) -> Unknown {
    Unknown { path: path.to_owned(), what: what.to_owned(), find, whole: true }
}

/// What the rig itself does not say.
fn missing(kind: RigKind, vehicle: &Vehicle) -> Vec<Unknown> {
    let mut all = Vec::new();
    let mut ask = |there: bool, path: &str, what: &str, find: &'static str| {
        if !there {
            all.push(unknown(path, what, find));
        }
    };
    match kind {
        RigKind::Trailer => {
            let ball = "Weigh the coupling on a scale and a beam, level and loaded as it travels";
            ask(vehicle.ball_now.is_some(), "vehicle.ball_now", "what rests on the ball now", ball);
            let tape = "Measure from the ball to the middle of the axle along the ground";
            let lever = vehicle.ball_to_axle.is_some();
            ask(lever, "vehicle.ball_to_axle", "how far the axle is from the ball", tape);
            let axles = vehicle.axle_now.is_some()
                || (!vehicle.axles.is_empty() && vehicle.axles.iter().all(|a| a.now.is_some()));
            let bridge = "Drive over a weighbridge, uncoupled";
            let gross = vehicle.gross_now.is_some() || axles;
            ask(gross, "vehicle.gross_now", "what all of it weighs now", bridge);
        }
        RigKind::Van => {
            let bridge = "Drive over a weighbridge, one axle at a time";
            let said = vehicle.axles.len() == 2 && vehicle.axles.iter().all(|a| a.now.is_some());
            ask(said, "vehicle.axle", "what its two axles carry now", bridge);
            let tape = "Measure from wheel centre to wheel centre";
            let base = vehicle.axles_apart().is_some();
            ask(base, "vehicle.wheelbase", "how far its axles are apart", tape);
        }
        RigKind::Boat | RigKind::Cabin => {}
    }
    all
}

/// What a moved mass does not say.
fn unknown_of(kind: RigKind, one: &Moved) -> Option<Unknown> {
    let Some(mass) = one.mass else {
        let find = "Read its label or sheet, or stand it on the bathroom scale";
        return Some(Unknown {
            path: one.path.clone(),
            what: format!("what {} weighs", one.what.trim_end_matches(" out")),
            find,
            whole: !one.small,
        });
    };
    let placed = arm(kind, one.spot).is_some() || kind == RigKind::Cabin;
    if placed || mass.as_kg().abs() < f64::EPSILON {
        return None;
    }
    let (key, find) = match kind {
        RigKind::Trailer => ("behind_ball", "Measure from the ball to the middle of it"),
        RigKind::Van => ("behind_front_axle", "Measure from the front axle to the middle of it"),
        RigKind::Boat | RigKind::Cabin => {
            ("off_centre", "Measure from the centreline to the middle of it, starboard above zero")
        }
    };
    let part = one.path.strip_suffix(".mass").unwrap_or(&one.path);
    // Blocks stand where their box stands; an old bank without a box is named as taken out.
    let part = match part.strip_prefix("block.") {
        Some(_) if mass.as_kg() < 0.0 => "vehicle.out.old",
        Some(_) => "box",
        None => part,
    };
    Some(Unknown {
        path: format!("{part}.{key}"),
        what: format!("where {} sits", one.what.trim_end_matches(" out")),
        find,
        whole: true,
    })
}
