//! Where along a trailer the box may lie so that neither the ball nor an axle is over or under.

use super::Weight;
use crate::calc::ball_load::{ahead_of_axle, ball_band, ball_load_change};
use crate::cite::Cite;
use crate::model::design::Design;
use crate::model::rig::RigKind;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::show::{self, UnitSystem};
use crate::units::{Length, Mass};

/// The band is told in steps of a tape laid on a floor.
const STEP_MM: f64 = 10.0;

/// The places of the box's centre that pass, measured ahead of the axle.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Nearest to the axle; below zero behind it.
    pub from: Length,
    /// Nearest to the ball.
    pub to: Length,
    /// What stops it nearer to the axle.
    pub from_by: &'static str,
    /// What stops it nearer to the ball.
    pub to_by: &'static str,
    /// Where the box is now.
    pub at: Length,
    /// From ball to axle, so that either end can be measured from.
    pub ball_to_axle: Length,
    /// The masses that move with the box.
    pub mass: Mass,
    /// Where the band comes from.
    pub cite: Cite,
}

impl Band {
    /// Whether there is any such place.
    #[must_use]
    pub fn exists(&self) -> bool {
        self.from <= self.to
    }

    /// Both ends in words, such as `1220 mm to 1860 mm ahead of the axle`.
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> String {
        let (from, to) = (show::length(self.from.abs(), units), show::length(self.to.abs(), units));
        if Length::ZERO <= self.from {
            format!("{from} to {to} ahead of the axle")
        } else if Length::ZERO <= self.to {
            format!("between {from} behind the axle and {to} ahead of it")
        } else {
            format!("{to} to {from} behind the axle")
        }
    }

    /// Whether the box lies in it.
    #[must_use]
    pub fn holds_box(&self) -> bool {
        self.from <= self.at && self.at <= self.to
    }
}

/// A plate of the hitch and what it hangs on, as what stops the box.
const fn limit_of(what: &'static str) -> &'static str {
    match what.as_bytes() {
        b"hitch" => "the most the hitch may carry",
        b"tow ball" => "the most the tow ball may carry",
        b"coupling" => "the most the coupling may carry",
        b"tow vehicle" => "the most the tow vehicle may carry",
        _ => "a plate of the hitch",
    }
}

/// The band for the box as designed; `None` where nothing can be said.
pub(super) fn of(weight: &Weight, study: &Study, whole: &Design, tables: &Tables) -> Option<Band> {
    if weight.kind != RigKind::Trailer || weight.missing().next().is_some() {
        return None;
    }
    let settings = tables.practices.of(whole.rig.practice.word())?;
    let band = settings.ball_band.as_ref()?;
    let after = weight.after();
    let (ball, gross) = (after.ball?, after.gross?);
    let lever = whole.vehicle.as_ref()?.ball_to_axle?;
    let enclosure = study.design.enclosure.as_ref()?;
    let behind = enclosure.spot.behind_ball?;
    let mass = mass_at_box(weight, study);
    if mass.as_kg() <= 0.0 {
        return None;
    }
    let without = ball - ball_load_change(mass, behind, lever);
    let (low, high) = ball_band(gross, (band.low.value, band.high.value));
    let mut least = (low, "too little on the ball");
    if !whole.rig.practice.is_us() {
        let legal = Mass::kg(tables.limits.value("ball-stop-uk-mass").value);
        least = larger(least, (legal, "the least the law allows on the ball"));
    }
    if let Some(plate) = after.axles.first().and_then(|a| a.plate) {
        least = larger(least, (gross - plate, "the plate of the axle"));
    }
    let mut most = (high, "too much on the ball");
    if let Some((plate, max)) = weight.ball_plate()
        && max < most.0
    {
        most = (max, limit_of(plate.what));
    }
    let at = |load: Mass| ahead_of_axle(load, without, mass, lever).as_mm() / STEP_MM;
    // Inwards to whole steps, so that a place on the edge of the band still passes.
    let from = Length::mm((at(least.0) - 1e-9).ceil() * STEP_MM);
    let to = Length::mm((at(most.0) + 1e-9).floor() * STEP_MM).min(lever);
    Some(Band {
        from,
        to,
        from_by: least.1,
        to_by: most.1,
        at: lever - behind,
        ball_to_axle: lever,
        mass,
        cite: band.low.cite.clone(),
    })
}

fn larger(a: (Mass, &'static str), b: (Mass, &'static str)) -> (Mass, &'static str) {
    if a.0 < b.0 { b } else { a }
}

/// All that would move with the box: what came with it and what stood in it when it was weighed.
fn mass_at_box(weight: &Weight, study: &Study) -> Mass {
    let moved: Mass = weight.moved.iter().filter(|m| m.at_box).filter_map(|m| m.mass).sum();
    let box_is_new = weight.moved.iter().any(|m| m.at_box && m.path == "box.mass");
    if box_is_new {
        return moved;
    }
    // The box stood already: its blocks and its own mass move too.
    let blocks = study.facts.blocks.iter().filter_map(|b| study.design.block_model(&b.model)?.mass);
    let own = study.design.enclosure.as_ref().and_then(|e| e.mass).unwrap_or(Mass::ZERO);
    blocks.sum::<Mass>() + own
}
