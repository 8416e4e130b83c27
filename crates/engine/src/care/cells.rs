//! Each cell's gravity over the years, against its own history and its neighbours.

use super::believed::{Doubt, DoubtKind};
use super::look::{Look, covers, later, years};
use super::robust::{median, middle, slope};
use super::sittings::{After, Sitting, Sittings};
use crate::calc::gravity::corrected;
use crate::evidence::log::{CellId, Event, Subject};
use crate::model::bank::BlockId;
use crate::model::block::Chemistry;
use crate::number::interpolate;
use crate::tables::battery::GravityRule;
use crate::tables::{Sourced, Tables};
use crate::units::{CellVoltage, Temperature, Voltage, show};
use jiff::civil::{Date, DateTime};
use std::collections::BTreeMap;

/// How gravity is corrected for temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Correction {
    /// The rule of the owner's practice, which every `corrected` goes by.
    pub rule: GravityRule,
    /// The other printed rules; shown beside it and never averaged.
    pub others: Vec<GravityRule>,
}

/// Gravity of the full bank.
#[derive(Clone, Debug, PartialEq)]
pub struct FullGravity {
    /// The figure.
    pub gravity: Sourced<f64>,
    /// The day of the bank's own best reading after a full charge; `None` where it is the table's.
    pub on: Option<Date>,
}

/// One reading of a hydrometer.
#[derive(Clone, Debug, PartialEq)]
pub struct GravityPoint {
    /// When.
    pub at: DateTime,
    /// As the float showed it.
    pub read: f64,
    /// Temperature of the fluid.
    pub fluid: Option<Temperature>,
    /// Corrected by the rule of the practice; as read where no temperature was written.
    pub corrected: f64,
    /// State of charge, 0 to 1, from the full gravity; `None` for a reading that is doubted.
    pub soc: Option<f64>,
    /// Why it is not counted, or counted with care.
    pub doubted: Option<DoubtKind>,
    /// The entry it stands in.
    pub entry: i64,
}

/// A figure with the range in which nine of ten lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// The figure.
    pub now: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How a cell stands among its neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CellState {
    /// Too few readings to say.
    Unknown,
    /// With its neighbours.
    Sound,
    /// Below them by more than the reading's error.
    Watch,
    /// Falling behind: equalise, then read again.
    Behind,
    /// Failing.
    Failing,
}

impl CellState {
    /// The word shown to the owner.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unknown => "too few readings",
            Self::Sound => "sound",
            Self::Watch => "watch it",
            Self::Behind => "falling behind",
            Self::Failing => "failing",
        }
    }
}

/// One cell over the years.
#[derive(Clone, Debug, PartialEq)]
pub struct CellHistory {
    /// Which.
    pub cell: CellId,
    /// Its readings, oldest first, those of a block that was replaced included.
    pub points: Vec<GravityPoint>,
    /// The day its block was last replaced; older points are not counted.
    pub since: Option<Date>,
    /// Gravity gained or lost in a year, full readings only where there are enough.
    pub trend_per_year: Option<Range>,
    /// Gravity above (positive) or below the middle of its neighbours of the same age.
    pub offset: Option<Range>,
    /// How it stands.
    pub state: CellState,
}

/// One reading of a block at rest.
#[derive(Clone, Debug, PartialEq)]
pub struct RestPoint {
    /// When.
    pub at: DateTime,
    /// The reading.
    pub volts: Voltage,
    /// State of charge, 0 to 1; `None` for LFP and for a rest too short to tell.
    pub soc: Option<f64>,
    /// The entry it stands in.
    pub entry: i64,
}

/// One block over the years.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockHistory {
    /// Which.
    pub block: BlockId,
    /// Volts at rest, oldest first.
    pub rest: Vec<RestPoint>,
    /// The days on which it was replaced.
    pub replaced: Vec<Date>,
    /// Rest volts above or below the middle of the other blocks [V].
    pub offset_v: Option<Range>,
}

/// Everything read with the hydrometer.
#[derive(Clone, Debug, PartialEq)]
pub struct Acid {
    /// How it is corrected.
    pub correction: Correction,
    /// Gravity of the full bank.
    pub full: FullGravity,
    /// Every cell.
    pub cells: Vec<CellHistory>,
    /// The days on which cells were read, those readings only that count.
    pub(super) sittings: Vec<Sitting>,
}

/// The scheme of gravity that stands for a bank of which no full reading is known.
const SCHEME: &str = "deep cycle 1.265";

/// Readings of a trend, at least.
const TREND_READINGS: usize = 5;
/// Readings of an offset, at least.
const OFFSET_READINGS: usize = 3;

impl Correction {
    /// The rule of a practice: 0.004 per 10 F over 80 F in the United States, 0.0007 per degree over 25 C in
    /// Europe.
    #[must_use]
    pub fn of(tables: &Tables, us: bool) -> Option<Self> {
        let name = if us { "0.004 per 10 F" } else { "0.0007 per C" };
        let (rule, others): (Vec<GravityRule>, Vec<GravityRule>) =
            tables.battery.gravity_rules().iter().cloned().partition(|r| r.name == name);
        // What follows from the density of the acid is a check of the rules and no rule of a trade.
        let others = others.into_iter().filter(|r| !r.name.starts_with("density")).collect();
        Some(Self { rule: rule.into_iter().next()?, others })
    }

    /// A reading by a rule.
    #[must_use]
    pub fn by(rule: &GravityRule, read: f64, fluid: Temperature) -> f64 {
        corrected(read, fluid, rule.reference, rule.per_kelvin.value)
    }
}

/// Gravity against percent of charge, the middle of the bands that were read.
pub(super) fn bands(tables: &Tables) -> Option<Bands> {
    let (_, bands) = tables.battery.gravity().iter().find(|g| g.0 == SCHEME)?;
    let mut rows: Vec<(f64, f64)> =
        bands.iter().map(|b| (b.charge_percent, f64::midpoint(b.low, b.high))).collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let full = Sourced::new(rows.last()?.1, bands.first()?.cite.clone());
    Some(Bands { rows, full })
}

/// A table of gravity: percent of charge and gravity, charge rising, and the gravity when full.
pub(super) struct Bands {
    pub(super) rows: Vec<(f64, f64)>,
    pub(super) full: Sourced<f64>,
}

/// State of charge of a gravity, 0 to 1, on the table moved to the bank's own full gravity.
pub(super) fn charge_of(tables: &Tables, full: f64, gravity: f64) -> Option<f64> {
    let Bands { rows, full: of_table } = bands(tables)?;
    let turned: Vec<(f64, f64)> = rows.iter().map(|r| (r.1, r.0)).collect();
    interpolate(&turned, gravity + of_table.value - full).map(|p| (p / 100.0).clamp(0.0, 1.0))
}

impl Acid {
    /// What the hydrometer says of a flooded bank; `None` for any other.
    #[must_use]
    pub fn of(look: &Look<'_>) -> Option<Self> {
        if look.chemistry()? != Chemistry::Flooded {
            return None;
        }
        let us = look.study.design.rig.practice.is_us();
        let correction = Correction::of(look.tables, us)?;
        let mut gathered = Sittings::of(look, &correction);
        gathered.mark_odd(look.limit("gravity-odd-jump").value);
        let sittings = gathered.counted();
        let full = full_gravity(look, &sittings)?;
        for point in gathered.points.values_mut().flatten() {
            let counts = point.doubted.is_none_or(|d| d == DoubtKind::NoTemperature);
            point.soc = charge_of(look.tables, full.gravity.value, point.corrected);
            point.soc = point.soc.filter(|_| counts);
        }
        let judge = CellJudge::of(look, &sittings);
        let cells = gathered.points.into_iter().map(|(cell, points)| {
            let since = gathered.since.get(&cell.block).copied();
            judge.history(cell, points, since)
        });
        Some(Self { correction, full, cells: cells.collect(), sittings })
    }

    /// The readings that cannot be meant, by what the cell shows before and after.
    pub(super) fn slips(&self) -> Vec<(&CellHistory, &GravityPoint)> {
        let odd = |p: &&GravityPoint| p.doubted == Some(DoubtKind::Mistyped);
        self.cells.iter().flat_map(|c| c.points.iter().filter(odd).map(move |p| (c, p))).collect()
    }

    /// The last day on which at least half of the cells were read.
    pub(super) fn last_sitting(&self) -> Option<&Sitting> {
        self.sittings.iter().rev().find(|s| self.cells.len() <= 2 * s.values.len())
    }
}

/// The bank's own best: the middle of its three best days after a full charge; else the table.
fn full_gravity(look: &Look<'_>, sittings: &[Sitting]) -> Option<FullGravity> {
    let mut best: Vec<&Sitting> = sittings.iter().filter(|s| s.after == After::Full).collect();
    best.sort_by(|a, b| b.median.total_cmp(&a.median));
    best.truncate(3);
    let Some(middle) = best.get(best.len() / 2) else {
        return Some(FullGravity { gravity: bands(look.tables)?.full, on: None });
    };
    let cite = super::look::owners_log();
    Some(FullGravity { gravity: Sourced::new(middle.median, cite), on: Some(middle.on) })
}

/// What a cell is judged by.
struct CellJudge<'a> {
    sittings: &'a [Sitting],
    /// Days of equalising.
    equalised: Vec<Date>,
    trend_from: Option<Date>,
    keep: usize,
    error: f64,
    watch: f64,
    behind: f64,
    failing: f64,
    failed: f64,
}

impl<'a> CellJudge<'a> {
    fn of(look: &Look<'_>, sittings: &'a [Sitting]) -> Self {
        let figure = |id: &str| look.limit(id).value;
        let back = figure("care-trend-years") * super::look::YEAR_DAYS;
        let equalised = look.entries().iter().filter(|e| matches!(e.event, Event::Equalise { .. }));
        let keep = (1..100).find(|n| figure("care-sittings") <= f64::from(*n)).unwrap_or(5_u8);
        Self {
            sittings,
            equalised: equalised.map(|e| e.at.date()).collect(),
            trend_from: look.now().map(|now| later(now, -back)),
            keep: usize::from(keep),
            error: figure("hydrometer-error"),
            watch: figure("cell-below-mean"),
            behind: figure("cell-behind"),
            failing: figure("cell-spread-equalise"),
            failed: figure("cell-spread-failing"),
        }
    }

    fn history(&self, cell: CellId, points: Vec<GravityPoint>, since: Option<Date>) -> CellHistory {
        let own = self.sittings.iter().filter(|s| since.is_none_or(|day| day <= s.on));
        let own: Vec<(&Sitting, f64)> = own.filter_map(|s| Some((s, s.offset_of(cell)?))).collect();
        let last = own.len().saturating_sub(self.keep);
        let recent: Vec<f64> = own[last..].iter().map(|o| o.1).collect();
        let offset =
            (OFFSET_READINGS <= recent.len()).then(|| middle(&recent, self.error)).flatten();
        let after_equalise = self
            .equalised
            .last()
            .is_some_and(|day| 2 <= own[last..].iter().filter(|(s, _)| *day < s.on).count());
        let state = offset.map_or(CellState::Unknown, |o| self.state(o, after_equalise));
        let trend_per_year = self.trend(cell, since);
        CellHistory { cell, points, since, trend_per_year, offset, state }
    }

    fn state(&self, offset: Range, after_equalise: bool) -> CellState {
        let under = |limit: f64| offset.high < -limit;
        if under(self.failing)
            || offset.now <= -self.failed
            || (under(self.behind) && after_equalise)
        {
            CellState::Failing
        } else if under(self.behind) {
            CellState::Behind
        } else if under(self.watch) {
            CellState::Watch
        } else {
            CellState::Sound
        }
    }

    fn trend(&self, cell: CellId, since: Option<Date>) -> Option<Range> {
        let from = self.trend_from?;
        let counts = |s: &&Sitting| from <= s.on && since.is_none_or(|day| day <= s.on);
        let of = |full: bool| -> Vec<(f64, f64)> {
            let chosen = self.sittings.iter().filter(counts);
            let chosen = chosen.filter(|s| !full || s.after == After::Full);
            chosen.filter_map(|s| Some((years(from, s.on), s.value_of(cell)?))).collect()
        };
        let full = of(true);
        let points = if TREND_READINGS <= full.len() { full } else { of(false) };
        if points.len() < TREND_READINGS {
            return None;
        }
        slope(&points)
    }
}

/// Every block's rest volts and replacements.
pub fn blocks_of(look: &Look<'_>) -> Vec<BlockHistory> {
    let rested_min = look.limit("rest-hours-min").value;
    let word = look.chemistry().map_or("", Chemistry::word);
    let mut found: Vec<BlockHistory> = Vec::new();
    for facts in look.blocks() {
        let (mut rest, mut replaced) = (Vec::new(), Vec::new());
        for entry in look.entries() {
            match &entry.event {
                Event::Replaced { .. } if covers(&entry.subject, facts.id) => {
                    replaced.push(entry.at.date());
                }
                Event::Rest { volts, rested, .. } if entry.subject == Subject::Block(facts.id) => {
                    let enough = rested.is_none_or(|t| rested_min <= t.as_hours());
                    let cell = CellVoltage::volts(volts.as_volts() / f64::from(facts.cells.max(1)));
                    let soc = look.tables.battery.charge_at_rest(word, cell);
                    let soc = soc.filter(|_| enough).map(|s| (s.value / 100.0).clamp(0.0, 1.0));
                    rest.push(RestPoint { at: entry.at, volts: *volts, soc, entry: entry.id });
                }
                _ => {}
            }
        }
        found.push(BlockHistory { block: facts.id, rest, replaced, offset_v: None });
    }
    let offsets = rest_offsets(look, &found);
    for (block, offset) in found.iter_mut().zip(offsets) {
        block.offset_v = offset;
    }
    found
}

/// Each block's rest volts against the middle of all blocks read the same day.
fn rest_offsets(look: &Look<'_>, blocks: &[BlockHistory]) -> Vec<Option<Range>> {
    let mut by_day: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for point in blocks.iter().flat_map(|b| &b.rest) {
        by_day.entry(point.at.date()).or_default().push(point.volts.as_volts());
    }
    let error = look.limit("meter-voltage-error").value;
    let offset = |block: &BlockHistory| {
        let since = block.replaced.last();
        let own = block.rest.iter().filter(|p| since.is_none_or(|day| *day <= p.at.date()));
        let away: Vec<f64> = own
            .rev()
            .filter_map(|p| {
                let day = by_day.get(&p.at.date()).filter(|day| 3 <= day.len())?;
                Some(p.volts.as_volts() - median(day)?)
            })
            .take(OFFSET_READINGS + 2)
            .collect();
        if away.len() < OFFSET_READINGS {
            return None;
        }
        middle(&away, error)
    };
    blocks.iter().map(offset).collect()
}

/// The doubt about a reading that the cell's others gainsay.
pub(super) fn slip(cell: &CellHistory, point: &GravityPoint) -> Doubt {
    let near = cell.points.iter().filter(|p| p.at != point.at && p.doubted.is_none());
    let near: Vec<f64> = near.map(|p| p.corrected).collect();
    let usual = median(&near)
        .map_or_else(String::new, |m| format!(", its other readings about {}", show::fixed(m, 3)));
    Doubt {
        entry: point.entry,
        at: point.at,
        part: cell.cell.to_string(),
        kind: DoubtKind::Mistyped,
        says: format!("{} is written as {}{usual}.", cell.cell, show::fixed(point.read, 3)),
        remedy: format!(
            "Write it again as it was meant, as a correction of entry {}.",
            point.entry
        ),
    }
}
