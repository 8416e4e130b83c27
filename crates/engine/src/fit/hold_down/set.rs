//! What one fastener of a set bears, along and across, and which part of it gives way first.

use crate::calc::bolt::{bolt_shear, wood_bearing};
use crate::calc::screw::{ScrewJoint, hole_bearing, pull_over, screw_pull_out, screw_shear};
use crate::calc::strap::strap_hold;
use crate::cite::Status;
use crate::model::enclosure::Enclosure;
use crate::model::hold::{BoxMaterial, Ground, Hold, HoldKind};
use crate::tables::Tables;
use crate::tables::limits::Limits;
use crate::units::{Angle, Area, Force, Length};

/// How far what is counted lies under what breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Margin {
    /// This divisor is in the figure already.
    Factor(f64),
    /// Where the metal begins to stay bent; nothing further is taken off.
    Proof,
    /// What the material may bear, as it was given; no divisor is known.
    Allowed,
    /// The maker's own label.
    Label,
    /// Nothing is counted at all.
    Nothing,
}

impl Margin {
    /// The words shown everywhere.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Factor(by) => {
                format!("1/{} of what breaks it", crate::units::show::decimal(by, 1))
            }
            Self::Proof => "proof load, no further factor".to_owned(),
            Self::Allowed => "allowable pressure, no further factor".to_owned(),
            Self::Label => "as labelled, no further factor".to_owned(),
            Self::Nothing => "not counted".to_owned(),
        }
    }

    /// The divisor that is in the figure, where one is known; 1 where nothing was taken off.
    #[must_use]
    pub const fn factor(self) -> Option<f64> {
        match self {
            Self::Factor(by) => Some(by),
            Self::Proof => Some(1.0),
            Self::Allowed | Self::Label | Self::Nothing => None,
        }
    }
}

/// A force with the part that sets it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bears {
    /// What it bears.
    pub force: Force,
    /// What gives way first.
    pub governed_by: &'static str,
    /// How far that lies under what breaks it.
    pub margin: Margin,
    /// How the strength was read.
    pub status: Status,
}

impl Bears {
    /// What nobody counts on.
    const fn nothing(governed_by: &'static str) -> Self {
        let margin = Margin::Nothing;
        Self { force: Force::ZERO, governed_by, margin, status: Status::Practice }
    }

    /// What the owner read off a label.
    const fn label(force: Force, governed_by: &'static str) -> Self {
        Self { force, governed_by, margin: Margin::Label, status: Status::Read }
    }

    /// What thin metal or a screw bears by the rules of cold-formed steel, its divisor taken off.
    fn steel(limits: &Limits, force: Force, governed_by: &'static str) -> Self {
        let (by, metal) = (limits.value("screw-omega"), limits.value("steel-tensile"));
        let status = by.cite.status.weaker(metal.cite.status);
        Self { force, governed_by, margin: Margin::Factor(by.value), status }
    }

    fn least(all: impl IntoIterator<Item = Self>) -> Option<Self> {
        all.into_iter().min_by(|a, b| a.force.as_newtons().total_cmp(&b.force.as_newtons()))
    }
}

/// Wood under a plate.
fn wood_under(limits: &Limits, plate: Length, bolt: Length, governed_by: &'static str) -> Bears {
    Bears {
        force: wood_bearing(limits, face(plate), bolt),
        governed_by,
        margin: Margin::Allowed,
        status: limits.value("plywood-bearing").cite.status,
    }
}

/// Wood round a bolt or screw.
fn wood_round(
    limits: &Limits,
    (bolt, thick): (Length, Length),
    governed_by: &'static str,
) -> Bears {
    let pressure = limits.value("plywood-embedding");
    Bears {
        force: Force::newtons(pressure.value * bolt.as_mm() * thick.as_mm()),
        governed_by,
        margin: Margin::Allowed,
        status: pressure.cite.status,
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

/// A bolt of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// Diameter over its thread.
    pub diameter: Length,
    /// Its proof load.
    pub proof: Force,
    /// How that load was read.
    pub status: Status,
}

/// A bolt of the table by the owner's size and grade.
#[must_use]
pub fn bolt_of(tables: &Tables, size: &str, grade: &str) -> Option<Bolt> {
    let wanted = |name: &str| {
        let (head, tail) = name.split_once(' ').unwrap_or((name, ""));
        let head = head.split('-').next().unwrap_or(head);
        let size = size.trim().trim_end_matches("in").trim();
        let size = size.split('-').next().unwrap_or(size);
        head.eq_ignore_ascii_case(size) && tail.eq_ignore_ascii_case(grade.trim())
    };
    let (name, proof) = tables.enclosure.bolts().find(|(name, _)| wanted(name))?;
    let diameter = stud(tables, name)?;
    let status = proof.cite.status;
    Some(Bolt { diameter, proof: Force::pounds_force(proof.value), status })
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
            let none = || Ok(Bears::nothing("rivets, which are not counted"));
            SetBears { up: none(), across: none() }
        }
        HoldKind::Clamp => SetBears {
            up: set
                .rating
                .map(|m| Force::weight_of(m) * f64::from(number))
                .map(|force| Bears::label(force, "rating of the clamp"))
                .ok_or_else(|| vec!["rating"]),
            across: Ok(Bears::nothing("a clamp, which slides on its rail")),
        },
        HoldKind::Strap => SetBears {
            up: strap_up(set, number, under.tables),
            across: Ok(Bears::nothing("a strap, which holds by friction alone")),
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
    Ok(Bears::label(force, governed_by))
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
            Ok(Some(wood_under(limits, width, bolt, "plywood of the box under the plate")))
        }
        (Some(BoxMaterial::Steel), Some(wall), Some(width)) => Ok(Some(Bears::steel(
            limits,
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
            let through = (diameter, wall);
            Ok(Some(wood_round(limits, through, "plywood of the box round the fastener")))
        }
        (Some(BoxMaterial::Steel), Some(wall)) => {
            let force = hole_bearing(limits, diameter, wall);
            Ok(Some(Bears::steel(limits, force, "floor of the box")))
        }
        (Some(BoxMaterial::Aluminium | BoxMaterial::Plastic), Some(_)) => {
            Err(vec!["what the floor of the box bears round a bolt, from its maker"])
        }
    }
}

fn bolt(set: &Hold, tables: &Tables) -> Result<Bolt, Vec<&'static str>> {
    match (&set.size, &set.grade) {
        (Some(size), Some(grade)) => {
            bolt_of(tables, size, grade).ok_or_else(|| vec!["size and grade the tables know"])
        }
        (None, _) => Err(vec!["size"]),
        (_, None) => Err(vec!["grade"]),
    }
}

fn bolt_up(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let bolt = bolt(set, under.tables)?;
    let mut all = vec![Bears {
        force: bolt.proof,
        governed_by: "proof load of the bolt",
        margin: Margin::Proof,
        status: bolt.status,
    }];
    all.extend(floor_up(under, set.plate, bolt.diameter)?);
    let plate = set.plate.ok_or_else(|| vec!["plate"])?;
    all.push(match (set.into, set.wall) {
        (None, _) => return Err(vec!["into"]),
        (Some(Ground::Wood), _) => {
            wood_under(limits, plate, bolt.diameter, "wood under the backing plate")
        }
        (Some(_), None) => return Err(vec!["wall"]),
        (Some(_), Some(wall)) => {
            Bears::steel(limits, pull_over(limits, wall, plate), "wall under the backing plate")
        }
    });
    Bears::least(all).ok_or_else(Vec::new)
}

fn bolt_across(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let bolt = bolt(set, under.tables)?;
    let mut all = vec![Bears {
        force: bolt_shear(bolt.proof),
        governed_by: "shear of the bolt",
        margin: Margin::Proof,
        status: bolt.status,
    }];
    all.extend(floor_across(under, bolt.diameter)?);
    all.push(match (set.into, set.wall) {
        (None, _) => return Err(vec!["into"]),
        (Some(_), None) => return Err(vec!["wall"]),
        (Some(Ground::Wood), Some(wall)) => {
            wood_round(limits, (bolt.diameter, wall), "wood round the bolt")
        }
        (Some(_), Some(wall)) => {
            Bears::steel(limits, hole_bearing(limits, bolt.diameter, wall), "wall round the bolt")
        }
    });
    Bears::least(all).ok_or_else(Vec::new)
}

/// Diameter of a screw, its own strength across and along, and the wall that holds its thread.
struct Screw {
    diameter: Length,
    across: Force,
    along: Force,
    wall: Length,
    status: Status,
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
        status: metal.cite.status,
    })
}

fn screw_up(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let screw = screw(set, under.tables)?;
    let head = set.plate.unwrap_or_else(|| Length::inches(limits.value("screw-head-min").value));
    let mut all = vec![
        Bears {
            status: screw.status,
            ..Bears::steel(limits, screw.along, "the screw's own metal")
        },
        Bears::steel(
            limits,
            screw_pull_out(limits, screw.diameter, screw.wall),
            "pull-out of the thread",
        ),
    ];
    all.extend(floor_up(under, Some(head), screw.diameter)?);
    Bears::least(all).ok_or_else(Vec::new)
}

fn screw_across(set: &Hold, under: Under<'_>) -> Result<Bears, Vec<&'static str>> {
    let limits = &under.tables.limits;
    let screw = screw(set, under.tables)?;
    let own = Bears::steel(limits, screw.across, "shear of the screw");
    let mut all = vec![Bears { status: screw.status, ..own }];
    all.extend(floor_across(under, screw.diameter)?);
    // A floor that is not steel is judged above; here it is taken as thick as the wall.
    let steel = under.enclosure.filter(|e| e.material == Some(BoxMaterial::Steel));
    let near = steel.and_then(|e| e.wall).unwrap_or(screw.wall);
    let head = Length::inches(limits.value("screw-head-min").value);
    let joint = ScrewJoint { diameter: screw.diameter, near, far: screw.wall, head };
    let torn = screw_shear(limits, &joint);
    all.push(Bears::steel(limits, torn, "shear: the wall tears at the thread"));
    Bears::least(all).ok_or_else(Vec::new)
}
