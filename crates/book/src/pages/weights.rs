//! Weights: ball, axles and gross before and after, how to confirm them, what is too heavy to lift.

use super::plain;
use crate::book::Context;
use crate::figure::figure;
use crate::pager::Chapter;
use crate::part::Parts;
use engine::fit::weight::confirm::SAFELY;
use engine::units::show;

pub(super) fn chapter(cx: &Context<'_>) -> Option<Chapter> {
    let scene = cx.fit.weights.as_ref();
    let lifting = cx.fit.lifting.as_ref();
    if scene.is_none() && lifting.is_none() {
        return None;
    }
    let mut parts = Parts::new(cx.width);
    if let Some(scene) = scene {
        parts.push(figure(scene, cx.width));
    }
    confirm(cx, &mut parts);
    if let Some(scene) = lifting {
        parts.heading("Lifting");
        parts.push(figure(scene, cx.width));
    }
    Some(Chapter { parts: parts.all, ..plain("weights", "Weights", "weights") })
}

/// What a scale must read, and where to stand.
pub(super) fn confirm(cx: &Context<'_>, parts: &mut Parts) {
    let Some(confirm) = &cx.input.fit.weight.confirm else { return };
    let mass = |m| show::weight(m, cx.units);
    let [ball, least, most] = confirm.ball;
    parts.heading("Confirm it with a bathroom scale");
    for line in SAFELY {
        parts.tick(line);
    }
    if confirm.needs_beam() {
        let length = |l| show::length(l, cx.units);
        let [reading, low, high] = confirm.beam;
        parts.paragraph(&format!(
            "The ball is more than a scale of {} reads. Lay a beam on a round bar {} from the coupling \
             and on a round bar on the scale {} further on; take the beam's own weight off. Expect {}, \
             between {} and {}; times {} is the load on the ball. Write: ______",
            mass(confirm.scale_max),
            length(confirm.bar_to_ball),
            length(confirm.ball_to_scale),
            mass(reading),
            mass(low),
            mass(high),
            show::decimal(confirm.factor, 1)
        ));
    } else {
        parts.paragraph(&format!(
            "Expect {} on the scale, between {} and {}. Write: ______",
            mass(ball),
            mass(least),
            mass(most)
        ));
    }
}
