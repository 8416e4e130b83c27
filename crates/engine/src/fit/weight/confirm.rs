//! What a bathroom scale must show, bare or under a beam, and where to stand.

use super::Weight;
use crate::calc::ball_load::beam_reading;
use crate::cite::Cite;
use crate::tables::Tables;
use crate::units::{Length, Mass};

/// How the load on the ball is confirmed.
#[derive(Clone, Debug, PartialEq)]
pub struct Confirm {
    /// The load on the ball, with its least and most.
    pub ball: [Mass; 3],
    /// Largest reading of a usual bathroom scale.
    pub scale_max: Mass,
    /// From the fixed round bar to the coupling.
    pub bar_to_ball: Length,
    /// From the coupling to the round bar on the scale.
    pub ball_to_scale: Length,
    /// What the scale under the beam shows, with its least and most, the beam's own weight off.
    pub beam: [Mass; 3],
    /// By what the beam's reading is multiplied.
    pub factor: f64,
    /// Where the lever comes from.
    pub cite: Cite,
}

impl Confirm {
    /// The bare scale is too small.
    #[must_use]
    pub fn needs_beam(&self) -> bool {
        self.scale_max < self.ball[2]
    }
}

/// Where the hands and feet are while the load on the ball is weighed.
pub const SAFELY: [&str; 4] = [
    "Level ground, chocks on both sides of both wheels, brake on, nobody inside.",
    "Unhitch; lower the coupling onto the scale or the beam with the jack and leave the jack's foot \
     a finger above the ground, so that it catches the frame if the beam rolls.",
    "Stand beside the frame. Never under the coupling, never between it and the tow vehicle, no \
     hand between coupling and beam.",
    "The coupling at the height at which it tows: a nose held high or low shifts the load.",
];

pub(super) fn of(weight: &Weight, tables: &Tables) -> Option<Confirm> {
    let after = weight.after();
    let ball = after.ball?;
    let limit = |id: &str| tables.limits.value(id);
    let factor = limit("ball-beam-factor");
    let bar_to_ball = Length::mm(limit("ball-beam-short-arm").value);
    let ball_to_scale = bar_to_ball * (factor.value - 1.0);
    let tape = limit("tape-error-bench").value;
    // Both arms may be out by the tape: a share of the short one and of the whole beam.
    let whole = bar_to_ball + ball_to_scale;
    let arms = tape / bar_to_ball.as_mm() + tape / whole.as_mm();
    let [least, most] = [ball - after.ball_error, ball + after.ball_error];
    let read = |load: Mass| beam_reading(load, bar_to_ball, ball_to_scale);
    Some(Confirm {
        ball: [ball, least, most],
        scale_max: Mass::kg(limit("ball-scale-max").value),
        bar_to_ball,
        ball_to_scale,
        beam: [read(ball), read(least) * (1.0 - arms), read(most) * (1.0 + arms)],
        factor: factor.value,
        cite: factor.cite,
    })
}
