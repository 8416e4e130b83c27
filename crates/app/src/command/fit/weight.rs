//! Weight in words: what it is now, what it becomes, what is allowed, and how to confirm it.

use crate::terminal::findings::sources;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use engine::fit::weight::band::Band;
use engine::fit::weight::confirm::{Confirm, SAFELY};
use engine::fit::weight::lift::Lift;
use engine::fit::weight::{StageWeight, Weight};
use engine::model::rig::RigKind;
use engine::tables::Tables;
use engine::units::show::{self, UnitSystem};
use engine::units::{Length, Mass};

pub(super) fn shown(weight: &Weight, units: UnitSystem, tables: &Tables) -> String {
    let mut text = moved(weight, units);
    match weight.kind {
        RigKind::Trailer | RigKind::Van => text.push_str(&states(weight, units)),
        RigKind::Boat => text.push_str(&afloat(weight)),
        RigKind::Cabin => {}
    }
    if let Some(load) = weight.floor_kg_m2.filter(|_| weight.kind == RigKind::Cabin) {
        let load = match units {
            UnitSystem::Metric => format!("{} kg/m²", show::fixed(load, 0)),
            UnitSystem::Us => format!("{} lb/ft²", show::fixed(pounds_per_foot(load), 0)),
        };
        let floor = format!(
            "The box with its blocks asks {load} of the floor. Whether the floor bears that is for a \
             builder to judge: joists, span and rot count."
        );
        text.push_str(&hanging("  ", &floor));
    }
    for unknown in &weight.unknown {
        text.push_str(&hanging("  not known  ", &format!("{}.", unknown.what)));
        text.push_str(&hanging(
            "      do  ",
            &format!("{}; write {}.", unknown.find, unknown.path),
        ));
    }
    if let Some(band) = &weight.band {
        text.push_str(&hanging("  place  ", &band_words(band, units)));
        let cites = std::slice::from_ref(&band.cite);
        text.push_str(&hanging("    from  ", &sources(cites, tables)));
    }
    if let Some(confirm) = &weight.confirm {
        text.push_str(&confirm_words(confirm, units));
    }
    for lift in weight.lifts.iter().filter(|l| l.needs_help() || l.mass.is_none()) {
        text.push_str(&hanging("  lift  ", &lift_words(lift, units)));
    }
    text
}

/// Pounds per square foot.
fn pounds_per_foot(kg_m2: f64) -> f64 {
    let foot = Length::feet(1.0).as_m();
    Mass::kg(kg_m2 * foot * foot).as_pounds()
}

fn moved(weight: &Weight, units: UnitSystem) -> String {
    let columns = [("in and out", Lean::Left), ("mass", Lean::Right), ("where", Lean::Left)];
    let row = |m: &engine::fit::weight::masses::Moved| {
        let mass = m.mass.map_or("not weighed".to_owned(), |m| signed(m, units));
        let at = |l: Length, words: &str| format!("{} {words}", show::route(l, units));
        let place = match weight.kind {
            RigKind::Trailer => m.spot.behind_ball.map(|l| at(l, "behind the ball")),
            RigKind::Van => m.spot.behind_front_axle.map(|l| at(l, "behind the front axle")),
            RigKind::Boat => m.spot.off_centre.map(|l| at(l, "off the centreline")),
            RigKind::Cabin => None,
        };
        vec![m.what.clone(), mass, place.unwrap_or_default()]
    };
    if weight.moved.is_empty() {
        return String::new();
    }
    table(&columns, weight.moved.iter().map(row).collect())
}

fn signed(mass: Mass, units: UnitSystem) -> String {
    let sign = if mass < Mass::ZERO { "" } else { "+" };
    format!("{sign}{}", show::mass(mass, units))
}

/// A whole kilogram or pound: nobody weighs a rig more closely.
fn whole(mass: Option<Mass>, units: UnitSystem) -> String {
    mass.map_or("not known".to_owned(), |m| show::weight(m, units))
}

fn states(weight: &Weight, units: UnitSystem) -> String {
    let mut columns = vec![("stage".to_owned(), Lean::Left)];
    let towed = weight.kind == RigKind::Trailer;
    if towed {
        columns.push(("ball".to_owned(), Lean::Right));
        columns.push(("of gross".to_owned(), Lean::Right));
    }
    for axle in &weight.after().axles {
        columns.push((axle.id.clone(), Lean::Right));
    }
    columns.push(("gross".to_owned(), Lean::Right));
    let row = |s: &StageWeight| {
        let mut cells = vec![s.stage.clone()];
        if towed {
            cells.push(whole(s.ball, units));
            let percent = s.ball_percent().map(|p| format!("{} %", show::fixed(p, 1)));
            cells.push(percent.unwrap_or_default());
        }
        cells.extend(s.axles.iter().map(|a| whole(a.load, units)));
        cells.push(whole(s.gross, units));
        cells
    };
    let mut rows: Vec<Vec<String>> = weight.states.iter().map(row).collect();
    let mut plates = vec!["limit".to_owned()];
    if towed {
        plates.push(whole(weight.ball_plate().map(|(_, max)| max), units));
        plates.push(String::new());
    }
    plates.extend(weight.after().axles.iter().map(|a| whole(a.plate, units)));
    plates.push(whole(weight.gross_plate.max, units));
    rows.push(plates);
    let columns: Vec<(&str, Lean)> = columns.iter().map(|(c, l)| (c.as_str(), *l)).collect();
    let mut text = String::from("\n");
    text.push_str(&table(&columns, rows));
    if towed {
        let silent: Vec<String> = weight
            .ball_plates
            .iter()
            .filter(|p| p.max.is_none())
            .map(|p| format!("the {}", p.what))
            .collect();
        if !silent.is_empty() {
            let words = format!(
                "no limit is written for {}; read each plate: the smallest counts.",
                crate::failure::listed(&silent)
            );
            text.push_str(&hanging("  not known  ", &words));
        }
    }
    text
}

fn afloat(weight: &Weight) -> String {
    let after = weight.after();
    let side = |m: f64| if m < 0.0 { "port" } else { "starboard" };
    let end = |m: f64| if m < 0.0 { "stern" } else { "bow" };
    let mut text = String::new();
    if let Some(list) = after.list_kg_m {
        let heel = after.heel.map_or_else(String::new, |h| {
            format!(", about {}° of heel", show::fixed(h.as_degrees().abs(), 1))
        });
        let words = format!("{} kg m to {}{heel}.", show::fixed(list.abs(), 0), side(list));
        text.push_str(&hanging("  list  ", &words));
    }
    if let Some(trim) = after.trim_kg_m {
        let words = format!("{} kg m by the {}.", show::fixed(trim.abs(), 0), end(trim));
        text.push_str(&hanging("  trim  ", &words));
    }
    text
}

fn band_words(band: &Band, units: UnitSystem) -> String {
    let side = if band.at < Length::ZERO { "behind" } else { "ahead" };
    let at = format!("{} {side}", show::length(band.at.abs(), units));
    if !band.exists() {
        return format!(
            "No place passes for the box with its {}: {} stops it nearer to the axle and {} nearer \
             to the ball. Move or take out other weight, or change a plate.",
            show::mass(band.mass, units),
            band.from_by,
            band.to_by
        );
    }
    let verdict = if band.holds_box() {
        format!("It lies {at}: good.")
    } else {
        format!("It lies {at}: move it.")
    };
    format!(
        "The middle of the box may lie {}: nearer to the axle stops at {}, nearer to the ball at \
         {}. {verdict}",
        band.words(units),
        band.from_by,
        band.to_by
    )
}

fn confirm_words(confirm: &Confirm, units: UnitSystem) -> String {
    let masses = |three: [Mass; 3]| {
        let [read, least, most] = three.map(|m| whole(Some(m), units));
        format!("{read} ({least} to {most})")
    };
    let bare = if confirm.needs_beam() {
        format!("too much for a usual bathroom scale of {}", whole(Some(confirm.scale_max), units))
    } else {
        "a bathroom scale can take it bare".to_owned()
    };
    let mut text = hanging("  weigh  ", &format!("Ball load {}: {bare}.", masses(confirm.ball)));
    let beam = format!(
        "On a beam with a round bar, {}, the coupling, {}, the scale: it shows {} more than with \
         the beam alone; times {} is the ball load.",
        show::length(confirm.bar_to_ball, units),
        show::length(confirm.ball_to_scale, units),
        masses(confirm.beam),
        show::decimal(confirm.factor, 1)
    );
    text.push_str(&hanging("         ", &beam));
    for line in SAFELY {
        text.push_str(&hanging("         ", line));
    }
    text
}

fn lift_words(lift: &Lift, units: UnitSystem) -> String {
    let Some(mass) = lift.mass else {
        return format!("Weigh one {} first; write {}.", lift.what, lift.path);
    };
    let rail = if lift.over_rail { ", over a rail" } else { "" };
    format!(
        "One {} is {}{rail}: two people, or a plank and a strap. One person lifts {} at most.",
        lift.what,
        show::mass(mass, units),
        show::mass(lift.most, units)
    )
}
