//! `fit --json`. A part that cannot be worked out is null; masses are in kg, moments in kg m.

mod weight;

use super::FaultJson;
use crate::rig::Rig;
use engine::cite::Status;
use engine::fit::Fit;
use engine::fit::better::{Better, Search};
use engine::fit::dry_fit::{DryFit, Help};
use engine::fit::hold_down::set::Margin;
use engine::fit::hold_down::{HoldDown, HoldRow};
use engine::fit::room::{Clear, Room};
use engine::fit::told::Told;
use engine::fit::vent::{Vent, VentRow, VentStatus};
use engine::model::lead::LugForm;
use engine::report::Report;
use engine::units::Length;
use serde::Serialize;
use std::collections::BTreeMap;
use weight::{WeightJson, kg};

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct FitJson {
    rig: String,
    stage: String,
    #[serde(rename = "box")]
    room: Option<RoomJson>,
    clashes: Vec<ClashJson>,
    leads: Vec<LeadJson>,
    better: Option<Vec<BetterJson>>,
    layout: Option<LayoutJson>,
    weight: WeightJson,
    hold_down: Option<Vec<HoldDownJson>>,
    hold: Option<HoldJson>,
    vent: Option<Vec<VentJson>>,
    openings: Option<OpeningsJson>,
    stop_count: usize,
    design_faults: Vec<FaultJson>,
}

#[derive(Debug, Serialize)]
struct RoomJson {
    clear_mm: BTreeMap<String, f64>,
    wants_mm: BTreeMap<String, f64>,
    in_the_way: Vec<InTheWayJson>,
}

/// Leads that lie across a block on its way out.
#[derive(Debug, Serialize)]
struct InTheWayJson {
    block: String,
    leads: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ClashJson {
    severity: &'static str,
    part: String,
    other: Option<String>,
    by_mm: f64,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
    path: String,
}

#[derive(Debug, Serialize)]
struct LeadJson {
    id: String,
    route_mm: f64,
    cut_mm: f64,
    in_hand_mm: Option<f64>,
    spare_mm: Option<f64>,
    /// Whether the one in hand reaches, in words.
    says: String,
    /// What would make it reach, the most first; empty where it reaches.
    helps: Vec<HelpJson>,
    /// Allowance at each end; null for a lead without a path.
    slack_each_end_mm: Option<f64>,
    /// What it is made longer by, to be as long as its partners or as its owner states.
    for_partners_mm: Option<f64>,
    /// From the stud to the closed end of the barrel, at the start and at the end.
    lugs_mm: Option<[f64; 2]>,
    /// How either lug is bent.
    lugs: [&'static str; 2],
    /// The way it leaves either stud on the plan, anticlockwise from the right; null without a path.
    exits_deg: Option<[f64; 2]>,
    /// Where it is held, along the lead from its start.
    supports_mm: Vec<f64>,
}

/// A turn that makes a lead in hand reach, or fall less short.
#[derive(Debug, Serialize)]
struct HelpJson {
    /// The block to turn half round where it stands; null for the whole box.
    block: Option<String>,
    /// How that block, or the first of the box, then stands.
    turn_deg: i32,
    /// Over, or below zero short of what the changed layout needs.
    spare_mm: f64,
    says: String,
}

#[derive(Debug, Serialize)]
struct BetterJson {
    change: String,
    gains: String,
    copper_m: f64,
    spread_percent: f64,
    edits: Vec<EditJson>,
}

#[derive(Debug, Serialize)]
struct EditJson {
    path: String,
    value: String,
}

/// The layout as it is, beside which the better ones stand.
#[derive(Debug, Serialize)]
struct LayoutJson {
    copper_m: f64,
    spread_percent: f64,
    searched_to_the_end: bool,
}

#[derive(Debug, Serialize)]
struct HoldDownJson {
    case: String,
    held: &'static str,
    direction: &'static str,
    demand_n: f64,
    capacity_n: Option<f64>,
    governed_by: Option<String>,
    /// The divisor that is in the capacity; 1 at a proof load, null where none is known.
    factor: Option<f64>,
    /// The same in words.
    margin: Option<String>,
    /// How the strength was read.
    strength_status: Option<&'static str>,
    status: &'static str,
    binding: bool,
}

/// What holds it, beside the single load cases.
#[derive(Debug, Serialize)]
struct HoldJson {
    holds: bool,
    blocks_kg: Option<f64>,
    in_all_kg: Option<f64>,
    would_hold: Vec<String>,
    unknown: Vec<HoldUnknownJson>,
    travel_max_mm: Option<f64>,
    travel_mm: Option<f64>,
    fasteners: Vec<FastenersJson>,
    notes: Vec<String>,
}

#[derive(Debug, Serialize)]
struct HoldUnknownJson {
    path: String,
    what: String,
}

#[derive(Debug, Serialize)]
struct FastenersJson {
    name: String,
    buy: Vec<BuyJson>,
    drills: Vec<String>,
    socket: Option<String>,
}

#[derive(Debug, Serialize)]
struct BuyJson {
    what: String,
    count: u32,
}

#[derive(Debug, Serialize)]
struct VentJson {
    rule: &'static str,
    stage: Option<&'static str>,
    q_m3h: Option<f64>,
    area_cm2: f64,
    holes: u32,
    drill_mm: f64,
    governs: bool,
}

/// What is asked of the openings, and what is there.
#[derive(Debug, Serialize)]
struct OpeningsJson {
    needed_cm2: f64,
    to_equalise_cm2: f64,
    low_cm2: Option<f64>,
    high_cm2: Option<f64>,
    enough: Option<bool>,
    never_equalise: bool,
    within_mm_of_top_and_bottom: f64,
    no_spark_within_mm: f64,
}

impl FitJson {
    /// The fit of a report's stage.
    pub(crate) fn of(rig: &Rig, report: &Report, fit: &Fit) -> Self {
        let clashes = fit.room.as_ref().map_or(&[][..], |r| r.clashes.as_slice());
        Self {
            rig: rig.design.rig.name.clone(),
            stage: report.stage.clone(),
            room: fit.room.as_ref().map(RoomJson::of),
            clashes: clashes.iter().map(ClashJson::of).collect(),
            leads: fit.dry_fit.iter().map(LeadJson::of).collect(),
            better: fit.better.as_ref().map(|b| b.better.iter().map(BetterJson::of).collect()),
            layout: fit.better.as_ref().map(LayoutJson::of),
            weight: WeightJson::of(rig, &fit.weight),
            hold_down: fit
                .hold_down
                .as_ref()
                .map(|h| h.rows.iter().map(HoldDownJson::of).collect()),
            hold: fit.hold_down.as_ref().map(HoldJson::of),
            vent: fit.vent.as_ref().map(|v| v.rows.iter().map(VentJson::of).collect()),
            openings: fit.vent.as_ref().map(OpeningsJson::of),
            stop_count: report.stops(),
            design_faults: FaultJson::all(rig.faults()),
        }
    }
}

impl RoomJson {
    fn of(room: &Room) -> Self {
        let of = |length: fn(&Clear) -> Length| -> BTreeMap<String, f64> {
            room.clear.iter().map(|c| (c.what.clone(), length(c).as_mm())).collect()
        };
        let lifts = room.lifts.iter().filter(|l| !l.across.is_empty());
        Self {
            clear_mm: of(|c| c.clear),
            wants_mm: of(|c| c.wants),
            in_the_way: lifts
                .map(|l| InTheWayJson { block: l.block.to_string(), leads: l.across.clone() })
                .collect(),
        }
    }
}

impl ClashJson {
    fn of(clash: &Told) -> Self {
        Self {
            severity: clash.severity.word(),
            part: clash.part.clone(),
            other: clash.other.clone(),
            by_mm: clash.by.as_mm(),
            says: clash.says.clone(),
            remedy: clash.remedy.clone(),
            path: clash.path.clone(),
        }
    }
}

impl LeadJson {
    fn of(lead: &DryFit) -> Self {
        Self {
            id: lead.id.clone(),
            route_mm: lead.route.as_mm(),
            cut_mm: lead.cut.as_mm(),
            in_hand_mm: lead.in_hand.map(|l| l.as_mm()),
            spare_mm: lead.spare.map(|l| l.as_mm()),
            says: lead.says.clone(),
            helps: lead.helps.iter().map(HelpJson::of).collect(),
            slack_each_end_mm: lead.parts.as_ref().map(|p| p.slack_each_end.as_mm()),
            for_partners_mm: lead.parts.as_ref().map(|p| p.for_partners.as_mm()),
            lugs_mm: lead.parts.as_ref().map(|p| [p.lug_from.as_mm(), p.lug_to.as_mm()]),
            lugs: lead.lugs.map(LugForm::word),
            exits_deg: lead.exits.map(|exits| exits.map(|e| e.as_degrees())),
            supports_mm: lead.supports.at.iter().map(|l| l.as_mm()).collect(),
        }
    }
}

impl HelpJson {
    fn of(help: &Help) -> Self {
        Self {
            block: help.block.map(|id| id.to_string()),
            turn_deg: help.turn.degrees(),
            spare_mm: help.spare.as_mm(),
            says: help.change.clone(),
        }
    }
}

impl BetterJson {
    fn of(better: &Better) -> Self {
        Self {
            change: better.change.clone(),
            gains: better.gains.clone(),
            edits: better
                .edits
                .iter()
                .map(|(path, value)| EditJson { path: path.clone(), value: value.clone() })
                .collect(),
            copper_m: better.copper.as_m(),
            spread_percent: better.spread_percent,
        }
    }
}

impl LayoutJson {
    fn of(search: &Search) -> Self {
        Self {
            copper_m: search.present.copper.as_m(),
            spread_percent: search.present.spread_percent,
            searched_to_the_end: search.exact,
        }
    }
}

impl HoldDownJson {
    fn of(row: &HoldRow) -> Self {
        Self {
            case: row.case.clone(),
            held: row.held.word(),
            direction: row.direction.word(),
            demand_n: row.demand.as_newtons(),
            capacity_n: row.capacity.map(|c| c.as_newtons()),
            governed_by: row.governed_by.clone(),
            factor: row.margin.and_then(Margin::factor),
            margin: row.margin.map(Margin::words),
            strength_status: row.strength.map(Status::word),
            status: row.status.word(),
            binding: row.binding,
        }
    }
}

impl HoldJson {
    fn of(hold: &HoldDown) -> Self {
        let unknown = hold
            .unknown
            .iter()
            .map(|u| HoldUnknownJson { path: u.path.clone(), what: u.what.clone() });
        let fasteners = hold.fasteners.iter().map(|f| FastenersJson {
            name: f.name.clone(),
            buy: f
                .buy
                .iter()
                .map(|(what, count)| BuyJson { what: what.clone(), count: *count })
                .collect(),
            drills: f.drills.clone(),
            socket: f.socket.clone(),
        });
        Self {
            holds: hold.holds(),
            blocks_kg: kg(hold.blocks),
            in_all_kg: kg(hold.in_all),
            would_hold: hold.would.iter().map(|w| w.words.clone()).collect(),
            unknown: unknown.collect(),
            travel_max_mm: hold.travel.map(|(most, _)| most.as_mm()),
            travel_mm: hold.travel.and_then(|(_, now)| now).map(|now| now.as_mm()),
            fasteners: fasteners.collect(),
            notes: hold.notes.clone(),
        }
    }
}

impl VentJson {
    fn of(row: &VentRow) -> Self {
        Self {
            rule: row.rule,
            stage: row.stage.map(engine::fit::vent::ChargeStage::words),
            q_m3h: row.flow.map(|q| q.as_cubic_metres_an_hour()),
            area_cm2: row.area.as_cm2(),
            holes: row.holes,
            drill_mm: row.drill.as_mm(),
            governs: row.governs,
        }
    }
}

impl OpeningsJson {
    fn of(vent: &Vent) -> Self {
        Self {
            needed_cm2: vent.needed.as_cm2(),
            to_equalise_cm2: vent.to_equalise.as_cm2(),
            low_cm2: vent.low.map(|a| a.as_cm2()),
            high_cm2: vent.high.map(|a| a.as_cm2()),
            enough: match vent.status {
                VentStatus::Open => Some(true),
                VentStatus::TooSmall => Some(false),
                VentStatus::Unknown => None,
            },
            never_equalise: vent.never_equalise,
            within_mm_of_top_and_bottom: vent.edge.as_mm(),
            no_spark_within_mm: vent.spark.as_mm(),
        }
    }
}
