//! Every reading that may be taken at this stage, test by test, in the order of the gates.
//!
//! Where the book prints a reading, its band is the book's, widened to what this bank's own
//! spreads allow; where it does not, the band is theirs alone.

mod list;

use super::model::{Case, Model};
use super::net::{Branch, Laid, Probe};
use super::rig::Rig;
use super::spread::Spreads;
use super::{At, Drawn, Expected, Test};
use crate::circuit::error::SolveError;
use crate::evidence::readings::Readings;
use crate::plan::bench::State;
use crate::plan::job::Job;
use crate::plan::readings::range_for;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::reading::Quantity;

/// The circuit of one test.
pub(super) struct Setup {
    /// Which.
    pub(super) test: Test,
    /// What is bolted and closed.
    pub(super) state: State,
    /// The branches that are there.
    pub(super) branches: Vec<Option<Branch>>,
    /// The points between which a device draws, plus first.
    pub(super) drawn: Option<(usize, usize)>,
    /// Amps it draws.
    pub(super) amps: f64,
    /// The same in words.
    pub(super) draw: Option<Drawn>,
    /// Where the meter goes.
    pub(super) probes: Vec<Probe>,
    /// For each, the lead whose lugs the tips follow, wherever they are bolted.
    pub(super) follows: Vec<Option<usize>>,
    /// As planned.
    pub(super) laid: Laid,
}

/// One reading of the sheet.
pub(super) struct Item {
    /// As told.
    pub(super) expected: Expected,
    /// Its circuit and its probe there; `None` where no circuit tells it.
    pub(super) seen: Option<(usize, usize)>,
    /// The same at rest, where the reading is how far the figure moves from there.
    pub(super) rest: Option<(usize, usize)>,
    /// What the meter shows at rest, where the reading is how far that moves.
    pub(super) level: f64,
    /// Sign and unit: what the meter shows over what the network says.
    pub(super) scale: f64,
    /// Whether the sign counts.
    pub(super) signed: bool,
    /// Not asked for: it was written beside another.
    pub(super) hidden: bool,
}

/// Every reading with its circuit.
pub(super) struct Sheet {
    /// The branches.
    pub(super) rig: Rig,
    /// The circuits.
    pub(super) setups: Vec<Setup>,
    /// The readings.
    pub(super) items: Vec<Item>,
    /// How far a sound bank strays.
    pub(super) spreads: Spreads,
}

/// What is put on a sheet before its circuit is known.
struct Draft {
    expected: Expected,
    /// Not held against the network: standby.
    alone: bool,
    /// Not asked for.
    hidden: bool,
}

impl Sheet {
    /// Lists the readings of a stage and works the circuit of each test through once.
    pub(super) fn of(
        study: &Study,
        tables: &Tables,
        conditions: &Readings,
    ) -> Result<Self, SolveError> {
        let job = Job::of(study, None, tables);
        let rig = Rig::of(&study.design, &study.wiring, &study.facts, &study.ohms);
        let spreads = Spreads::of(tables, &conditions.errors);
        let mut drafts = list::all(study, &job, conditions)?;
        let beside = list::beside(&drafts, conditions);
        drafts.extend(beside);
        let mut sheet = Self { rig, setups: Vec::new(), items: Vec::new(), spreads };
        for draft in drafts {
            sheet.put(study, draft);
        }
        for setup in &mut sheet.setups {
            setup.laid = Laid::of(sheet.rig.points, &setup.branches, setup.drawn, &setup.probes);
        }
        levels(&mut sheet);
        let model = Model::of(&sheet, study, tables);
        let (shows, spread) = model.bands(&Case::sound(&sheet));
        let most = sheet.spreads.band;
        for (item, (shown, spread)) in sheet.items.iter_mut().zip(shows.iter().zip(&spread)) {
            if item.seen.is_some() {
                widen(item, *shown, most * spread);
            }
        }
        charged(&mut sheet, study, tables);
        Ok(sheet)
    }

    fn put(&mut self, study: &Study, draft: Draft) {
        let expected = draft.expected;
        let scale = if expected.quantity == Quantity::Millivolts { 1000.0 } else { 1.0 };
        let hidden = draft.hidden;
        // Amps beside a reading are written without a sign.
        let signed = !matches!(expected.at, At::Between { signed: false, .. }) && !hidden;
        if draft.alone {
            self.items.push(Item {
                expected,
                seen: None,
                rest: None,
                level: 0.0,
                scale,
                signed,
                hidden,
            });
            return;
        }
        let Some((probe, sign)) = self.rig.probe(&expected.at) else { return };
        let follows = follows(&expected.id).and_then(|lead| self.rig.lead(lead));
        let rest = expected.moves.then(|| {
            let idle = Expected { test: Test::Rest, drawn: None, ..expected.clone() };
            self.probe(study, &idle, (probe.clone(), follows))
        });
        let seen = Some(self.probe(study, &expected, (probe, follows)));
        // Volts fall under a load: that they do is what is written.
        let falls = expected.moves && expected.quantity != Quantity::Amps;
        let scale = scale * sign * if falls { -1.0 } else { 1.0 };
        self.items.push(Item { expected, seen, rest, level: 0.0, scale, signed, hidden });
    }

    /// Puts the meter to a place in the circuit of a test.
    fn probe(
        &mut self,
        study: &Study,
        expected: &Expected,
        (probe, follows): (Probe, Option<usize>),
    ) -> (usize, usize) {
        let setup = self.setup(study, expected);
        let place = self.setups[setup].probes.len();
        self.setups[setup].probes.push(probe);
        self.setups[setup].follows.push(follows);
        (setup, place)
    }

    fn setup(&mut self, study: &Study, expected: &Expected) -> usize {
        let same = |s: &Setup| {
            s.test == expected.test && s.state == expected.state && s.draw == expected.drawn
        };
        if let Some(found) = self.setups.iter().position(same) {
            return found;
        }
        let branches = self.rig.fitted(&expected.state);
        let drawn = expected.drawn.as_ref().and_then(|d| list::points(study, &self.rig, d));
        let amps = expected.drawn.as_ref().map_or(0.0, |d| d.amps);
        let laid = Laid::of(self.rig.points, &branches, drawn, &[]);
        self.setups.push(Setup {
            test: expected.test,
            state: expected.state.clone(),
            branches,
            drawn,
            amps,
            draw: expected.drawn.clone(),
            probes: Vec::new(),
            follows: Vec::new(),
            laid,
        });
        self.setups.len() - 1
    }

    /// The place of a reading by its name; a space that holds a name together is typed as any other.
    pub(super) fn place(&self, id: &str) -> Option<usize> {
        let typed = |c: char| if c == '\u{a0}' { ' ' } else { c };
        let is_it = |known: &str| known.chars().map(typed).eq(id.chars().map(typed));
        self.items.iter().position(|i| is_it(&i.expected.id))
    }
}

/// What the meter shows at rest where a reading is how far that moves: its digits and its error are
/// those of the whole figure.
fn levels(sheet: &mut Sheet) {
    let planned = &sheet.rig.values;
    let flows: Vec<super::net::Flow> =
        sheet.setups.iter().map(|s| s.laid.flow(planned, s.amps)).collect();
    for item in &mut sheet.items {
        if let Some((setup, probe)) = item.rest {
            let shown = sheet.setups[setup].laid.shows(probe, planned, &flows[setup]);
            item.level = (item.scale * shown).abs();
            if item.expected.quantity == Quantity::Volts {
                item.expected.range = range_for(1.05 * item.level);
            }
        }
    }
}

/// The lead beside whose lugs the tips go: a hand that bolted it to another post takes that post for
/// the right one.
fn follows(id: &str) -> Option<&str> {
    let id = id.strip_suffix(" charging").unwrap_or(id);
    let joint = id.strip_suffix(".from").or_else(|| id.strip_suffix(".to"));
    joint.or_else(|| id.strip_prefix("gap ")).or_else(|| id.strip_prefix("lead "))
}

/// The band of a sound bank: the book's where it has one, never narrower than the spreads.
fn widen(item: &mut Item, shown: f64, reach: f64) {
    let expected = &mut item.expected;
    let shown = if item.signed { shown } else { shown.abs() };
    expected.expect.get_or_insert(shown);
    let low = shown - reach;
    let low = if item.signed { low } else { low.max(0.0) };
    expected.low = Some(expected.low.map_or(low, |l| l.min(low)));
    expected.high = Some(expected.high.map_or(shown + reach, |h| h.max(shown + reach)));
}

/// While a source charges, volts may stand anywhere up to where its controls hold them.
fn charged(sheet: &mut Sheet, study: &Study, tables: &Tables) {
    let held = study.facts.volts_charged(&study.design, tables).as_volts();
    let whole: f64 =
        study.facts.blocks.iter().filter(|b| b.id.string == 0).map(|b| b.emf.as_volts()).sum();
    if whole <= 0.0 {
        return;
    }
    for item in &mut sheet.items {
        let expected = &mut item.expected;
        if expected.test == Test::Charging && expected.quantity == Quantity::Volts {
            let share = expected.expect.unwrap_or(0.0) / whole;
            let most = share * held;
            expected.high = expected.high.map(|h| h.max(most));
        }
    }
}

/// Every reading that may be taken at this stage, with what a sound bank shows: what was said of
/// the day counts (meter errors, test and charge current), what was read does not.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn expected(
    study: &Study,
    tables: &Tables,
    conditions: &Readings,
) -> Result<Vec<Expected>, SolveError> {
    let sheet = Sheet::of(study, tables, conditions)?;
    Ok(sheet.items.into_iter().filter(|i| !i.hidden).map(|i| i.expected).collect())
}
