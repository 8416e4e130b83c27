//! `log --json`.

use super::check::SourceJson;
use crate::log::copy::BadRow;
use crate::log::entries::words;
use crate::log::line;
use crate::log::sheet::columns::Column;
use crate::log::words::name;
use engine::care::Care;
use engine::care::believed::Doubt;
use engine::care::capacity::{CapacityResult, Counted, Health};
use engine::care::cells::{BlockHistory, CellHistory, GravityPoint, Range, RestPoint};
use engine::care::diagnose::Diagnosis;
use engine::care::due::Due;
use engine::care::equalise::{Criterion, Equalise, Verdict};
use engine::care::frost::FreezeMargin;
use engine::care::water::WaterUse;
use engine::cite::Cite;
use engine::evidence::log::Entry;
use engine::units::Temperature;
use engine::units::show::UnitSystem;
use jiff::civil::Date;
use serde::Serialize;

/// What `log add` and `log import` kept.
#[derive(Debug, Serialize)]
pub(crate) struct AddedJson {
    /// Numbers of the new entries.
    pub(crate) added: Vec<i64>,
    /// Entries that were there already.
    pub(crate) known: usize,
}

/// What `log undo` did.
#[derive(Debug, Serialize)]
pub(crate) struct UndoneJson {
    /// Numbers of the entries that no longer stand.
    pub(crate) taken_back: Vec<i64>,
    /// Numbers of those that stand again.
    pub(crate) brought_back: Vec<i64>,
}

/// What `log check` found.
#[derive(Debug, Serialize)]
pub(crate) struct CheckedJson {
    /// How many entries it has.
    pub(crate) entries: usize,
    /// Nothing is damaged.
    pub(crate) sound: bool,
}

/// What `log show` tells.
#[derive(Debug, Serialize)]
pub(crate) struct ShowJson {
    today: Option<String>,
    entries: Vec<EntryJson>,
    cells: Vec<CellJson>,
    blocks: Vec<BlockJson>,
    tests: Vec<TestJson>,
    health: Option<HealthJson>,
    water: Vec<WaterJson>,
    charging: ChargingJson,
    diagnoses: Vec<DiagnosisJson>,
    equalise: EqualiseJson,
    freeze: Option<FreezeJson>,
    doubts: Vec<DoubtJson>,
    sources: Vec<SourceJson>,
}

/// One entry, as it stands in an export.
#[derive(Debug, Serialize)]
struct EntryJson {
    id: i64,
    when: String,
    part: String,
    says: String,
    line: String,
    corrects: Option<i64>,
}

#[derive(Debug, Serialize)]
struct RangeJson {
    now: f64,
    low: f64,
    high: f64,
}

#[derive(Debug, Serialize)]
struct CellJson {
    cell: String,
    state: &'static str,
    since: Option<String>,
    trend_per_year: Option<RangeJson>,
    offset: Option<RangeJson>,
    readings: Vec<GravityJson>,
}

#[derive(Debug, Serialize)]
struct GravityJson {
    when: String,
    read: f64,
    fluid_c: Option<f64>,
    corrected: f64,
    soc: Option<f64>,
    counted: bool,
    entry: i64,
}

#[derive(Debug, Serialize)]
struct BlockJson {
    block: String,
    rest: Vec<RestJson>,
    replaced: Vec<String>,
    offset_v: Option<RangeJson>,
}

#[derive(Debug, Serialize)]
struct RestJson {
    when: String,
    volts: f64,
    soc: Option<f64>,
    entry: i64,
}

#[derive(Debug, Serialize)]
struct TestJson {
    on: String,
    part: String,
    amps: f64,
    lasted_h: f64,
    temperature_c: Option<f64>,
    new_h: f64,
    share: RangeJson,
    counted: Vec<CountedJson>,
    entry: i64,
}

#[derive(Debug, Serialize)]
struct CountedJson {
    how: String,
    share: f64,
    source: SourceJson,
}

#[derive(Debug, Serialize)]
struct HealthJson {
    share: RangeJson,
    per_year: RangeJson,
    tests: usize,
    below_80: Option<String>,
    below_80_early: Option<String>,
    below_80_late: Option<String>,
    sources: Vec<SourceJson>,
}

#[derive(Debug, Serialize)]
struct WaterJson {
    cell: String,
    from: String,
    to: String,
    volume_cm3: f64,
    per_month_cm3: f64,
    over_string: Option<f64>,
    expected_cm3: Option<(f64, f64)>,
    overcharge_ah: f64,
}

#[derive(Debug, Serialize)]
struct ChargingJson {
    last_full: Option<String>,
    days_since_full: Option<i32>,
    longest_gap_days: Option<i32>,
    ended_full: usize,
    ended_clock: usize,
    ended_broken: usize,
    amp_hours_per_year: Option<f64>,
}

#[derive(Debug, Serialize)]
struct DiagnosisJson {
    kind: &'static str,
    part: String,
    cells: Vec<String>,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
    why: String,
    entries: Vec<i64>,
    sources: Vec<SourceJson>,
}

#[derive(Debug, Serialize)]
struct EqualiseJson {
    verdict: &'static str,
    says: String,
    how: Vec<String>,
    last: Option<String>,
    criteria: Vec<CriterionJson>,
}

#[derive(Debug, Serialize)]
struct CriterionJson {
    says: String,
    met: Option<bool>,
    source: SourceJson,
}

#[derive(Debug, Serialize)]
struct FreezeJson {
    on: String,
    part: String,
    gravity: f64,
    freezes_c: f64,
    coldest_c: f64,
    margin_k: f64,
    holds: bool,
    sources: Vec<SourceJson>,
}

#[derive(Debug, Serialize)]
struct DoubtJson {
    entry: i64,
    part: String,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
}

fn sources(cites: &[Cite]) -> Vec<SourceJson> {
    cites.iter().map(SourceJson::of).collect()
}

fn day(day: Option<Date>) -> Option<String> {
    day.map(|day| day.to_string())
}

impl From<Range> for RangeJson {
    fn from(range: Range) -> Self {
        Self { now: range.now, low: range.low, high: range.high }
    }
}

impl ShowJson {
    /// What the log says, with the entries that were asked for.
    pub(crate) fn of(care: &Care, entries: &[&Entry]) -> Self {
        let charging = &care.charging;
        Self {
            today: day(care.today),
            entries: entries.iter().map(|e| EntryJson::of(e)).collect(),
            cells: care.cells.iter().map(CellJson::of).collect(),
            blocks: care.blocks.iter().map(BlockJson::of).collect(),
            tests: care.tests.iter().map(TestJson::of).collect(),
            health: care.health.as_ref().map(HealthJson::of),
            water: care.water.iter().map(WaterJson::of).collect(),
            charging: ChargingJson {
                last_full: day(charging.last_full),
                days_since_full: charging.days_since_full,
                longest_gap_days: charging.longest_gap_days,
                ended_full: charging.ended_full,
                ended_clock: charging.ended_clock,
                ended_broken: charging.ended_broken,
                amp_hours_per_year: charging.amp_hours_per_year,
            },
            diagnoses: care.diagnoses.iter().map(DiagnosisJson::of).collect(),
            equalise: EqualiseJson::of(&care.equalise),
            freeze: care.freeze.as_ref().map(FreezeJson::of),
            doubts: care.doubts.iter().map(DoubtJson::of).collect(),
            sources: sources(&care.cites),
        }
    }
}

impl EntryJson {
    fn of(entry: &Entry) -> Self {
        Self {
            id: entry.id,
            when: entry.at.to_string(),
            part: name(&entry.subject),
            says: words(entry, UnitSystem::Metric),
            line: line::of(entry),
            corrects: entry.corrects,
        }
    }
}

impl CellJson {
    fn of(cell: &CellHistory) -> Self {
        let reading = |p: &GravityPoint| GravityJson {
            when: p.at.to_string(),
            read: p.read,
            fluid_c: p.fluid.map(Temperature::as_celsius),
            corrected: p.corrected,
            soc: p.soc,
            counted: p.doubted.is_none(),
            entry: p.entry,
        };
        Self {
            cell: cell.cell.to_string(),
            state: cell.state.word(),
            since: day(cell.since),
            trend_per_year: cell.trend_per_year.map(RangeJson::from),
            offset: cell.offset.map(RangeJson::from),
            readings: cell.points.iter().map(reading).collect(),
        }
    }
}

impl BlockJson {
    fn of(block: &BlockHistory) -> Self {
        let rest = |p: &RestPoint| RestJson {
            when: p.at.to_string(),
            volts: p.volts.as_volts(),
            soc: p.soc,
            entry: p.entry,
        };
        Self {
            block: block.block.to_string(),
            rest: block.rest.iter().map(rest).collect(),
            replaced: block.replaced.iter().map(ToString::to_string).collect(),
            offset_v: block.offset_v.map(RangeJson::from),
        }
    }
}

impl TestJson {
    fn of(test: &CapacityResult) -> Self {
        let counted = |c: &Counted| CountedJson {
            how: c.how.clone(),
            share: c.share,
            source: SourceJson::of(&c.cite),
        };
        Self {
            on: test.on.to_string(),
            part: test.part.clone(),
            amps: test.current.as_amps(),
            lasted_h: test.lasted.as_hours(),
            temperature_c: test.temperature.map(Temperature::as_celsius),
            new_h: test.rated.as_hours(),
            share: test.share.into(),
            counted: test.counted.iter().map(counted).collect(),
            entry: test.entry,
        }
    }
}

impl HealthJson {
    fn of(health: &Health) -> Self {
        Self {
            share: health.now.into(),
            per_year: health.per_year.into(),
            tests: health.tests,
            below_80: day(health.below_80),
            below_80_early: day(health.below_80_early),
            below_80_late: day(health.below_80_late),
            sources: sources(&health.cites),
        }
    }
}

impl WaterJson {
    fn of(water: &WaterUse) -> Self {
        Self {
            cell: water.cell.to_string(),
            from: water.from.to_string(),
            to: water.to.to_string(),
            volume_cm3: water.volume_cm3,
            per_month_cm3: water.per_month_cm3,
            over_string: water.over_string,
            expected_cm3: water.expected_cm3,
            overcharge_ah: water.overcharge_ah,
        }
    }
}

impl DiagnosisJson {
    fn of(one: &Diagnosis) -> Self {
        Self {
            kind: one.kind.words(),
            part: one.part.clone(),
            cells: one.cells.iter().map(ToString::to_string).collect(),
            says: one.says.clone(),
            remedy: one.remedy.clone(),
            why: one.why.to_owned(),
            entries: one.entries.clone(),
            sources: sources(&one.cites),
        }
    }
}

impl EqualiseJson {
    fn of(equalise: &Equalise) -> Self {
        let criterion = |c: &Criterion| CriterionJson {
            says: c.says.clone(),
            met: c.met,
            source: SourceJson::of(&c.cite),
        };
        Self {
            verdict: match equalise.verdict {
                Verdict::Never => "never",
                Verdict::Unknown => "unknown",
                Verdict::NotNow => "not_now",
                Verdict::Now => "now",
            },
            says: equalise.says.clone(),
            how: equalise.how.clone(),
            last: day(equalise.last),
            criteria: equalise.criteria.iter().map(criterion).collect(),
        }
    }
}

impl FreezeJson {
    fn of(freeze: &FreezeMargin) -> Self {
        Self {
            on: freeze.on.to_string(),
            part: freeze.part.clone(),
            gravity: freeze.gravity,
            freezes_c: freeze.freezes.as_celsius(),
            coldest_c: freeze.coldest.as_celsius(),
            margin_k: freeze.margin_k,
            holds: freeze.holds,
            sources: sources(&freeze.cites),
        }
    }
}

impl DoubtJson {
    fn of(doubt: &Doubt) -> Self {
        Self {
            entry: doubt.entry,
            part: doubt.part.clone(),
            says: doubt.says.clone(),
            remedy: doubt.remedy.clone(),
        }
    }
}

/// What `log due` tells.
#[derive(Debug, Serialize)]
pub(crate) struct DueListJson {
    today: Option<String>,
    due: Vec<DueJson>,
}

#[derive(Debug, Serialize)]
struct DueJson {
    id: String,
    part: String,
    #[serde(rename = "do")]
    what: String,
    how_often: String,
    last: Option<String>,
    due: Option<String>,
    late_days: Option<i32>,
    why: String,
    source: SourceJson,
}

impl DueListJson {
    /// What is due.
    pub(crate) fn of(care: &Care) -> Self {
        let one = |due: &Due| DueJson {
            id: due.id.clone(),
            part: due.part.clone(),
            what: due.what.clone(),
            how_often: due.how_often.clone(),
            last: day(due.last),
            due: day(due.due),
            late_days: due.late_days,
            why: due.why.clone(),
            source: SourceJson::of(&due.source),
        };
        Self { today: day(care.today), due: care.due.iter().map(one).collect() }
    }
}

/// What `log import` did.
#[derive(Debug, Serialize)]
pub(crate) struct ImportedJson {
    /// Numbers of the new entries.
    pub(crate) added: Vec<i64>,
    /// Entries that were there already.
    pub(crate) known: usize,
    /// Rows that were left out.
    pub(crate) bad: Vec<BadRowJson>,
    /// What each column was understood as; empty for an exported log.
    pub(crate) columns: Vec<ColumnJson>,
}

/// A row that was left out.
#[derive(Debug, Serialize)]
pub(crate) struct BadRowJson {
    line: u64,
    says: String,
}

impl BadRowJson {
    /// A row as JSON says it.
    pub(crate) fn of(row: &BadRow) -> Self {
        Self { line: row.line, says: row.says.clone() }
    }
}

/// A column of a spreadsheet.
#[derive(Debug, Serialize)]
pub(crate) struct ColumnJson {
    column: String,
    meaning: String,
    taken_for_granted: Option<String>,
}

impl ColumnJson {
    /// A column as JSON says it.
    pub(crate) fn of(column: &Column) -> Self {
        Self {
            column: column.header.clone(),
            meaning: column.meaning.words(),
            taken_for_granted: column.doubt.clone(),
        }
    }
}
