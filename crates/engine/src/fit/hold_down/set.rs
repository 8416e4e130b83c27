//! What one fastener of a set bears, along and across, and which part of it gives way first.

use crate::calc::bolt::{bolt_shear, wood_bearing};
use crate::calc::screw::{ScrewJoint, hole_bearing, pull_over, screw_pull_out, screw_shear};
use crate::calc::strap::strap_hold;
use crate::model::enclosure::Enclosure;
use crate::model::hold::{BoxMaterial, Ground, Hold, HoldKind};
use crate::tables::Tables;
use crate::units::{Angle, Area, Force, Length};

/// A force with the part that sets it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bears {
    /// What it bears.
    pub force: Force,
    /// What gives way first.
    pub governed_by: &'static str,
}

impl Bears {
    const fn new(force: Force, governed_by: &'static str) -> Self {
        Self { force, governed_by }
    }

    fn least(all: impl IntoIterator<Item = Self>) -> Option<Self> {
        all.into_iter().min_by(|a, b| a.force.as_newtons().total_cmp(&b.force.as_newtons()))
    }
}

/// What a whole set bears, or what must be known first.
#[derive(Clone, Debug, PartialEq)]
pub struct SetBears {
    /// Along: what it holds down.
    pub up: Result<Bears, Vec<&'static str>>,
    /// Across: what it keeps from sliding.
    pub across: Result<Bears, Vec<&'static str>>,
}

/// Where a set stands: the floor of the box under its head.
#[derive(Clone, Copy)]
pub struct Under<'a> {
    /// The published figures.
    pub tables: &'a Tables,
    /// The box.
    pub enclosure: Option<&'a Enclosure>,
}

/// A bolt of the table by the owner's size and grade: diameter and proof load.
#[must_use]
pub fn bolt_of(tables: &Tables, size: &str, grade: &str) -> Option<(Length, Force)> {
    let wanted = |name: &str| {
        let (head, tail) = name.split_once(' ').unwrap_or((name, ""));
        let head = head.split('-').next().unwrap_or(head);
        let size = size.trim().trim_end_matches("in").trim();
        let size = size.split('-').next().unwrap_or(size);
        head.eq_ignore_ascii_case(size) && tail.eq_ignore_ascii_case(grade.trim())
    };
    let (name, proof) = tables.enclosure.bolts().find(|(name, _)| wanted(name))?;
    Some((stud(tables, name)?, Force::pounds_force(proof.value)))
}

/// The name of a bolt's thread in the tables of studs: `5/16 in`, `M8`.
#[must_use]
pub fn stud_name(bolt: &str) -> String {
    let head = bolt.split(' ').next().unwrap_or(bolt);
    match head.split_once('-') {
        Some((inches, _)) => format!("{inches} in"),
        None => head.to_owned(),
    }
}

fn stud(tables: &Tables, bolt: &str) -> Option<Length> {
    Some(tables.termination.stud_diameter(&stud_name(bolt))?.value)
}

/// The words of a screw's size in the tables: `#12`, `1/4`.
#[must_use]
pub fn screw_name(size: &str) -> &str {
    size.trim().trim_end_matches("in").trim()
}

/// What a set bears.
#[must_use]
pub fn bears(set: &Hold, under: Under<'_>) -> SetBears {
    let Some(number) = set.number else {
        let missing = || Err(vec!["number"]);
        return SetBears { up: missing(), across: missing() };
    };
    let all = |one: Bears| Bears { force: one.force * f64::from(number), ..one };
    match set.kind {
        HoldKind::Bolt => {
            SetBears { up: bolt_up(set, under).map(all), across: bolt_across(set, under).map(all) }
        }
        HoldKind::Screw => SetBears {
            up: screw_up(set, under).map(all),
            across: screw_across(set, under).map(all),
        },
        HoldKind::Rivet => {
            let none = || Ok(Bears::new(Force::ZERO, "rivets, which are not counted"));
            SetBears { up: none(), across: none() }
        }
        HoldKind::Clamp => SetBears {
            up: set
                .rating
                .map(|m| Bears::new(Force::weight_of(m) * f64::from(number), "rating of the clamp"))
                .ok_or_else(|| vec!["rating"]),
            across: Ok(Bears::new(Force::ZERO, "a clamp, which slides on its rail")),
        },
        HoldKind::Strap => SetBears {
            up: strap_up(set, number, under.tables),
            across: Ok(Bears::new(Force::ZERO, "a strap, which holds by friction alone")),
        },
    }
}

/// The angle of a strap to the floor: the owner's, or a flattish one.
#[must_use]
pub fn strap_angle(set: &Hold, tables: &Tables) -> Angle {
    set.angle.unwrap_or_else(|| Angle::degrees(tables.limits.value("strap-angle-min").value))
}

fn strap_up(set: &Hold, number: u32, tables: &Tables) -> Result<Bears, Vec<&'static str>> {
    let mut missing = Vec::new();
    if set.rating.is_none() {
        missing.push("rating");
    }
    if set.anchor.is_none() && set.closed != Some(true) {
        missing.push("anchor");
    }
    let Some(rating) = set.rating.filter(|_| missing.is_empty()) else {
        return Err(missing);
    };
    let fitting = set.anchor.filter(|_| set.closed != Some(true));
    let (tension, governed_by) = match fitting {
        Some(fitting) if fitting < rating => (fitting, "end fitting of the strap"),
        _ => (rating, "rating of the strap"),
    };
    let angle = strap_angle(set, tables);
    let force = strap_hold(&tables.limits, number, Force::weight_of(tension), angle);
    Ok(Bears::new(force, governed_by))
}

/// Area of a washer of that width; a square plate counts as round, which is the safe side.
fn face(width: Length) -> Area {
    crate::calc::ventilation::hole_area(width)
}

/// What the floor of the box bears under a head with a washer or plate of that width.
fn floor_up(
    under: Under<'_>,
    width: Option<Length>,
    bolt: Length,
) -> Result<Option<Bears>, Vec<&'static str>> {
    let Some(enclosure) = under.enclosure else {
        return Ok(None);
    };
    let limits = &under.tables.limits;
    match (enclosure.material, enclosure.wall, width) {
        (None, _, _) => Err(vec!["material of the box"]),
        (_, _, None) => Err(vec!["plate"]),
        (Some(BoxMaterial::Plywood), _, Some(width)) => {
            let force = wood_bearing(limits, face(width), bolt);
            Ok(Some(Bears::new(force, "plywood of the box under the plate")))
        }
        (Some(BoxMaterial::Steel), Some(wall), Some(width)) => Ok(Some(Bears::new(
            pull_over(limits, wall, width),
            "pull-over at the floor of the box",
        ))),
        (Some(BoxMaterial::Steel), None, _) => Err(vec!["wall of the box"]),
        (Some(BoxMaterial::Aluminium | BoxMaterial::Plastic), _, _) => {
            Err(vec!["what the floor of the box bears under a plate, from its maker"])
        }
    }
}

/// What the floor of the box bears across.
fn floor_across(under: Under<'_>, diameter: Length) -> Result<Option<Bears>, Vec<&'static str>> {
    let Some(enclosure) = under.enclosure else {
        return Ok(None);
    };
    let limits = &under.tables.limits;
    match (enclosure.material, enclosure.wall) {
        (None, _) => Err(vec!["material of the box"]),
        (_, None) => Err(vec!["wall of the box"]),
        (Some(BoxMaterial::Plywood), Some(wall)) => {
            let pressure = limits.value("plywood-embedding").value;
            let force = Force::newtons(pressure * diameter.as_mm() * wall.as_mm());
            Ok(Some(Bears::new(force, "plywood of the box round the fastener")))
        }
        (Some(BoxMaterial::Steel), Some(wall)) => {
            Ok(Some(Bears::new(hole_bearing(limits, diameter, wall), "floor of the box")))
        }
        (Some(BoxMaterial::Aluminium | BoxMaterial::Plastic), Some(_)) => {
            Err(vec!["what the floor of the box bears round a bolt, from its maker"])
        }
    }
}

fn bolt(set: &Hold, tables: &Tables) -> Result<(Length, Force), Vec<&'static str>> {
    match (&set.size, &set.grade) {
        (Some(size), Some(grade)) => {
            bolt_of(tables, size, grade).ok_or_else(|| vec!["size and grade the tables know"])
        }
        (None, _) => Err(vec!["size"]),
        (_, None) => Err(vec!["grade"]),
    }
}

fn bolt_up(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let tables = under.tables;
    let (diameter, proof) = bolt(set, tables)?;
    let mut all = vec![Bears::new(proof, "proof load of the bolt")];
    all.extend(floor_up(under, set.plate, diameter)?);
    let plate = set.plate.ok_or_else(|| vec!["plate"])?;
    match (set.into, set.wall) {
        (None, _) => return Err(vec!["into"]),
        (Some(Ground::Wood), _) => {
            let force = wood_bearing(&tables.limits, face(plate), diameter);
            all.push(Bears::new(force, "wood under the backing plate"));
        }
        (Some(_), None) => return Err(vec!["wall"]),
        (Some(_), Some(wall)) => {
            let force = pull_over(&tables.limits, wall, plate);
            all.push(Bears::new(force, "wall under the backing plate"));
        }
    }
    Bears::least(all).ok_or_else(Vec::new)
}

fn bolt_across(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let tables = under.tables;
    let (diameter, proof) = bolt(set, tables)?;
    let mut all = vec![Bears::new(bolt_shear(proof), "shear of the bolt")];
    all.extend(floor_across(under, diameter)?);
    match (set.into, set.wall) {
        (None, _) => return Err(vec!["into"]),
        (Some(_), None) => return Err(vec!["wall"]),
        (Some(Ground::Wood), Some(wall)) => {
            let pressure = tables.limits.value("plywood-embedding").value;
            let force = Force::newtons(pressure * diameter.as_mm() * wall.as_mm());
            all.push(Bears::new(force, "wood round the bolt"));
        }
        (Some(_), Some(wall)) => {
            let force = hole_bearing(&tables.limits, diameter, wall);
            all.push(Bears::new(force, "wall round the bolt"));
        }
    }
    Bears::least(all).ok_or_else(Vec::new)
}

/// Diameter of a screw, its own strength across and along, and the wall that holds its thread.
struct Screw {
    diameter: Length,
    across: Force,
    along: Force,
    wall: Length,
}

fn screw(set: &Hold, tables: &Tables) -> Result<Screw, Vec<&'static str>> {
    let name = set.size.as_deref().map(screw_name).ok_or_else(|| vec!["size"])?;
    let unknown = || vec!["a screw the tables know"];
    let fit = tables.enclosure.fastener_fit(name).ok_or_else(unknown)?;
    let metal = tables.enclosure.screw_strength(name).ok_or_else(unknown)?;
    match (set.into, set.wall) {
        (None, _) => return Err(vec!["into"]),
        (Some(Ground::Wood), _) => return Err(vec!["no figure for screws in wood: use bolts"]),
        (Some(_), None) => return Err(vec!["wall"]),
        (Some(_), Some(_)) => {}
    }
    let omega = tables.limits.value("screw-omega").value;
    Ok(Screw {
        diameter: fit.diameter,
        across: Force::pounds_force(metal.shear_lbf / omega),
        along: Force::pounds_force(metal.tension_lbf / omega),
        wall: set.wall.ok_or_else(|| vec!["wall"])?,
    })
}

fn screw_up(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let screw = screw(set, under.tables)?;
    let head = set.plate.unwrap_or_else(|| Length::inches(limits.value("screw-head-min").value));
    let mut all = vec![
        Bears::new(screw.along, "the screw's own metal"),
        Bears::new(screw_pull_out(limits, screw.diameter, screw.wall), "pull-out of the thread"),
    ];
    all.extend(floor_up(under, Some(head), screw.diameter)?);
    Bears::least(all).ok_or_else(Vec::new)
}

fn screw_across(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let screw = screw(set, under.tables)?;
    let mut all = vec![Bears::new(screw.across, "shear of the screw")];
    all.extend(floor_across(under, screw.diameter)?);
    // A floor that is not steel is judged above; here it is taken as thick as the wall.
    let steel = under.enclosure.filter(|e| e.material == Some(BoxMaterial::Steel));
    let near = steel.and_then(|e| e.wall).unwrap_or(screw.wall);
    let head = Length::inches(limits.value("screw-head-min").value);
    let joint = ScrewJoint { diameter: screw.diameter, near, far: screw.wall, head };
    all.push(Bears::new(screw_shear(limits, &joint), "shear: the wall tears at the thread"));
    Bears::least(all).ok_or_else(Vec::new)
}
