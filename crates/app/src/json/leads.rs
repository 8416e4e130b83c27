//! `leads --json`.

use super::FaultJson;
use super::check::SourceJson;
use super::share::plain;
use crate::rig::Rig;
use engine::plan::cut_list::{CableGroup, CutTotals};
use engine::plan::cutting::{CutLength, CutPlan, Origin, Piece};
use engine::report::Report;
use engine::sizing::answer::{FuseChoice, LeadAnswer, LugChoice, OtherPractice, Reuse};
use engine::units::show::UnitSystem;
use engine::units::{Current, Length, Voltage};
use serde::Serialize;

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct Leads {
    rig: String,
    stage: String,
    leads: Vec<LeadJson>,
    cutting: Cutting,
    stop_count: usize,
    design_faults: Vec<FaultJson>,
}

#[derive(Debug, Serialize)]
struct LeadJson {
    id: String,
    from: String,
    to: String,
    size: String,
    smallest_size: String,
    decided_by_owner: bool,
    area_mm2: f64,
    insulation_c: f64,
    colour: String,
    route_mm: f64,
    route_from: &'static str,
    tolerance_mm: f64,
    cut_mm: f64,
    ampacity_amps: f64,
    design_amps: f64,
    design_why: String,
    fuse: Option<FuseJson>,
    why: String,
    governed_by: String,
    lug_from: LugJson,
    lug_to: LugJson,
    lug_angle_deg: Option<f64>,
    shrink_mm: Option<f64>,
    shrink_sold_as: Option<String>,
    torque_nm: Option<f64>,
    other_practice: Vec<OtherJson>,
    status: &'static str,
    status_says: &'static str,
    reuse: ReuseJson,
    sources: Vec<SourceJson>,
}

#[derive(Debug, Serialize)]
struct FuseJson {
    id: String,
    family: String,
    rating_amps: f64,
    interrupt_amps: f64,
    rated_volts: Option<f64>,
    place: String,
    distance_mm: Option<f64>,
    limit_mm: Option<f64>,
    why: String,
    status: &'static str,
}

#[derive(Debug, Serialize)]
struct LugJson {
    stud_mm: Option<f64>,
    hole_mm: Option<f64>,
    barrel: String,
    form: &'static str,
    boot: bool,
    torque_nm: Option<f64>,
}

#[derive(Debug, Serialize)]
struct OtherJson {
    practice: &'static str,
    size: Option<String>,
    governed_by: String,
    status: &'static str,
}

/// Whether the lead in hand can be used: one word, and its figure where it has one.
#[derive(Debug, Default, Serialize)]
struct ReuseJson {
    is: &'static str,
    over_mm: Option<f64>,
    missing_mm: Option<f64>,
    hole_mm: Option<f64>,
    stud_mm: Option<f64>,
    at: Option<String>,
    needed_size: Option<String>,
}

#[derive(Debug, Serialize)]
struct Cutting {
    bought_mm: u64,
    used_mm: u64,
    waste_mm: u64,
    pieces: Vec<PieceJson>,
    cables: Vec<CableJson>,
}

#[derive(Debug, Serialize)]
struct PieceJson {
    id: String,
    size: String,
    length_mm: u32,
    cut_from: Option<String>,
}

#[derive(Debug, Serialize)]
struct CableJson {
    size: String,
    colour: Option<String>,
    needed_mm: u64,
    bought_mm: Option<u64>,
    in_hand_mm: Option<u64>,
    used_mm: Option<u64>,
    waste_mm: Option<u64>,
    buy: Vec<BuyJson>,
    cuts: Vec<CutJson>,
    proven: Option<bool>,
    trouble: Option<String>,
}

#[derive(Debug, Serialize)]
struct BuyJson {
    label: String,
    length_mm: u32,
    count: u32,
    price: Option<f64>,
}

#[derive(Debug, Serialize)]
struct CutJson {
    from: String,
    length_mm: u32,
    pieces: Vec<String>,
    remainder_mm: u32,
}

impl Leads {
    /// What `leads` says.
    pub(crate) fn of(rig: &Rig, report: &Report, groups: &[CableGroup], totals: CutTotals) -> Self {
        Self {
            rig: rig.design.rig.name.clone(),
            stage: report.stage.clone(),
            leads: report.study.leads.iter().map(LeadJson::of).collect(),
            cutting: Cutting {
                bought_mm: totals.bought_mm,
                used_mm: totals.used_mm,
                waste_mm: totals.waste_mm,
                pieces: groups.iter().flat_map(pieces).collect(),
                cables: groups.iter().map(CableJson::of).collect(),
            },
            stop_count: report.stops(),
            design_faults: FaultJson::all(rig.faults()),
        }
    }
}

impl LeadJson {
    fn of(lead: &LeadAnswer) -> Self {
        Self {
            id: lead.id.clone(),
            from: plain(&lead.from),
            to: plain(&lead.to),
            size: lead.size.to_string(),
            smallest_size: lead.smallest.to_string(),
            decided_by_owner: lead.decided,
            area_mm2: lead.area.as_mm2(),
            insulation_c: lead.insulation.as_celsius(),
            colour: lead.colour.clone(),
            route_mm: lead.length.route.length().as_mm(),
            route_from: lead.length.from,
            tolerance_mm: lead.length.tolerance.as_mm(),
            cut_mm: lead.length.cut.as_mm(),
            ampacity_amps: lead.ampacity.as_amps(),
            design_amps: lead.design_amps.as_amps(),
            design_why: lead.design_why.clone(),
            fuse: lead.fuse.as_ref().map(FuseJson::of),
            why: lead.why.clone(),
            governed_by: lead.governed_by.clone(),
            lug_from: LugJson::of(&lead.lug_from),
            lug_to: LugJson::of(&lead.lug_to),
            lug_angle_deg: lead.lug_angle.map(|a| a.as_degrees()),
            shrink_mm: lead.shrink.as_ref().map(|s| s.length.as_mm()),
            shrink_sold_as: lead.shrink.as_ref().map(|s| s.sold_as.clone()),
            torque_nm: lead.lug_from.torque.map(|t| t.as_newton_metres()),
            other_practice: lead.other_practice.iter().map(OtherJson::of).collect(),
            status: lead.status.word(),
            status_says: lead.status.says(),
            reuse: ReuseJson::of(&lead.reuse),
            sources: lead.cites.iter().map(SourceJson::of).collect(),
        }
    }
}

impl FuseJson {
    fn of(fuse: &FuseChoice) -> Self {
        Self {
            id: fuse.id.clone(),
            family: fuse.family.clone(),
            rating_amps: Current::as_amps(fuse.rating),
            interrupt_amps: fuse.interrupt.as_amps(),
            rated_volts: fuse.rated_volts.map(Voltage::as_volts),
            place: fuse.place.clone(),
            distance_mm: fuse.distance.map(Length::as_mm),
            limit_mm: fuse.limit.map(Length::as_mm),
            why: fuse.why.clone(),
            status: fuse.status.word(),
        }
    }
}

impl LugJson {
    fn of(lug: &LugChoice) -> Self {
        Self {
            stud_mm: lug.stud.map(Length::as_mm),
            hole_mm: lug.hole.map(Length::as_mm),
            barrel: lug.barrel.clone(),
            form: lug.form.word(),
            boot: lug.boot,
            torque_nm: lug.torque.map(|t| t.as_newton_metres()),
        }
    }
}

impl OtherJson {
    fn of(other: &OtherPractice) -> Self {
        Self {
            practice: other.practice.word(),
            size: other.size.map(|s| s.to_string()),
            governed_by: other.governed_by.clone(),
            status: other.status.word(),
        }
    }
}

impl ReuseJson {
    fn of(reuse: &Reuse) -> Self {
        match reuse {
            Reuse::New => Self { is: "new", ..Self::default() },
            Reuse::Fits { over } => {
                Self { is: "fits", over_mm: Some(over.as_mm()), ..Self::default() }
            }
            Reuse::TooShort { missing } => {
                Self { is: "too_short", missing_mm: Some(missing.as_mm()), ..Self::default() }
            }
            Reuse::WrongLug { hole, stud, at } => Self {
                is: "wrong_lug",
                hole_mm: Some(hole.as_mm()),
                stud_mm: Some(stud.as_mm()),
                at: Some(plain(at)),
                ..Self::default()
            },
            Reuse::TooThin { needed } => {
                Self { is: "too_thin", needed_size: Some(needed.to_string()), ..Self::default() }
            }
            Reuse::Unmeasured => Self { is: "unmeasured", ..Self::default() },
        }
    }
}

/// The pieces of a group with what each is cut from.
fn pieces(group: &CableGroup) -> Vec<PieceJson> {
    let from = |piece: &Piece| {
        let plan = group.plan.as_ref().ok()?;
        let length = plan.lengths.iter().find(|l| l.pieces.iter().any(|p| p.id == piece.id))?;
        Some(origin(&length.origin))
    };
    group
        .pieces
        .iter()
        .map(|piece| PieceJson {
            id: piece.id.clone(),
            size: group.size.to_string(),
            length_mm: piece.length_mm,
            cut_from: from(piece),
        })
        .collect()
}

/// Where a length comes from, in words.
pub(crate) fn origin(origin: &Origin) -> String {
    match origin {
        Origin::InHand(name) => format!("{name}, in hand"),
        Origin::Bought { label, number } => format!("{label}, length {number}"),
    }
}

impl CableJson {
    fn of(group: &CableGroup) -> Self {
        let plan = group.plan.as_ref().ok();
        Self {
            size: group.size.to_string(),
            colour: group.colour.clone(),
            needed_mm: group.needed_mm(),
            bought_mm: plan.map(|p| p.totals.bought_mm),
            in_hand_mm: plan.map(|p| p.totals.in_hand_mm),
            used_mm: plan.map(|p| p.totals.used_mm),
            waste_mm: plan.map(|p| p.totals.waste_mm),
            buy: plan.map(bought).unwrap_or_default(),
            cuts: plan.map(|p| p.lengths.iter().map(CutJson::of).collect()).unwrap_or_default(),
            proven: plan.map(|p| p.proven),
            trouble: group.plan.as_ref().err().map(|e| e.says(UnitSystem::Metric)),
        }
    }
}

fn bought(plan: &CutPlan) -> Vec<BuyJson> {
    plan.bought
        .iter()
        .map(|b| BuyJson {
            label: b.label.clone(),
            length_mm: b.length_mm,
            count: b.count,
            price: b.price_minor.map(engine::plan::cut_list::price),
        })
        .collect()
}

impl CutJson {
    fn of(length: &CutLength) -> Self {
        Self {
            from: origin(&length.origin),
            length_mm: length.length_mm,
            pieces: length.pieces.iter().map(|p| p.id.clone()).collect(),
            remainder_mm: length.remainder_mm,
        }
    }
}
