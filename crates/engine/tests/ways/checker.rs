//! Walks along the line of a lead and says what no cable could be.

use super::ground::Ground;
use super::{Place, apart, flat, line, plan, studs, whole, xy};
use engine::layout::route::Route;
use engine::layout::{Layout, LeadPath};
use engine::model::lead::LugForm;
use engine::number;
use engine::units::Length;

/// What is wrong with the line of a lead; nothing where a cable can be that line: it ends on its studs,
/// leaves them as its lugs are bent, has no gap, is never bent under its radius, and keeps clear.
pub(crate) fn wrong(layout: &Layout, lead: &LeadPath, ground: &Ground) -> Option<String> {
    let route = lead.route.as_ref().expect("a routed lead");
    let line = line(route, 1.0);
    let (first, last) = (line[0], line[line.len() - 1]);
    if !studs(layout).iter().any(|s| flat(xy(*s), plan(first)) < 0.01)
        || 0.01 < apart(first, ground.ends[0])
        || 0.01 < apart(last, ground.ends[1])
    {
        return Some("does not end on its studs".to_owned());
    }
    let steps: Vec<f64> = line.windows(2).map(|w| apart(w[0], w[1])).collect();
    if let Some(gap) = steps.iter().find(|s| 1.01 < **s) {
        return Some(format!("has a gap of {gap}"));
    }
    let long: f64 = steps.iter().sum();
    let said = route.length.length().as_mm();
    // Strokes of 1 mm on bends of 20 mm and more fall short by less than 2 in 10,000, and each of two
    // bent lugs has a corner that a stroke may cut.
    let corners: u8 = route.lugs.iter().map(|l| u8::from(*l != LugForm::Straight)).sum();
    if 0.02 + said * 2e-4 + 0.6 * f64::from(corners) < (long - said).abs() {
        return Some(format!("is {long} mm drawn, {said} mm said"));
    }
    // The router's own strokes of a turn lie up to 0.1 mm inside it.
    if let Some(p) = line.iter().find(|p| 0.12 < ground.lacks_alone(**p)) {
        return Some(format!("is {} too near at {p:?}", ground.lacks_alone(*p)));
    }
    // Leads laid before it are known by places 4 mm apart, a hollow of 0.3 mm between two of them; and
    // makers' jackets of one size differ by more than a millimetre, so that less is no clash.
    if let Some(p) = line.iter().find(|p| 1.0 < ground.lacks(**p)) {
        return Some(format!("is {} into a lead at {p:?}", ground.lacks(*p)));
    }
    let palms = [lead.length.lug_from, lead.length.lug_to].map(|l| l.palm.as_mm());
    lugs_wrong(lead, &line).or_else(|| bent_wrong(route, &line, palms))
}

/// Whether each lug lies along the line: level to the mouth of its barrel, or bent as it is.
fn lugs_wrong(lead: &LeadPath, line: &[Place]) -> Option<String> {
    let route = lead.route.as_ref().expect("a routed lead");
    let back: Vec<Place> = line.iter().rev().copied().collect();
    let ends = [(line, lead.length.lug_from), (&back, lead.length.lug_to)];
    for (n, (line, lug)) in ends.into_iter().enumerate() {
        let form = route.lugs[n];
        if form == LugForm::Straight && route.points.len() == 2 {
            continue;
        }
        let (mut gone, mut before) = (0.0, line[0]);
        let rise = form.rise().as_degrees().to_radians();
        let (palm, mouth) = (lug.palm.as_mm(), lug.mouth().as_mm());
        let way = |along: f64| along.min(palm) + (along - palm).max(0.0) * number::cos(rise);
        for p in line {
            gone += apart(before, *p);
            before = *p;
            if mouth < gone {
                break;
            }
            let up = (gone - palm).max(0.0) * number::sin(rise);
            let off = (p[2] - line[0][2] - up).abs().max(flat(plan(*p), plan(line[0])) - way(gone));
            // A stroke of 1 mm may cut the corner of a bent lug.
            if 0.8 < off {
                return Some(format!("end {n} leaves its {} lug by {off}", form.word()));
            }
        }
    }
    None
}

/// Three places 6 mm apart lie on a circle; on a curve of at least R that circle is at least R.
fn bent_wrong(route: &Route, line: &[Place], palms: [f64; 2]) -> Option<String> {
    let radius = route.bend_radius.map(Length::as_mm)?;
    // The bend of a lug is no bend of the cable.
    let skip = |n: usize| if route.lugs[n] == LugForm::Straight { 0 } else { whole(palms[n]) + 2 };
    let (first, last) = (6 + skip(0), line.len().saturating_sub(6 + skip(1)));
    for n in first..last {
        let (a, b, c) = (line[n - 6], line[n], line[n + 6]);
        let (ab, bc, ca) = (apart(a, b), apart(b, c), apart(c, a));
        let s = (ab + bc + ca) / 2.0;
        let area = (s * (s - ab) * (s - bc) * (s - ca)).max(0.0).sqrt();
        let on = if area < 1e-9 { f64::INFINITY } else { ab * bc * ca / (4.0 * area) };
        if on <= radius * 0.985 {
            return Some(format!("is bent to {on} mm at {b:?}, least {radius}"));
        }
    }
    None
}
