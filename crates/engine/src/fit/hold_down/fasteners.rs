//! What to buy for the hold-down, the drills for its holes and the sockets for its heads.

use super::set::{bolt_of, screw_name};
use crate::cite::Status;
use crate::model::design::Design;
use crate::model::hold::{Ground, Hold, HoldKind};
use crate::tables::Tables;
use crate::units::Length;
use crate::units::show;

/// One set on the shopping list, with the tools its fitting needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Fasteners {
    /// The set's name.
    pub name: String,
    /// What to ask for in the shop: one line a kind of thing, with how many.
    pub buy: Vec<(String, u32)>,
    /// Drills, each with what it is for.
    pub drills: Vec<String>,
    /// The socket or spanner, with how far that can be trusted.
    pub socket: Option<String>,
}

/// Every set of the stage.
#[must_use]
pub(super) fn fasteners(design: &Design, tables: &Tables) -> Vec<Fasteners> {
    design.holds.iter().map(|set| one(design, set, tables)).collect()
}

fn one(design: &Design, set: &Hold, tables: &Tables) -> Fasteners {
    let number = set.number.unwrap_or(0);
    let (drills, socket) = match set.kind {
        HoldKind::Bolt => bolt_tools(set, tables),
        HoldKind::Screw => screw_tools(set, tables),
        HoldKind::Rivet | HoldKind::Strap | HoldKind::Clamp => (Vec::new(), None),
    };
    Fasteners { name: set.part.name.clone(), buy: buy(design, set, tables, number), drills, socket }
}

fn buy(design: &Design, set: &Hold, tables: &Tables, number: u32) -> Vec<(String, u32)> {
    let units = design.rig.units;
    let size = set.size.as_deref().unwrap_or("size not said");
    match set.kind {
        HoldKind::Bolt => {
            let grade = set.grade.as_deref().unwrap_or("grade not said");
            let mut lines = vec![
                (format!("bolt {size}, {grade}, {}", length(design, set, tables)), number),
                (format!("self-locking nut {size}"), number),
            ];
            match set.plate {
                Some(plate) => lines.push((
                    format!(
                        "backing plate or washer {} wide, hole for {size}",
                        show::length(plate, units)
                    ),
                    number * 2,
                )),
                None => lines.push((format!("washer {size}, broad"), number * 2)),
            }
            if set.into == Some(Ground::ClosedTube) {
                lines.push((
                    format!(
                        "sleeve for {size}, as long as the tube is wide, so that it is not crushed"
                    ),
                    number,
                ));
            }
            lines
        }
        HoldKind::Screw => vec![(format!("screw {size}, hex head with washer face"), number)],
        HoldKind::Rivet => vec![(format!("rivet {size}"), number)],
        HoldKind::Strap | HoldKind::Clamp => {
            let rating = set.rating.map_or_else(
                || "rating not said".to_owned(),
                |m| format!("marked for {} or more", show::mass(m, units)),
            );
            vec![(format!("{}, {rating}", set.kind.word()), number)]
        }
    }
}

/// Length of a bolt under its head: what is clamped, two plates, and the nut.
fn length(design: &Design, set: &Hold, tables: &Tables) -> String {
    let known = set.size.as_deref().zip(set.grade.as_deref());
    let bolt = known.and_then(|(size, grade)| bolt_of(tables, size, grade));
    let (Some(grip), Some(bolt)) = (set.grip, bolt) else {
        return "length: what it clamps and twice its thickness more".to_owned();
    };
    let past = bolt.diameter * tables.limits.value("bolt-past-grip").value;
    let plates = tables.enclosure.backing_plates();
    let thickness = set
        .plate
        .and_then(|p| plates.iter().find(|b| p <= b.side))
        .map_or(Length::ZERO, |b| b.thickness * 2.0);
    let least = grip + past + thickness;
    format!("{} long or the next longer", show::length(least, design.rig.units))
}

fn trusted(words: &str, status: Status) -> String {
    if status == Status::Read { words.to_owned() } else { format!("{words}, {}", status.says()) }
}

fn bolt_tools(set: &Hold, tables: &Tables) -> (Vec<String>, Option<String>) {
    let Some(size) = set.size.as_deref() else {
        return (Vec::new(), None);
    };
    let hole = tables.termination.clearance_hole(size);
    let drills = hole
        .map(|h| {
            let mm = show::decimal(h.value.as_mm(), 1);
            trusted(&format!("{mm} mm drill, clear hole for {size}"), h.cite.status)
        })
        .into_iter()
        .collect();
    let socket = tables
        .termination
        .spanner(size)
        .map(|s| format!("{size} bolt: {}", trusted(&s.value, s.cite.status)));
    (drills, socket)
}

fn screw_tools(set: &Hold, tables: &Tables) -> (Vec<String>, Option<String>) {
    let fit = set.size.as_deref().and_then(|s| tables.enclosure.fastener_fit(screw_name(s)));
    let Some(fit) = fit else {
        return (Vec::new(), None);
    };
    let mm = |l: Length| show::decimal(l.as_mm(), 1);
    let name = &fit.fastener;
    let drills = vec![
        trusted(&format!("{} mm drill, pilot hole for {name}", mm(fit.pilot)), fit.cite.status),
        trusted(&format!("{} mm drill, clear hole for {name}", mm(fit.clearance)), fit.cite.status),
    ];
    let socket = format!("{name} screw: {}", trusted(&fit.spanner, fit.cite.status));
    (drills, Some(socket))
}
