//! R24: too little or too much of a trailer's weight on the ball.

use super::context::{CheckError, Context, Said};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::fit::weight::Weight;
use crate::model::rig::RigKind;
use crate::tables::Sourced;
use crate::tables::practice::BallBand;
use crate::units::{Mass, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    if cx.design().rig.kind != RigKind::Trailer {
        return Ok(Vec::new());
    }
    let weight = Weight::of(cx.study, cx.whole, cx.tables);
    let after = weight.after();
    // What is not known is told by R23 and R25.
    let (Some(ball), Some(gross), Some(percent)) = (after.ball, after.gross, after.ball_percent())
    else {
        return Ok(Vec::new());
    };
    let Some(band) = &cx.practice()?.ball_band else {
        let says = "No band of ball load is published for this practice.".to_owned();
        let remedy = "Ask the maker of the trailer what share of its weight the ball must carry.";
        let cite = Cite::practice("the maker's word");
        return Ok(vec![one(&weight, Severity::Note, says, remedy.to_owned(), cite)]);
    };
    let judging = Judging { cx, weight: &weight, band, ball, gross, percent };
    Ok(judging.verdict()?.into_iter().collect())
}

struct Judging<'a, 'b> {
    cx: &'a Context<'b>,
    weight: &'a Weight,
    band: &'a BallBand,
    ball: Mass,
    gross: Mass,
    percent: f64,
}

impl Judging<'_, '_> {
    fn verdict(&self) -> Result<Option<Said>, CheckError> {
        let share = self.ball / self.gross;
        let aim = |limit: &Sourced<f64>| show::decimal(limit.value * 100.0, 1);
        let told = self.told();
        if !self.cx.design().rig.practice.is_us() {
            let least = self.cx.limit("ball-stop-uk-mass")?;
            if self.ball < Mass::kg(least.value) {
                let kg = show::weight(Mass::kg(least.value), self.cx.units());
                let says = format!(
                    "Too light at the front: {told}; the law in the United Kingdom asks {kg} at least."
                );
                return Ok(Some(self.said(Severity::Stop, says, least.cite)));
            }
        }
        let (severity, says, cite) = if share < self.band.stop.value {
            let says = format!(
                "Too light at the front: {told}, under {} %; it may sway.",
                aim(&self.band.stop)
            );
            (Severity::Stop, says, &self.band.stop.cite)
        } else if share < self.band.low.value {
            let says = format!(
                "Light at the front: {told}, under {} %; it may sway.",
                aim(&self.band.low)
            );
            (Severity::Fix, says, &self.band.low.cite)
        } else if share > self.band.high.value {
            let says = format!(
                "Heavy at the front: {told}, over {} %; the tow vehicle's own front goes light.",
                aim(&self.band.high)
            );
            (Severity::Fix, says, &self.band.high.cite)
        } else {
            return Ok(None);
        };
        Ok(Some(self.said(severity, says, cite.clone())))
    }

    /// `78 kg on the ball is 6.2 % of 1270 kg`.
    fn told(&self) -> String {
        let units = self.cx.units();
        format!(
            "{} on the ball is {} % of {}",
            show::weight(self.ball, units),
            show::fixed(self.percent, 1),
            show::weight(self.gross, units)
        )
    }

    fn said(&self, severity: Severity, says: String, cite: Cite) -> Said {
        let units = self.cx.units();
        let remedy = self.weight.band.as_ref().filter(|b| b.exists()).map_or_else(
            || {
                "Move weight along the trailer until the share is right, and weigh again."
                    .to_owned()
            },
            |b| format!("Put the middle of the box {}, and weigh again.", b.words(units)),
        );
        one(self.weight, severity, says, remedy, cite)
    }
}

fn one(weight: &Weight, severity: Severity, says: String, remedy: String, cite: Cite) -> Said {
    let boxed = weight.band.is_some();
    Said {
        severity,
        path: if boxed { "box.behind_ball" } else { "vehicle.ball_now" }.to_owned(),
        part: "the tow ball".to_owned(),
        says,
        remedy,
        why: "A trailer light at the front swings by itself; one heavy there steers the tow vehicle.",
        sources: vec![cite, weight.cite()],
        gates: None,
    }
}
