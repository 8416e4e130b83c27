//! What every meter shows with one thing wrong, and how far that may stray: the network of each
//! test, worked exactly, and the slope of each reading by everything that is not quite known.
//!
//! Nothing is judged here.

use super::net::{Branch, Flow, Laid, Probe, Values};
use super::rig::Piece;
use super::sheet::{Item, Setup, Sheet};
use super::{At, Test};
use crate::study::Study;
use crate::tables::Tables;
use crate::units::reading::Quantity;

/// The rig with one thing wrong, or nothing.
#[derive(Clone)]
pub(super) struct Case {
    /// Resistances and EMFs.
    pub(super) values: Values,
    /// Leads that lie elsewhere or are not there: branch and where it lies.
    pub(super) moved: Vec<(usize, Option<Branch>)>,
    /// What is still free about the fault: how far one spread of its size moves the values.
    pub(super) free: Vec<Free>,
    /// Minus one when the clamp sits the wrong way round.
    pub(super) clamp: f64,
}

/// A size of the fault that is not known exactly.
#[derive(Clone, Copy, Debug)]
pub(super) enum Free {
    /// One spread of a branch's resistance [ohm].
    Ohm(usize, f64),
    /// One spread of a branch's EMF [V].
    Emf(usize, f64),
    /// One spread of what the clamp shows with nothing in its jaw [A].
    Zero(f64),
}

impl Case {
    /// Nothing is wrong.
    pub(super) fn sound(sheet: &Sheet) -> Self {
        Self { values: sheet.rig.values.clone(), moved: Vec::new(), free: Vec::new(), clamp: 1.0 }
    }
}

/// Common columns after those of the branches.
const BLOCKS_ALL: usize = 0;
const COPPER_ALL: usize = 1;
const CHARGE_ALL: usize = 2;
const LIFT_ALL: usize = 3;
const DRAWN_LOAD: usize = 4;
const DRAWN_CHARGE: usize = 5;
const VOLTS_ALL: usize = 6;
const CLAMP_ALL: usize = 7;
const CLAMP_ZERO: usize = 8;
const COMMON: usize = 9;

/// What the network cannot know, and what is asked of it.
pub(super) struct Model<'a> {
    pub(super) sheet: &'a Sheet,
    /// Spread of each branch's resistance, share of it.
    ohm_share: Vec<f64>,
    /// How all rest volts move by one spread of charge, by block [V].
    charge_v: Vec<f64>,
    /// Cells of each block.
    cells: Vec<f64>,
}

/// Predictions and how they move.
pub(super) struct Predicted {
    /// What each reading shows, signed as it stands.
    pub(super) shows: Vec<f64>,
    /// For each reading, how far one spread of each unknown moves it; empty where not asked.
    pub(super) rows: Vec<Vec<f64>>,
}

impl<'a> Model<'a> {
    pub(super) fn of(sheet: &'a Sheet, study: &Study, tables: &Tables) -> Self {
        let spreads = &sheet.spreads;
        let ohm_share = sheet
            .rig
            .pieces
            .iter()
            .map(|piece| match piece {
                Piece::Block(_) => spreads.block_ohm,
                Piece::Start(_) | Piece::End(_) => spreads.joint,
                Piece::Conductor(_) => spreads.lead,
                Piece::Device(_) => spreads.device,
            })
            .collect();
        let charge_v = study
            .facts
            .blocks
            .iter()
            .map(|block| {
                let volts = |soc: f64| {
                    let cell = tables.battery.rest_voltage(block.chemistry.word(), soc * 100.0);
                    cell.map_or(0.0, |c| c.value.as_volts() * f64::from(block.cells))
                };
                let low = (block.soc - 2.0 * spreads.charge).max(0.0);
                ((volts(block.soc) - volts(low)) / 2.0).abs()
            })
            .collect();
        let cells = study.facts.blocks.iter().map(|b| f64::from(b.cells)).collect();
        Self { sheet, ohm_share, charge_v, cells }
    }

    /// Columns of every row.
    pub(super) fn columns(&self, case: &Case) -> usize {
        self.sheet.rig.branches.len() + 2 * self.sheet.rig.blocks.len() + COMMON + case.free.len()
    }

    /// The circuit of a test with this thing wrong; nothing when it is as planned.
    fn laid(&self, setup: &Setup, case: &Case) -> Option<Laid> {
        let there = |b: &usize| setup.branches[*b].is_some();
        let lead_of = |b: &usize| match self.sheet.rig.pieces[*b] {
            Piece::Start(lead) | Piece::Conductor(lead) | Piece::End(lead) => Some(lead),
            Piece::Block(_) | Piece::Device(_) => None,
        };
        let followed =
            |b: &usize| lead_of(b).is_some_and(|lead| setup.follows.contains(&Some(lead)));
        if !case.moved.iter().any(|(b, _)| there(b) || followed(b)) {
            return None;
        }
        let mut branches = setup.branches.clone();
        let mut probes = setup.probes.clone();
        for (branch, place) in &case.moved {
            if there(branch) {
                branches[*branch] = *place;
            }
            let (Some(place), Some(lead)) = (place, lead_of(branch)) else { continue };
            let was = self.sheet.rig.branches[*branch];
            let now = |point: usize| match point {
                _ if point == was.a && was.a != place.a => place.a,
                _ if point == was.b && was.b != place.b => place.b,
                _ => point,
            };
            for (probe, follows) in probes.iter_mut().zip(&setup.follows) {
                if let (Probe::Volts(red, black), true) = (&*probe, *follows == Some(lead)) {
                    *probe = Probe::Volts(now(*red), now(*black));
                }
            }
        }
        Some(Laid::of(self.sheet.rig.points, &branches, setup.drawn, &probes))
    }

    /// What each wanted reading shows; nothing for the others.
    pub(super) fn shows(&self, case: &Case, wanted: &[bool]) -> Vec<f64> {
        self.work(case, wanted, false).shows
    }

    /// What each wanted reading shows and how it moves.
    pub(super) fn predict(&self, case: &Case, wanted: &[bool]) -> Predicted {
        self.work(case, wanted, true)
    }

    fn work(&self, case: &Case, wanted: &[bool], slopes: bool) -> Predicted {
        let items = &self.sheet.items;
        let mut out = Predicted { shows: vec![0.0; items.len()], rows: Vec::new() };
        if slopes {
            out.rows = vec![Vec::new(); items.len()];
        }
        for (index, setup) in self.sheet.setups.iter().enumerate() {
            let mut asked: Vec<(usize, usize, f64)> = Vec::new();
            for (place, item) in items.iter().enumerate().filter(|(place, _)| wanted[*place]) {
                for (at, sign) in [(item.seen, 1.0), (item.rest, -1.0)] {
                    if let Some((_, probe)) = at.filter(|(s, _)| *s == index) {
                        asked.push((place, probe, sign));
                    }
                }
            }
            if asked.is_empty() {
                continue;
            }
            let own = self.laid(setup, case);
            let laid = own.as_ref().unwrap_or(&setup.laid);
            let flow = laid.flow(&case.values, setup.amps);
            for (place, probe, sign) in asked {
                let item = &items[place];
                let scale =
                    sign * if is_clamp(item) { item.scale * case.clamp } else { item.scale };
                let shown = scale * laid.shows(probe, &case.values, &flow);
                out.shows[place] += shown;
                if slopes {
                    let row = self.row(&Asked {
                        case,
                        setup,
                        laid,
                        flow: &flow,
                        item,
                        probe,
                        shown,
                        scale,
                    });
                    add(&mut out.rows[place], row);
                }
            }
        }
        out
    }

    fn row(&self, asked: &Asked<'_>) -> Vec<f64> {
        let Asked { case, setup, laid, flow, item, probe, shown, scale } = *asked;
        let rig = &self.sheet.rig;
        let spreads = &self.sheet.spreads;
        let slope = laid.slope(probe, &case.values, flow);
        let mut row = vec![0.0; self.columns(case)];
        for (branch, share) in self.ohm_share.iter().enumerate() {
            // A part is as unsure as it was planned; what is wrong with it is told apart.
            row[branch] = scale * slope.by_ohm(branch, flow) * share * rig.values.ohm[branch];
        }
        let emfs = rig.branches.len();
        let common = emfs + 2 * rig.blocks.len();
        for (block, branch) in rig.blocks.iter().enumerate() {
            let by_emf = scale * slope.by_emf(*branch);
            // A reversed block strays with its own sign.
            let turned = case.values.emf[*branch].signum();
            row[emfs + block] = by_emf * turned * spreads.rest_v;
            row[common + CHARGE_ALL] += by_emf * turned * self.charge_v[block];
            row[common + BLOCKS_ALL] += row[*branch] / spreads.block_ohm * spreads.all_blocks_ohm;
            if setup.test == Test::Charging {
                let cells = by_emf * turned * self.cells[block];
                row[emfs + rig.blocks.len() + block] = cells * spreads.lift_each_v;
                row[common + LIFT_ALL] += cells * spreads.lift_v;
            }
        }
        for lead in &rig.leads {
            row[common + COPPER_ALL] += row[lead.conductor] / spreads.lead * spreads.copper;
        }
        let drawn = scale * slope.by_draw * setup.amps * spreads.drawn;
        match setup.test {
            Test::Load => row[common + DRAWN_LOAD] = drawn,
            Test::Charging => row[common + DRAWN_CHARGE] = drawn,
            _ => {}
        }
        // A clamp that is zeroed at rest shows nothing of its own.
        let zeroed = item.rest.is_some();
        if is_clamp(item) {
            row[common + CLAMP_ALL] = shown * spreads.clamp_all;
            row[common + CLAMP_ZERO] = if zeroed { 0.0 } else { spreads.clamp_zero };
        } else {
            row[common + VOLTS_ALL] = shown * spreads.volts_all;
        }
        for (place, free) in case.free.iter().enumerate() {
            let clamped = is_clamp(item) && !zeroed;
            row[common + COMMON + place] = match free {
                Free::Ohm(branch, spread) => scale * slope.by_ohm(*branch, flow) * spread,
                Free::Emf(branch, spread) => scale * slope.by_emf(*branch) * spread,
                Free::Zero(spread) if clamped => *spread,
                Free::Zero(_) => 0.0,
            };
        }
        row
    }

    /// What one reading errs by itself, one spread.
    pub(super) fn noise(&self, item: &Item, shown: f64) -> f64 {
        let spreads = &self.sheet.spreads;
        // Two looks at the display err twice, each by the whole figure that stands in it.
        let (level, looks) = match item.rest {
            Some(_) => (item.level.max(shown.abs()), 2.0_f64.sqrt()),
            None => (shown.abs(), 1.0),
        };
        match item.expected.quantity {
            Quantity::Volts => {
                let own = spreads.volts * (level / 12.0).max(0.5);
                let digit = rounding(level);
                looks * (own * own + digit * digit).sqrt()
            }
            Quantity::Millivolts => {
                // Half a volt and more is read on the volt range.
                let coarse = 1000.0 * spreads.volts * (level / 12_000.0);
                looks * spreads.millivolts.max(coarse)
            }
            // A clamp that is zeroed at rest is looked at once.
            _ => (spreads.clamp * shown.abs()).max(0.05),
        }
    }

    /// What every reading shows and its whole spread.
    pub(super) fn bands(&self, case: &Case) -> (Vec<f64>, Vec<f64>) {
        let wanted = vec![true; self.sheet.items.len()];
        let predicted = self.predict(case, &wanted);
        let spread = self
            .sheet
            .items
            .iter()
            .zip(predicted.shows.iter().zip(&predicted.rows))
            .map(|(item, (shown, row))| {
                let noise = self.noise(item, *shown);
                (super::dense::dot(row, row) + noise * noise).sqrt()
            })
            .collect();
        (predicted.shows, spread)
    }
}

/// Adds a row to another that may still be empty.
fn add(sum: &mut Vec<f64>, row: Vec<f64>) {
    if sum.is_empty() {
        *sum = row;
        return;
    }
    for (sum, more) in sum.iter_mut().zip(row) {
        *sum += more;
    }
}

/// Spread of what the last digit of a display of 2,000 counts hides, evenly between two steps [V].
fn rounding(level: f64) -> f64 {
    let steps = [(2.0, 0.001), (20.0, 0.01), (200.0, 0.1)];
    steps.iter().find(|s| level < s.0).map_or(1.0, |s| s.1) / 12.0_f64.sqrt()
}

/// One reading about to be worked.
#[derive(Clone, Copy)]
struct Asked<'r> {
    case: &'r Case,
    setup: &'r Setup,
    laid: &'r Laid,
    flow: &'r Flow,
    item: &'r Item,
    probe: usize,
    shown: f64,
    scale: f64,
}

/// Whether a reading is one of the clamp.
fn is_clamp(item: &Item) -> bool {
    matches!(item.expected.at, At::Clamp(_))
}
