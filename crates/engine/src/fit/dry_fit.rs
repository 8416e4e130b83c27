//! The dry fit as numbers: how long each lead runs, part by part, whether the one in hand reaches,
//! and what would make it reach.

use crate::circuit::wiring::{WiredLead, Wiring};
use crate::layout::plan::PlacedBlock;
use crate::layout::posts::half_more;
use crate::layout::route::Route;
use crate::layout::{Layout, LeadPath, lay_out};
use crate::model::bank::{BlockId, BlockState};
use crate::model::design::Design;
use crate::model::lead::LugForm;
use crate::model::part::{PlanPoint, Turn};
use crate::sizing::answer::{LeadAnswer, Reuse};
use crate::study::Study;
use crate::tables::Tables;
use crate::units::show::{self, UnitSystem};
use crate::units::{Angle, Length};

/// A change of less is a matter of the tape.
const TAPE_MM: f64 = 1.0;

/// Where a lead's cut length comes from: route and slack at both ends are stud to stud; less what
/// lies beyond the closed end of either barrel it is the cable to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutParts {
    /// Along the path, stud to stud.
    pub route: Length,
    /// Allowance at each end, for bending and service.
    pub slack_each_end: Length,
    /// What it is made longer by, to be as long as its partners or as its owner states.
    pub for_partners: Length,
    /// From the first stud to the closed end of its barrel.
    pub lug_from: Length,
    /// From the last stud to the closed end of its barrel.
    pub lug_to: Length,
}

/// Where a lead is held.
#[derive(Clone, Debug, PartialEq)]
pub struct Supports {
    /// The longest run between two.
    pub every: Length,
    /// Along the lead from its start.
    pub at: Vec<Length>,
}

/// A change that makes a lead in hand longer than it needs to be, or less short.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    /// The change, as in "block A1 is turned".
    pub change: String,
    /// The block that is turned half round where it stands; `None` where the whole box is.
    pub block: Option<BlockId>,
    /// How that block, or the first of the box, then stands.
    pub turn: Turn,
    /// Over, or below zero short of what the changed layout needs.
    pub spare: Length,
}

/// One lead as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct DryFit {
    /// Its name.
    pub id: String,
    /// Along its path, stud to stud.
    pub route: Length,
    /// Cable to cut.
    pub cut: Length,
    /// What the cut is made of; `None` where the lead has no path.
    pub parts: Option<CutParts>,
    /// Stud to stud, of the one in hand; `None` when none is or its length is not known.
    pub in_hand: Option<Length>,
    /// Over, or below zero short of what this layout needs.
    pub spare: Option<Length>,
    /// In hand, and never measured.
    pub unmeasured: bool,
    /// What would make it reach, the most first; empty where it reaches.
    pub helps: Vec<Help>,
    /// The way it leaves either stud on the plan; `None` where it has no path.
    pub exits: Option<[Angle; 2]>,
    /// How its lugs are bent.
    pub lugs: [LugForm; 2],
    /// Where it is held.
    pub supports: Supports,
    /// Whether it reaches, in words; empty for a lead still to be made.
    pub says: String,
}

/// Every lead of a stage, in wiring order.
#[must_use]
pub fn of(study: &Study, tables: &Tables) -> Vec<DryFit> {
    let leads = study.leads.iter().zip(&study.layout.leads).zip(&study.wiring.leads);
    leads.map(|((answer, path), wired)| one(study, tables, (answer, path, wired))).collect()
}

fn one(
    study: &Study,
    tables: &Tables,
    (answer, path, wired): (&LeadAnswer, &LeadPath, &WiredLead),
) -> DryFit {
    let bank_in_hand = study.design.bank().is_some_and(|b| b.have) && wired.role.is_link();
    let have = wired.stated.part.have || bank_in_hand;
    let in_hand = path.length.stated.filter(|_| have);
    let spare = in_hand.and_then(|own| spare(path, own));
    let short = spare.is_some_and(|s| s < -Length::mm(TAPE_MM));
    let helps = if short { helps(study, tables, wired) } else { Vec::new() };
    let unmeasured = answer.reuse == Reuse::Unmeasured;
    let drawn = path.route.as_ref().filter(|r| r.decided).map(|r| r.length.length());
    let route = drawn.unwrap_or(answer.length.route.length());
    DryFit {
        id: answer.id.clone(),
        route,
        cut: answer.length.cut,
        parts: path.route.as_ref().map(|_| parts(path)),
        in_hand,
        says: with_lugs(says(spare, unmeasured, &helps, study.design.rig.units), path, wired),
        exits: path.route.as_ref().map(Route::exits),
        lugs: path.route.as_ref().map_or([LugForm::Straight; 2], |r| r.lugs),
        spare,
        unmeasured,
        helps,
        supports: supports(wired, route, tables),
    }
}

/// A lead to a place nobody has decided neither reaches nor fails to.
fn spare(path: &LeadPath, own: Length) -> Option<Length> {
    let decided = path.route.as_ref().is_some_and(|r| r.decided);
    decided.then(|| own - path.length.needed)
}

fn parts(path: &LeadPath) -> CutParts {
    let length = &path.length;
    // A pencilled place tells nothing of a path: the lead is as made, its slack inside.
    let decided = path.route.as_ref().is_some_and(|r| r.decided);
    let (route, slack, longer) = if decided {
        let longer = (length.made.length() - length.needed).max(Length::ZERO);
        (length.route.length(), length.slack_each_end, longer)
    } else {
        (length.made.length(), Length::ZERO, Length::ZERO)
    };
    CutParts {
        route,
        slack_each_end: slack,
        for_partners: longer,
        lug_from: length.lug_from.palm,
        lug_to: length.lug_to.palm,
    }
}

/// Holds a lead at equal steps no longer than the boat standard's, which is the only one read.
fn supports(wired: &WiredLead, route: Length, tables: &Tables) -> Supports {
    let on_bank = wired.from.block().is_some() || wired.to.block().is_some();
    let id = if on_bank { "support-iso-battery" } else { "support-iso-other" };
    let every = Length::mm(tables.limits.value(id).value);
    let first = Length::mm(tables.limits.value("support-iso-first").value);
    let every = every.min(first);
    let mut at = Vec::new();
    let runs = (route / every - 1e-6).ceil().clamp(1.0, 1000.0);
    let mut n = 1.0;
    while n < runs {
        at.push(route * (n / runs));
        n += 1.0;
    }
    Supports { every, at }
}

/// Turns each block that the lead joins half round where it stands, then the whole box, and keeps
/// what helps.
fn helps(study: &Study, tables: &Tables, wired: &WiredLead) -> Vec<Help> {
    let Some(now) = spare_of(&study.layout, &wired.id) else {
        return Vec::new();
    };
    let size_of = |id: &str| study.leads.iter().find(|l| l.id == id).map(|l| l.size);
    let tried = |change: String, block: Option<BlockId>, design: &Design| {
        let layout = lay_out(design, &Wiring::of(design), tables, &size_of);
        let stands = |b: &&PlacedBlock| block.is_none_or(|id| b.id == id);
        let turn = layout.plan.blocks.iter().find(stands).map_or(Turn::None, |b| b.turn);
        spare_of(&layout, &wired.id).map(|spare| Help { change, block, turn, spare })
    };
    let mut blocks: Vec<BlockId> =
        [&wired.from, &wired.to].iter().filter_map(|t| t.block()).collect();
    blocks.dedup();
    let mut all: Vec<Help> = Vec::new();
    for id in blocks {
        let design = placed(study, &|block| block == id, false);
        all.extend(tried(format!("block {id} is turned"), Some(id), &design));
    }
    let round = placed(study, &|_| true, true);
    all.extend(tried("the whole box is turned round".to_owned(), None, &round));
    all.retain(|help| Length::mm(TAPE_MM) < help.spare - now);
    all.sort_by(|a, b| b.spare.as_mm().total_cmp(&a.spare.as_mm()));
    all
}

fn spare_of(layout: &Layout, id: &str) -> Option<Length> {
    let path = layout.lead(id)?;
    spare(path, path.length.stated?)
}

/// The design with every block where it stands now, some of them turned half round; with `mirrored`
/// their places too, as when the whole box is turned about its middle.
fn placed(study: &Study, turned: &dyn Fn(BlockId) -> bool, mirrored: bool) -> Design {
    let mut design = study.design.clone();
    let plan = &study.layout.plan;
    let Some(bank) = design.banks.last_mut() else {
        return design;
    };
    for block in &plan.blocks {
        let far = block.far_corner();
        let opposite = PlanPoint { x: plan.inner.length - far.x, y: plan.inner.width - far.y };
        let known = bank.blocks.iter().position(|b| b.id == block.id).unwrap_or_else(|| {
            bank.blocks.push(BlockState::unknown(block.id));
            bank.blocks.len() - 1
        });
        let state = &mut bank.blocks[known];
        state.at = Some(if mirrored { opposite } else { block.corner });
        state.turn = Some(if turned(block.id) { half_more(block.turn) } else { block.turn });
    }
    design
}

/// Adds which lugs have to be bent for the lead to find a way, where the owner has not said so, and
/// what leaves it no room.
fn with_lugs(says: String, path: &LeadPath, wired: &WiredLead) -> String {
    let Some(route) = path.route.as_ref().filter(|r| r.decided) else {
        return says;
    };
    let ends = [(&wired.from, &wired.stated.from_end), (&wired.to, &wired.stated.to_end)];
    let bent = ends
        .iter()
        .zip(route.lugs)
        .filter(|((_, end), form)| end.form.is_none() && *form != LugForm::Straight);
    let bent: Vec<String> =
        bent.map(|((at, _), form)| format!("a {} lug at {at}", form.word())).collect();
    let mut all: Vec<String> = Some(says).filter(|s| !s.is_empty()).into_iter().collect();
    if !bent.is_empty() {
        all.push(format!("takes {}: a straight one finds no way", bent.join(" and ")));
    }
    if route.crowded {
        let other = route
            .crowded_by
            .as_ref()
            .map_or("what it crosses".to_owned(), |id| format!("lead {id}"));
        all.push(format!("no room to rise over {other}: tie it so that nothing presses"));
    }
    all.join("; ")
}

/// What the owner reads: "80 mm short with this layout; 30 mm long if block A3 is turned".
fn says(spare: Option<Length>, unmeasured: bool, helps: &[Help], units: UnitSystem) -> String {
    let shown = |length: Length| show::length(length.abs(), units);
    let Some(spare) = spare else {
        return if unmeasured { "measure it from hole to hole".to_owned() } else { String::new() };
    };
    if -Length::mm(TAPE_MM) <= spare {
        return format!("long enough by {}", shown(spare.max(Length::ZERO)));
    }
    let mut text = format!("{} short with this layout", shown(spare));
    if helps.is_empty() {
        text.push_str("; turning its blocks or the box does not help: make a new one");
    }
    for help in helps {
        let word = if help.spare < Length::ZERO { "short" } else { "long" };
        text.push_str(&format!("; {} {word} if {}", shown(help.spare), help.change));
    }
    text
}
