//! The side view with weights: the rig on its axle and ball before and after the work, what each point
//! carries beside its plate, and the band in which the box may lie.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::plan::measured;
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::scene::{Anchor, Fill, Group, Path, Scene, Stroke};
use crate::style::{Tone, line};
use crate::text::Weight as Heavy;
use engine::fit::weight::{StageWeight, Weight};
use engine::model::rig::RigKind;
use engine::units::show::{self, UnitSystem, decimal};
use engine::units::{Length, Mass};

/// What the side view is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct WeightsPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What it weighs.
    pub weight: &'a Weight,
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of one of the two rows [mm].
const ROW: f64 = 66.0;

/// Draws the side view; `None` for a cabin, which stands on the ground.
#[must_use]
pub fn weights(picture: &WeightsPicture<'_>) -> Option<Scene> {
    let kind = picture.weight.kind;
    if kind == RigKind::Cabin {
        return None;
    }
    let mut canvas = Canvas::new(picture.setting);
    let rows = [("before", picture.weight.before()), ("after", picture.weight.after())];
    let mut y = EDGE;
    for (says, state) in rows {
        let heading = format!("{says}: {}", state.stage);
        canvas.strong(at(EDGE, y + 3.0), &heading, Anchor::Start, Tone::Ink);
        match kind {
            RigKind::Trailer => trailer(picture, &mut canvas, state, (y, says == "after")),
            RigKind::Van => van(picture, &mut canvas, state, (y, says == "after")),
            _ => boat(picture, &mut canvas, state, (y, says == "after")),
        }
        y += ROW;
    }
    let inner = canvas.inner();
    for text in below(picture) {
        y = canvas.words(at(EDGE, y), inner, &text, Heavy::Regular) + 1.2;
    }
    Some(canvas.finish(
        &picture.subject,
        "weights, before and after",
        "The rig from the side with the load on each point it stands on.",
        y,
    ))
}

/// The way of the box along the rig on the sheet: from the ball at the left.
struct Way {
    left: f64,
    scale: f64,
    ground: f64,
}

impl Way {
    fn x(&self, behind: Length) -> f64 {
        self.left + behind.as_mm() * self.scale
    }
}

fn trailer(
    picture: &WeightsPicture<'_>,
    canvas: &mut Canvas,
    state: &StageWeight,
    (top, after): (f64, bool),
) {
    let units = picture.subject.design.rig.units;
    let lever = picture.subject.design.vehicle.as_ref().and_then(|v| v.ball_to_axle);
    let lever_mm = lever.unwrap_or(Length::mm(3500.0));
    let left = EDGE + 20.0;
    // The axle lies a little behind the middle of the sheet; a body ends behind it.
    let axle_x = EDGE + canvas.inner() * 0.62;
    let way = Way { left, scale: (axle_x - left) / lever_mm.as_mm(), ground: top + 44.0 };
    let (front, back) = (left + (axle_x - left) * 0.3, EDGE + canvas.inner() - 6.0);
    let (roof, floor) = (top + 9.0, way.ground - 10.0);
    canvas.rect(at(front, roof), (back - front, floor - roof), Some(INK), Fill::Flat(Tone::Light));
    canvas.line(&[at(left, floor), at(front, floor)], INK);
    canvas.line(&[at(EDGE, way.ground), at(EDGE + canvas.inner(), way.ground)], PENCIL);
    canvas.circle(at(axle_x, way.ground - 6.0), 6.0, Some(INK), Fill::Flat(Tone::Paper));
    canvas.circle(at(left, floor), 1.4, Some(INK), Fill::Flat(Tone::Ink));
    if after {
        band(picture, canvas, &way, floor);
        if let Some(behind) = spot(picture).behind_ball {
            let place = at(way.x(behind), floor);
            the_box(canvas, place, ("box", way.scale), at(place.x, floor - 12.5));
        }
    }
    let ball_plate = picture.weight.ball_plate().map(|(_, max)| max);
    let share =
        state.ball_percent().map_or(String::new(), |p| format!(" ({}\u{a0}%)", decimal(p, 1)));
    point(
        canvas,
        at(left, way.ground),
        &figure("ball", state.ball, units, &share),
        (state.ball, ball_plate),
        units,
    );
    for axle in &state.axles {
        point(
            canvas,
            at(axle_x, way.ground),
            &figure(&axle.id, axle.load, units, ""),
            (axle.load, axle.plate),
            units,
        );
    }
    let gross = figure("in all", state.gross, units, "");
    let plate = picture.weight.gross_plate.max;
    let says = verdict(state.gross, plate, units);
    canvas.strong(at(back - 3.0, roof + 5.0), &gross, Anchor::End, Tone::Ink);
    canvas.word(at(back - 3.0, roof + 10.0), &says.0, Anchor::End, says.1);
}

fn van(
    picture: &WeightsPicture<'_>,
    canvas: &mut Canvas,
    state: &StageWeight,
    (top, after): (f64, bool),
) {
    let units = picture.subject.design.rig.units;
    let ground = top + 44.0;
    let (left, right) = (EDGE + 10.0, EDGE + canvas.inner() - 10.0);
    let (roof, floor) = (top + 9.0, ground - 10.0);
    let body = [
        at(left, floor),
        at(left, floor - 9.0),
        at(left + 12.0, floor - 12.0),
        at(left + 22.0, roof),
        at(right, roof),
        at(right, floor),
    ];
    canvas.put(Path::shape(&body, Some(INK), Fill::Flat(Tone::Light)));
    canvas.line(&[at(EDGE, ground), at(EDGE + canvas.inner(), ground)], PENCIL);
    let wheels = [left + 0.17 * (right - left), left + 0.8 * (right - left)];
    for x in wheels {
        canvas.circle(at(x, ground - 6.0), 6.0, Some(INK), Fill::Flat(Tone::Paper));
    }
    for (x, axle) in wheels.into_iter().zip(&state.axles) {
        point(
            canvas,
            at(x, ground),
            &figure(&axle.id, axle.load, units, ""),
            (axle.load, axle.plate),
            units,
        );
    }
    let vehicle = picture.subject.design.vehicle.as_ref();
    let apart = vehicle.and_then(engine::model::vehicle::Vehicle::axles_apart);
    if let (true, Some(apart), Some(behind)) = (after, apart, spot(picture).behind_front_axle) {
        let scale = (wheels[1] - wheels[0]) / apart.as_mm();
        let place = at(wheels[0] + behind.as_mm() * scale, floor);
        the_box(canvas, place, ("box", scale), at(place.x, floor - 12.5));
    }
    let gross = figure("in all", state.gross, units, "");
    let says = verdict(state.gross, picture.weight.gross_plate.max, units);
    canvas.strong(at(right - 3.0, roof + 5.0), &gross, Anchor::End, Tone::Ink);
    canvas.word(at(right - 3.0, roof + 10.0), &says.0, Anchor::End, says.1);
}

fn boat(
    picture: &WeightsPicture<'_>,
    canvas: &mut Canvas,
    state: &StageWeight,
    (top, after): (f64, bool),
) {
    // The boat from the side, and beside it from astern.
    let section = (canvas.inner() * 0.32).min(44.0);
    let (left, right) = (EDGE + 8.0, EDGE + canvas.inner() - section - 6.0);
    let (deck, water, keel) = (top + 14.0, top + 27.0, top + 38.0);
    let hull = [at(left, deck), at(right, deck), at(right - 16.0, keel), at(left + 6.0, keel)];
    canvas.put(Path::shape(&hull, Some(INK), Fill::Flat(Tone::Light)));
    canvas.line(
        &[at(EDGE, water), at(EDGE + canvas.inner(), water)],
        Stroke::dashed(Tone::Pencil, line::THIN, 2.0),
    );
    canvas.word(at(left, deck - 3.0), "stern", Anchor::Start, Tone::Pencil);
    canvas.word(at(right, deck - 3.0), "bow", Anchor::End, Tone::Pencil);
    let units = picture.subject.design.rig.units;
    from_astern(picture, canvas, (EDGE + canvas.inner() - section / 2.0, section), (top, after));
    let middle = (left + right) / 2.0;
    if let (true, Some(ahead)) = (after, spot(picture).ahead_of_middle) {
        // Nobody has said how long the boat is: the way along it has a scale of its own.
        let scale = (right - left) / afloat_mm(ahead, ALONG_MM);
        canvas.line(&[at(middle, deck - 2.0), at(middle, keel + 2.0)], PENCIL);
        let place = at(middle + ahead.as_mm() * scale, keel);
        let aside = if middle < place.x { -6.5 } else { 6.5 };
        // Backwards is above zero for whoever moves it, and the stern lies at the left.
        the_box(canvas, place, ("box", -scale), at(place.x + aside, keel - 3.0));
        canvas.word(
            at(middle, keel + 16.0),
            "middle of the waterline",
            Anchor::Middle,
            Tone::Pencil,
        );
    }
    let added = format!("put in, less taken out: {}", mass(state.added, units));
    canvas.strong(at(left + 8.0, deck + 6.0), &added, Anchor::Start, Tone::Ink);
    let moment = |value: Option<f64>, [plus, minus]: [&str; 2]| match value {
        Some(v) if v.abs() < 0.05 => "none".to_owned(),
        Some(v) => format!(
            "{}\u{a0}kg\u{a0}m to {}",
            decimal(v.abs(), 1),
            if 0.0 < v { plus } else { minus }
        ),
        None => "unknown: a place is missing".to_owned(),
    };
    let list = format!("sideways: {}", moment(state.list_kg_m, ["starboard", "port"]));
    let trim = format!("lengthwise: {}", moment(state.trim_kg_m, ["the bow", "the stern"]));
    canvas.word(at(left, keel + 6.0), &list, Anchor::Start, Tone::Ink);
    canvas.word(at(left, keel + 11.5), &trim, Anchor::Start, Tone::Ink);
}

/// The band on the floor in which the box may lie.
fn band(picture: &WeightsPicture<'_>, canvas: &mut Canvas, way: &Way, floor: f64) {
    let Some(band) = picture.weight.band.as_ref().filter(|b| b.exists()) else { return };
    let (from, to) = (way.x(band.ball_to_axle - band.to), way.x(band.ball_to_axle - band.from));
    canvas.rect(at(from, floor - 4.0), ((to - from).max(0.6), 4.0), None, Fill::Flat(Tone::Wash));
    for x in [from, to] {
        canvas.line(&[at(x, floor - 5.0), at(x, floor + 1.0)], PENCIL);
    }
}

/// Least length of water that the side view of a boat shows [mm].
const ALONG_MM: f64 = 16_000.0;
/// Least width of water that the view from astern shows [mm].
const ACROSS_MM: f64 = 5_000.0;

/// How much water is shown so that a place lies well within it: the least, or twice as much, and so on [mm].
fn afloat_mm(place: Length, least_mm: f64) -> f64 {
    let mut shown = least_mm;
    while shown * 0.42 < place.as_mm().abs() && shown < least_mm * 64.0 {
        shown *= 2.0;
    }
    shown
}

/// The boat from astern, with the box as far off the centreline as it stands.
fn from_astern(
    picture: &WeightsPicture<'_>,
    canvas: &mut Canvas,
    (middle, width): (f64, f64),
    (top, after): (f64, bool),
) {
    let (deck, keel) = (top + 14.0, top + 38.0);
    let half = width / 2.0 - 2.0;
    let hull = [
        at(middle - half, deck),
        at(middle + half, deck),
        at(middle + half * 0.82, keel),
        at(middle - half * 0.82, keel),
    ];
    canvas.put(Path::shape(&hull, Some(INK), Fill::Flat(Tone::Light)));
    canvas.line(&[at(middle, deck - 2.0), at(middle, keel + 2.0)], PENCIL);
    canvas.word(at(middle - half, deck - 3.0), "port", Anchor::Start, Tone::Pencil);
    canvas.word(at(middle + half, deck - 3.0), "starboard", Anchor::End, Tone::Pencil);
    if let (true, Some(off)) = (after, spot(picture).off_centre) {
        let scale = 1.64 * half / afloat_mm(off, ACROSS_MM);
        let place = at(middle + off.as_mm() * scale, keel);
        the_box(canvas, place, ("across", scale), at(place.x, keel + 5.0));
    }
}

/// Where the box stands in the rig.
fn spot(picture: &WeightsPicture<'_>) -> engine::model::part::Spot {
    picture.subject.design.enclosure.as_ref().map_or_else(Default::default, |e| e.spot)
}

/// The box in its place on the floor, its word beside it. A page lets it be dragged, and must know which
/// way and how far a millimetre of it is on paper.
fn the_box(canvas: &mut Canvas, place: Point, (way, per_mm): (&str, f64), words: Point) {
    let begins = canvas.items.len();
    let hatch = Fill::Hatch(Tone::Pencil, 1.5);
    canvas.rect(place.moved(-5.0, -9.0), (10.0, 8.0), Some(INK), hatch);
    let anchor = if words.x < place.x {
        Anchor::End
    } else if place.x < words.x {
        Anchor::Start
    } else {
        Anchor::Middle
    };
    canvas.strong(words, "box", anchor, Tone::Ink);
    let title = if way == "box" {
        "The box, to be moved along the rig"
    } else {
        "The box, to be moved across the boat"
    };
    let id = if way == "box" { "slide" } else { "slide-across" };
    let mut group = Group::named(id, "slide", title);
    group.items = canvas.items.split_off(begins);
    group.data.push(("slide".to_owned(), way.to_owned()));
    group.data.push(("per-mm".to_owned(), format!("{per_mm:.6}")));
    canvas.put(group);
}

/// What a point carries: an arrow up from the ground, the figure, and its plate under it.
fn point(
    canvas: &mut Canvas,
    place: Point,
    says: &str,
    (load, plate): (Option<Mass>, Option<Mass>),
    units: UnitSystem,
) {
    canvas.arrow(place.moved(0.0, 7.0), place.moved(0.0, 0.6), 0.9, Tone::Ink);
    let x = place.x.max(EDGE + 20.0);
    canvas.strong(at(x, place.y + 9.6), says, Anchor::Middle, Tone::Ink);
    let (words, tone) = verdict(load, plate, units);
    canvas.word(at(x, place.y + 14.4), &words, Anchor::Middle, tone);
}

fn figure(what: &str, load: Option<Mass>, units: UnitSystem, end: &str) -> String {
    load.map_or_else(
        || format!("{what}: not known"),
        |m| format!("{what}: {}{end}", mass(m, units)),
    )
}

/// The plate, and whether the load is over it, in words as well as in red.
fn verdict(load: Option<Mass>, plate: Option<Mass>, units: UnitSystem) -> (String, Tone) {
    match (load, plate) {
        (_, None) => ("plate: not given".to_owned(), Tone::Pencil),
        (Some(load), Some(plate)) if plate < load => {
            (format!("OVER its plate {}", mass(plate, units)), Tone::Red)
        }
        (_, Some(plate)) => (format!("plate {}", mass(plate, units)), Tone::Pencil),
    }
}

/// Whole kilograms or pounds: nobody weighs a rig more closely.
fn mass(mass: Mass, units: UnitSystem) -> String {
    show::weight(mass, units).replace(' ', "\u{a0}")
}

/// What stands under the two rows.
fn below(picture: &WeightsPicture<'_>) -> Vec<String> {
    let units = picture.subject.design.rig.units;
    let weight = picture.weight;
    let mut lines = Vec::new();
    if let Some(band) = &weight.band {
        let says = |l| measured(l, units);
        lines.push(if band.exists() {
            format!(
                "Shaded on the floor: the middle of the box may lie {} to {} ahead of the axle; it lies {} ahead. \
                 Nearer to the axle: {}. Nearer to the ball: {}.",
                says(band.from), says(band.to), says(band.at), band.from_by, band.to_by
            )
        } else {
            "There is no place for the box at which ball and axle are both within their limits.".to_owned()
        });
    }
    let stands = spot(picture);
    if weight.kind == RigKind::Boat
        && (stands.ahead_of_middle.is_some() || stands.off_centre.is_some())
    {
        lines.push(
            "The hull is a sign; where the box stands from its middle is to scale.".to_owned(),
        );
    }
    let unknown: Vec<&str> = weight.missing().map(|u| u.what.as_str()).take(4).collect();
    if !unknown.is_empty() {
        lines
            .push(format!("Not known, and without it there is no figure: {}.", unknown.join("; ")));
    }
    lines.push(match weight.kind {
        RigKind::Trailer => "Figures are arithmetic from what was measured. Weigh the ball and the axle again before towing.",
        RigKind::Van => "Figures are arithmetic from what was measured. Weigh each axle again before driving.",
        _ => "Figures are moments from what comes aboard and what leaves. Look at the waterline marks afterwards.",
    }.to_owned());
    lines
}
