//! From the rig to what the search weighs, and from what it found back to a bank.

use super::words;
use crate::layout::arrange::search::Found;
use crate::layout::arrange::turning::{Turned, best_take_off, best_turns};
use crate::layout::arrange::{Arrangement, Cable, Case, Cell, Joining, Pattern, Problem, Spot};
use crate::layout::plan::PlacedBlock;
use crate::model::bank::{Bank, BlockState, TakeOff};
use crate::model::design::Design;
use crate::model::lead::{Pole, Terminal};
use crate::model::part::{PlanPoint, Turn};
use crate::study::Study;
use crate::units::Length;

/// Patterns of which the best arrangement is laid and solved; the others are worth less already.
const PATTERNS_LAID: usize = 3;

/// A layout to be laid and judged.
pub(super) struct Candidate {
    pub(super) bank: Bank,
    pub(super) change: String,
    pub(super) edits: Vec<(String, String)>,
}

/// What the search weighs. `None` when no bank stands or one of its blocks has no size.
pub(super) fn problem(study: &Study, metre_per_percent: f64) -> Option<Problem> {
    let bank = study.design.bank()?;
    let plan = &study.layout.plan;
    let ids = bank.block_ids();
    let placed: Vec<&PlacedBlock> = ids.iter().map(|id| plan.block(*id)).collect::<Option<_>>()?;
    let facts = ids.iter().map(|id| study.facts.block(*id)).collect::<Option<Vec<_>>>()?;
    let enclosure = study.design.enclosure.as_ref();
    let inside = |side: Option<Length>| side.map(Length::as_mm);
    let main = |plus: bool| main_end(study, plus);
    Some(Problem {
        series: usize::try_from(bank.series).ok()?,
        parallel: usize::try_from(bank.parallel).ok()?,
        blocks: facts
            .iter()
            .map(|f| Cell { emf_v: f.emf.as_volts(), ohm: f.resistance.as_ohms() })
            .collect(),
        case: largest_case(&placed)?,
        gap: plan.gap.as_mm(),
        margin: plan.margin.as_mm(),
        room: [inside(enclosure.and_then(|e| e.length)), inside(enclosure.and_then(|e| e.width))],
        joining: joining(study, bank)?,
        mains: [main(true), main(false)],
        cable: cable(study),
        amps: study.discharge.as_ref().ok()?.total_amps.abs().max(1.0),
        metre_per_percent,
    })
}

/// The case as its maker draws it, from how it stands. Blocks of other sizes are each given as
/// much room as the largest of them.
fn largest_case(placed: &[&PlacedBlock]) -> Option<Case> {
    let drawn: Vec<Case> = placed.iter().map(|b| as_drawn(b)).collect();
    let first = *drawn.first()?;
    let side = |of: fn(&Case) -> f64| drawn.iter().map(of).fold(0.0, f64::max);
    Some(Case { length: side(|c| c.length), width: side(|c| c.width), ..first })
}

fn as_drawn(block: &PlacedBlock) -> Case {
    let (w, h) = (block.length.as_mm(), block.width.as_mm());
    let back = |at: PlanPoint| {
        let (x, y) = ((at.x - block.corner.x).as_mm(), (at.y - block.corner.y).as_mm());
        match block.turn {
            Turn::None => [x, y],
            Turn::Quarter => [y, w - x],
            Turn::Half => [w - x, h - y],
            Turn::ThreeQuarters => [h - y, x],
        }
    };
    let (length, width) = if is_quarter(block.turn) { (h, w) } else { (w, h) };
    Case { length, width, plus: back(block.plus.at), minus: back(block.minus.at) }
}

const fn is_quarter(turn: Turn) -> bool {
    matches!(turn, Turn::Quarter | Turn::ThreeQuarters)
}

const fn is_half(turn: Turn) -> bool {
    matches!(turn, Turn::Half | Turn::ThreeQuarters)
}

const fn turn_of(quarter: bool, half: bool) -> Turn {
    match (quarter, half) {
        (false, false) => Turn::None,
        (true, false) => Turn::Quarter,
        (false, true) => Turn::Half,
        (true, true) => Turn::ThreeQuarters,
    }
}

/// How the strings are joined; bars that nobody has placed leave nothing to weigh.
fn joining(study: &Study, bank: &Bank) -> Option<Joining> {
    let TakeOff::Busbars { plus, minus } = &bank.takeoff else {
        return Some(Joining::Links);
    };
    let bar = |name: &str| {
        let device = study.layout.plan.devices.iter().find(|d| d.name == name)?;
        Some(spot(device.stud(Pole::Bar)))
    };
    Some(Joining::Bars { plus: bar(plus)?, minus: bar(minus)? })
}

const fn spot(at: PlanPoint) -> Spot {
    [at.x.as_mm(), at.y.as_mm()]
}

/// Where the main lead of a pole goes, when that stud has a place that is decided.
fn main_end(study: &Study, plus: bool) -> Option<Spot> {
    let bank = study.design.bank()?;
    let (plus_post, minus_post) = crate::circuit::wiring::take_off_terminals(bank);
    let post = if plus { plus_post } else { minus_post };
    study.wiring.at(&post).filter(|l| !l.role.is_link()).find_map(|lead| {
        let other = if lead.from == post { &lead.to } else { &lead.from };
        let Terminal::Stud { device, pole } = other else {
            return None;
        };
        let device = study.layout.plan.devices.iter().find(|d| d.name == *device && d.decided)?;
        Some(spot(device.stud(*pole)))
    })
}

/// The links' cable, read off the first link; a bank without links has none to weigh.
fn cable(study: &Study) -> Cable {
    let link = study.wiring.leads.iter().position(|l| l.role.is_link());
    let Some(n) = link else {
        return Cable { ohm_per_mm: 0.0, joint_ohm: 0.0, slack_mm: 0.0 };
    };
    let (ohms, answer) = (study.ohms[n], &study.leads[n]);
    Cable {
        ohm_per_mm: ohms.conductor / answer.length.made().as_mm().max(1.0),
        joint_ohm: f64::midpoint(ohms.from_joint, ohms.to_joint),
        slack_mm: answer.length.slack.as_mm(),
    }
}

/// The whole design with every link that is still to be made as long as it needs to be, so that a
/// stated length does not hide what a better place gains.
pub(super) fn freed(study: &Study, whole: &Design) -> Option<Design> {
    let mut design = whole.clone();
    let bank = bank_in(&mut design, study)?;
    if !bank.have {
        bank.link_length = None;
    }
    for lead in &study.wiring.leads {
        let own = design.leads.iter_mut().find(|l| l.part.name == lead.id);
        if let Some(own) = own.filter(|l| lead.role.is_link() && !l.part.have) {
            own.length = None;
        }
    }
    Some(design)
}

/// A design with another bank in force at the stage.
pub(super) fn with_bank(base: &Design, study: &Study, bank: &Bank) -> Option<Design> {
    let mut design = base.clone();
    let own = bank_in(&mut design, study)?;
    own.blocks.clone_from(&bank.blocks);
    own.takeoff = bank.takeoff.clone();
    Some(design)
}

fn bank_in<'a>(design: &'a mut Design, study: &Study) -> Option<&'a mut Bank> {
    let path = &study.design.bank()?.path;
    design.banks.iter_mut().find(|b| b.path == *path)
}

/// Every layout that is worth laying: only the take-off moved, blocks turned where they stand, and
/// the best arrangements of the best patterns.
pub(super) fn all(study: &Study, problem: &Problem, found: &Found) -> Vec<Candidate> {
    let Some(bank) = study.design.bank() else {
        return Vec::new();
    };
    let placed: Vec<&PlacedBlock> =
        bank.block_ids().iter().filter_map(|id| study.layout.plan.block(*id)).collect();
    let places: Vec<(Spot, bool)> =
        placed.iter().map(|b| (spot(b.corner), is_quarter(b.turn))).collect();
    let now: Vec<bool> = placed.iter().map(|b| is_half(b.turn)).collect();
    let mut all = Vec::new();
    let moved_off = best_take_off(problem, &places, &now).filter(|_| problem.takes_off_anywhere());
    all.extend(moved_off.map(|turned| in_place(bank, &placed, &turned)));
    if let Some(turned) = best_turns(problem, &places, &now) {
        all.push(in_place(bank, &placed, &turned));
    }
    for (arrangement, _) in found.arrangements.iter().take(PATTERNS_LAID) {
        all.push(moved(problem, bank, &placed, arrangement));
    }
    all
}

fn in_place(bank: &Bank, placed: &[&PlacedBlock], turned: &Turned) -> Candidate {
    let mut next = bank.clone();
    let mut edits = Vec::new();
    let mut names = Vec::new();
    for (block, half) in placed.iter().zip(&turned.halves) {
        let turn = turn_of(is_quarter(block.turn), *half);
        if turn != block.turn {
            state_of(&mut next, block).turn = Some(turn);
            edits.push(words::turn_edit(bank, block.id, turn));
            names.push(block.id.to_string());
        }
    }
    let mut change = words::turned(&names);
    change.extend(take_off(&mut next, turned.takeoff, &mut edits));
    Candidate { bank: next, change: change.join("; "), edits }
}

fn moved(
    problem: &Problem,
    bank: &Bank,
    placed: &[&PlacedBlock],
    arrangement: &Arrangement,
) -> Candidate {
    let mut next = bank.clone();
    let mut edits = Vec::new();
    let pattern: Pattern = arrangement.pattern;
    for (n, block) in placed.iter().enumerate() {
        let [x, y] = pattern.corner(problem, arrangement.cells[n]);
        let corner = PlanPoint { x: Length::mm(x), y: Length::mm(y) };
        let turn = turn_of(pattern.quarter, arrangement.halves[n]);
        let state = state_of(&mut next, block);
        (state.at, state.turn) = (Some(corner), Some(turn));
        edits.push(words::place_edit(bank, block.id, corner));
        edits.push(words::turn_edit(bank, block.id, turn));
    }
    let mut change = vec![words::stood(placed, arrangement)];
    change.extend(take_off(&mut next, arrangement.takeoff, &mut edits));
    Candidate { bank: next, change: change.join("; "), edits }
}

fn state_of<'a>(bank: &'a mut Bank, block: &PlacedBlock) -> &'a mut BlockState {
    let at = bank.blocks.iter().position(|b| b.id == block.id).unwrap_or_else(|| {
        bank.blocks.push(BlockState::unknown(block.id));
        bank.blocks.len() - 1
    });
    &mut bank.blocks[at]
}

/// Moves the take-off, and says so when that changes anything.
fn take_off(
    bank: &mut Bank,
    strings: [usize; 2],
    edits: &mut Vec<(String, String)>,
) -> Option<String> {
    if matches!(bank.takeoff, TakeOff::Busbars { .. }) {
        return None;
    }
    let [plus, minus] = strings.map(|s| u32::try_from(s).unwrap_or(0));
    let posts = (Bank::string_plus(plus), bank.string_minus(minus));
    if crate::circuit::wiring::take_off_terminals(bank) == posts {
        return None;
    }
    let last = bank.parallel.saturating_sub(1);
    bank.takeoff = match (plus, minus) {
        (0, 0) => TakeOff::SameEnd,
        (0, m) if m == last => TakeOff::OppositeCorners,
        _ => TakeOff::Posts { plus: posts.0.clone(), minus: posts.1.clone() },
    };
    edits.push(words::take_off_edit(bank));
    Some(format!("take the plus off at {} and the minus off at {}", posts.0, posts.1))
}
