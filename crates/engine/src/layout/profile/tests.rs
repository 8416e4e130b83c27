//! Heights on hand-worked crossings: a 15.5 mm cable bent to 70 mm on studs 400 mm apart.

use super::{Crossed, Found, Heights, Mouth, Round, Sheet, Under};
use crate::layout::taut::Spot;
use crate::layout::track::Track;
use crate::model::lead::LugForm;

fn sheet(forms: [LugForm; 2], high: f64) -> Sheet {
    let mouth = |form| Mouth { height: 300.0, palm: 16.0, straight: 23.0, form };
    Sheet {
        mouths: forms.map(mouth),
        half: 7.75,
        radius: 70.0,
        low: 7.75,
        high,
        looked: std::cell::Cell::new(0.0),
    }
}

const STRAIGHT: [LugForm; 2] = [LugForm::Straight; 2];

fn straight(long: f64) -> Track {
    Track::through(&[Spot::at(0.0, 0.0), Spot::at(long, 0.0)], &[])
}

fn lead_at(along: f64) -> Under {
    let rounds = vec![Round { along, height: 300.0, radius: 15.5 }];
    Under { bodies: Vec::new(), rounds }
}

#[track_caller]
fn length(found: Found) -> f64 {
    found.heights().map_or(f64::NAN, |h: Heights| h.length)
}

#[test]
fn nothing_crossed_is_level() {
    let got = sheet(STRAIGHT, 900.0).shortest(&straight(400.0), &Under::default());
    assert!((length(got) - 400.0).abs() < 1e-9, "as long as its way");
}

#[test]
fn a_lead_in_the_middle_is_gone_over_in_one_pull() {
    // Hand worked: level to 39 mm; wheels of 70 mm about (39, 370) and (200, 245.5) relative to a face
    // at 300: the tangent between turns sqrt(161^2 + 124.5^2 - 140^2) = 147.720 mm, rising by 0.100330,
    // so half is 39 + 2 * 70 * 0.100330 + 147.720 = 200.766.
    let got = length(sheet(STRAIGHT, 900.0).shortest(&straight(400.0), &lead_at(200.0)));
    assert!((got - 401.533).abs() < 0.01, "{got} mm");
}

#[test]
fn a_lead_beside_a_lug_leaves_no_room() {
    // Hand worked: cos a = 1 - 15.5 / 140, so a rise of 15.5 mm takes a run of 140 sin a = 64.0 mm; 31 mm
    // are there.
    let got = sheet(STRAIGHT, 900.0).shortest(&straight(400.0), &lead_at(70.0));
    assert_eq!(got, Found::NoRoom, "a straight lug ends at 39 mm");
    let bent = sheet([LugForm::Half, LugForm::Straight], 900.0);
    let got = length(bent.shortest(&straight(400.0), &lead_at(70.0)));
    assert!(400.0 < got && got < 440.0, "a bent lug rises at once: {got} mm");
}

#[test]
fn the_lid_stops_an_upright_lug() {
    // Upright it needs the barrel and a bend over the face: 23 + 70 = 93 mm.
    let forms = [LugForm::Upright, LugForm::Straight];
    for (high, room) in [(392.0, false), (394.0, true)] {
        let got = sheet(forms, high).shortest(&straight(400.0), &Under::default());
        assert_eq!(got.heights().is_some(), room, "under a lid at {high}");
    }
}

#[test]
fn what_hangs_low_is_gone_under() {
    let beam = Crossed { from: 180.0, to: 220.0, bottom: Some(302.75), top: Some(900.0) };
    let under = Under { bodies: vec![beam], rounds: Vec::new() };
    let heights = sheet(STRAIGHT, 880.0).shortest(&straight(400.0), &under).heights();
    let heights = heights.expect("5 mm lower is enough");
    assert!(heights.steps.iter().all(|s| s.height <= 300.01), "never up: {heights:?}");
    assert!(400.0 < heights.length && heights.length < 400.5, "{} mm", heights.length);
}

#[test]
fn a_bend_of_the_plan_and_one_of_the_heights_are_wide_together() {
    // A turn of the plan lies where the lead has to be over the other.
    let corners = [Spot::at(0.0, 0.0), Spot::at(200.0, 0.0), Spot::at(350.0, 150.0)];
    let tight = Track::through(&corners, &[70.0]);
    let middle = tight.bends()[0];
    let over = lead_at(f64::midpoint(middle.from, middle.to));
    let got = sheet(STRAIGHT, 900.0).shortest(&tight, &over);
    assert_eq!(got, Found::BendsMeet, "70 mm leaves nothing for a second bend");
    let wide = Track::through(&corners, &[100.0]);
    let middle = wide.bends()[0];
    let over = lead_at(f64::midpoint(middle.from, middle.to));
    let heights = sheet(STRAIGHT, 900.0).shortest(&wide, &over).heights();
    let radius = heights.map_or(0.0, |h| h.steps.iter().map(|s| s.radius).fold(0.0, f64::max));
    // 1 / 100^2 + 1 / r^2 <= 1 / 70^2 asks for 98.02 mm.
    assert!(98.0 <= radius, "{radius} mm");
}
