//! What the log shows, put into words.

use super::believed::{Doubt, DoubtKind};
use super::capacity::Health;
use super::cells::{Acid, BlockHistory, CellHistory, CellState};
use super::charging::Charging;
use super::look::{Look, covers, days, later, owners_log, years};
use super::robust::{median, slope};
use super::sittings::{After, Sitting};
use super::water::WaterUse;
use crate::cite::Cite;
use crate::evidence::log::{CellId, Event, Level, Subject};
use crate::units::show;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What the log shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DiagnosisKind {
    /// One cell falls away from its neighbours.
    FailingCell,
    /// A cell's plates stand bare, or it drinks far more than its neighbours.
    DryCell,
    /// All cells lose gravity at full, and the volts say so too: never quite charged, sulphating.
    Undercharged,
    /// Gravity at the top is low and the volts say full: the acid has settled.
    Stratified,
    /// Capacity is near or under the end.
    WornOut,
    /// A newer block works among older ones.
    ReplacedBlock,
    /// Months without an entry.
    Gaps,
    /// Entries in a wrong unit.
    WrongUnits,
    /// The same entries twice.
    DuplicateImport,
    /// A slip of the pen.
    Mistyped,
}

impl DiagnosisKind {
    /// The words shown to the owner.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FailingCell => "failing cell",
            Self::DryCell => "dry cell",
            Self::Undercharged => "undercharged",
            Self::Stratified => "stratified acid",
            Self::WornOut => "worn out",
            Self::ReplacedBlock => "newer block among older ones",
            Self::Gaps => "gaps in the log",
            Self::WrongUnits => "wrong units",
            Self::DuplicateImport => "entries twice",
            Self::Mistyped => "mistyped reading",
        }
    }
}

/// One thing the log shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// What.
    pub kind: DiagnosisKind,
    /// The part, in the owner's words: `A1.2`, `the bank`, `the log`.
    pub part: String,
    /// The cells it speaks of, where it speaks of some.
    pub cells: Vec<CellId>,
    /// What is, with numbers.
    pub says: String,
    /// What to do; starts with a verb.
    pub remedy: String,
    /// Why, in one line.
    pub why: &'static str,
    /// The entries behind it.
    pub entries: Vec<i64>,
    /// Where the figures come from.
    pub cites: Vec<Cite>,
}

/// Everything a diagnosis looks at.
pub(super) struct Signs<'a> {
    pub(super) look: &'a Look<'a>,
    pub(super) acid: Option<&'a Acid>,
    pub(super) blocks: &'a [BlockHistory],
    pub(super) water: &'a [WaterUse],
    pub(super) charging: &'a Charging,
    pub(super) health: Option<&'a Health>,
    pub(super) doubts: &'a [Doubt],
}

/// Sittings in a row that tell of the acid as it stands.
const LATEST: usize = 5;
/// Least number of them.
const LATEST_LEAST: usize = 3;
/// Hours by which rest volts belong to a sitting.
const SAME_DAYS: i32 = 2;

impl Signs<'_> {
    /// What the log shows, the worst first.
    pub(super) fn all(&self) -> Vec<Diagnosis> {
        let mut all: Vec<Diagnosis> = Vec::new();
        all.extend(self.failing());
        all.extend(self.dry());
        let settled = self.stratified();
        if settled.is_none() {
            all.extend(self.undercharged());
        }
        all.extend(settled);
        all.extend(self.worn_out());
        all.extend(self.replaced());
        all.extend(self.gaps());
        all.extend(self.slips());
        all.sort_by_key(|d| d.kind);
        all
    }

    fn bank(&self, kind: DiagnosisKind, words: (String, String), why: &'static str) -> Diagnosis {
        Diagnosis {
            kind,
            part: "the bank".to_owned(),
            cells: Vec::new(),
            says: words.0,
            remedy: words.1,
            why,
            entries: Vec::new(),
            cites: vec![owners_log()],
        }
    }

    /// Each cell that stands under its neighbours for good.
    fn failing(&self) -> Vec<Diagnosis> {
        let Some(acid) = self.acid else {
            return Vec::new();
        };
        let low = acid.cells.iter().filter(|c| CellState::Behind <= c.state);
        low.filter_map(|cell| self.failing_cell(cell)).collect()
    }

    fn failing_cell(&self, cell: &CellHistory) -> Option<Diagnosis> {
        let offset = cell.offset?;
        let failing = cell.state == CellState::Failing;
        let says = format!(
            "{} stands {} under its neighbours ({} to {}, middle of its last readings): {}.",
            cell.cell,
            show::fixed(-offset.now, 3),
            show::fixed(-offset.high, 3),
            show::fixed(-offset.low, 3),
            cell.state.word()
        );
        let remedy = if failing {
            format!(
                "Equalise once if that was not done since, read it again, and if it stays plan to replace \
                 {} with one of the same age, or all of its string.",
                cell.cell.block
            )
        } else {
            "Equalise, then read every cell again after the next full charge.".to_owned()
        };
        let mut said = self.bank(
            DiagnosisKind::FailingCell,
            (says, remedy),
            "One weak cell ends every discharge and takes its block with it.",
        );
        said.part = cell.cell.to_string();
        said.cells = vec![cell.cell];
        said.entries = cell.points.iter().rev().take(LATEST).map(|p| p.entry).collect();
        said.cites.push(
            self.look.limit(if failing { "cell-spread-equalise" } else { "cell-behind" }).cite,
        );
        Some(said)
    }

    /// Cells with bare plates, and cells that drink far more than the others of their string.
    fn dry(&self) -> Vec<Diagnosis> {
        let mut bare: BTreeMap<CellId, i64> = BTreeMap::new();
        for entry in self.look.entries() {
            match (&entry.event, &entry.subject) {
                (Event::Looked { level: Level::PlatesBare }, Subject::Cell(cell)) => {
                    bare.insert(*cell, entry.id);
                }
                (Event::Looked { .. } | Event::Water { .. }, Subject::Cell(cell)) => {
                    bare.remove(cell);
                }
                (Event::Looked { .. } | Event::Water { .. }, subject) => {
                    bare.retain(|cell, _| !covers(subject, cell.block));
                }
                _ => {}
            }
        }
        let most = self.look.limit("water-over-string");
        let thirsty = |cell: CellId| {
            self.water.iter().find(|w| w.cell == cell && most.value <= w.over_string.unwrap_or(0.0))
        };
        let mut cells: Vec<CellId> = bare.keys().copied().collect();
        cells.extend(self.water.iter().map(|w| w.cell).filter(|c| thirsty(*c).is_some()));
        cells.sort();
        cells.dedup();
        let each = cells.into_iter().map(|cell| {
            let plates = bare.get(&cell);
            let mut says = Vec::new();
            if plates.is_some() {
                says.push(format!("The plates of {cell} stood bare when last looked at."));
            }
            if let Some(water) = thirsty(cell) {
                says.push(format!(
                    "{cell} takes {} cm3 of water a month, {} times the mean of its string.",
                    show::decimal(water.per_month_cm3, 0),
                    show::decimal(water.over_string.unwrap_or(0.0), 1)
                ));
            }
            let remedy = "Cover the plates with pure water now, charge full, then fill to just \
                          under the tube; look at this cell every week, and feel it for warmth under charge."
                .to_owned();
            let why = "Bare plates are lost within days; a cell that drinks more is shorted inside or too hot.";
            let mut said = self.bank(DiagnosisKind::DryCell, (says.join(" "), remedy), why);
            said.part = cell.to_string();
            said.cells = vec![cell];
            said.entries.extend(plates);
            said.cites.push(most.cite.clone());
            said
        });
        each.collect()
    }

    /// Sittings after a charge, the newest first.
    fn charged(&self) -> Vec<&Sitting> {
        let Some(acid) = self.acid else {
            return Vec::new();
        };
        let all = acid.sittings.iter().rev();
        all.filter(|s| s.after != After::Nothing && acid.cells.len() <= 2 * s.values.len())
            .collect()
    }

    /// Middle of the rest volts of a cell around a day, over all blocks and the bank.
    fn cell_volts(&self, on: Date) -> Option<f64> {
        let rested = self.look.limit("rest-hours-min").value;
        let near = self.look.entries().iter().filter(|e| days(e.at.date(), on).abs() <= SAME_DAYS);
        let volts = near.filter_map(|e| match &e.event {
            Event::Rest { volts, rested: time, .. }
                if time.is_none_or(|t| rested <= t.as_hours()) =>
            {
                Some(volts.as_volts() / f64::from(self.look.cells_of(&e.subject)?))
            }
            _ => None,
        });
        median(&volts.collect::<Vec<f64>>())
    }

    /// How far the gravity of the last sittings stands under what the rest volts of the same days say.
    fn settled_by(&self) -> Option<f64> {
        let add = self.look.limit("gravity-to-volts").value;
        let latest = self.charged().into_iter().take(LATEST);
        let gaps: Vec<f64> =
            latest.filter_map(|s| Some(self.cell_volts(s.on)? - add - s.median)).collect();
        if gaps.len() < LATEST_LEAST { None } else { median(&gaps) }
    }

    fn stratified(&self) -> Option<Diagnosis> {
        let least = self.look.limit("gravity-volts-gap");
        let gap = self.settled_by().filter(|gap| least.value < *gap)?;
        let says = format!(
            "The hydrometer shows {} less than the rest volts say, in all cells alike: the strong acid has \
             settled and the top is thin.",
            show::fixed(gap, 3)
        );
        let remedy = "Equalise until the cells gas well for an hour or two, so that the acid mixes, then read again; \
                      let every charge reach the volts at which the cells gas."
            .to_owned();
        let why = "Settled acid eats the foot of the plates and leaves their heads to sulphate.";
        let mut said = self.bank(DiagnosisKind::Stratified, (says, remedy), why);
        said.cites.extend([least.cite, self.look.limit("gravity-to-volts").cite]);
        Some(said)
    }

    /// Years' fall of the gravity of all cells after a charge, where it is sure; and how far it stands
    /// under the bank's own full gravity.
    fn falling(&self) -> Option<(f64, f64)> {
        let acid = self.acid?;
        let from = later(self.look.now()?, -5.0 * super::look::YEAR_DAYS);
        let charged = self.charged();
        let of = charged.iter().filter(|s| from <= s.on);
        let points: Vec<(f64, f64)> = of.map(|s| (years(from, s.on), s.median)).collect();
        let latest: Vec<f64> = charged.iter().take(LATEST).map(|s| s.median).collect();
        // Where the log begins it was best: the own full gravity, or the first sittings after a charge.
        let first: Vec<f64> = charged.iter().rev().take(LATEST).map(|s| s.median).collect();
        let best = acid.full.on.map(|_| acid.full.gravity.value).into_iter().chain(median(&first));
        let under = best.fold(f64::NEG_INFINITY, f64::max) - median(&latest)?;
        let slope = slope(&points).filter(|s| LATEST < points.len() && s.high < 0.0)?;
        (self.look.limit("bank-gravity-drop").value < under).then_some((slope.now, under))
    }

    /// Fall of the rest volts of a cell in a year, where it is sure.
    fn volts_falling(&self) -> Option<f64> {
        let now = self.look.now()?;
        let from = later(now, -5.0 * super::look::YEAR_DAYS);
        let mut by_day: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
        for (block, facts) in self.blocks.iter().zip(self.look.blocks()) {
            let since = block.replaced.last().copied().unwrap_or(from).max(from);
            for point in block.rest.iter().filter(|p| since <= p.at.date() && p.soc.is_some()) {
                let cell = point.volts.as_volts() / f64::from(facts.cells.max(1));
                by_day.entry(point.at.date()).or_default().push(cell);
            }
        }
        let points: Vec<(f64, f64)> =
            by_day.iter().filter_map(|(on, v)| Some((years(from, *on), median(v)?))).collect();
        let least = self.look.limit("bank-gravity-drop").value;
        let slope = slope(&points).filter(|s| LATEST < points.len() && s.high < 0.0)?;
        let span = points.last()?.0 - points.first()?.0;
        (least < -slope.now * span).then_some(slope.now)
    }

    fn undercharged(&self) -> Option<Diagnosis> {
        let lead = self.look.chemistry().is_some_and(crate::model::block::Chemistry::is_lead);
        let early = self.charging.ends_early();
        let (falling, volts) = (self.falling(), self.volts_falling());
        let signs =
            usize::from(early) + usize::from(falling.is_some()) + usize::from(volts.is_some());
        if !lead || signs < 2 {
            return None;
        }
        let mut says = Vec::new();
        if let Some((slope, under)) = falling {
            says.push(format!(
                "All cells together lose {} of gravity a year and stand {} under the best.",
                show::fixed(-slope, 3),
                show::fixed(under, 3)
            ));
        }
        if let Some(slope) = volts {
            let mv = show::decimal(-slope * 1000.0, 0);
            says.push(format!("Rest volts fall by {mv} mV a cell a year."));
        }
        if early {
            says.push(format!(
                "{} charges of the last year ended while more than the limit still flowed.",
                self.charging.tails_over.len()
            ));
        }
        let remedy = "Let absorption run until the amps fall under 3 % of the amp-hours, once a week at least; check the \
                      volts at the posts; then equalise flooded cells and test the capacity."
            .to_owned();
        let why = "Undercharging is the main cause of early loss; sulphate that stands for weeks hardens.";
        let mut said = self.bank(DiagnosisKind::Undercharged, (says.join(" "), remedy), why);
        said.entries = self.charging.tails_over.iter().map(|t| t.0).collect();
        said.cites
            .extend(["bank-gravity-drop", "tail-clock-max"].map(|id| self.look.limit(id).cite));
        Some(said)
    }

    fn worn_out(&self) -> Option<Diagnosis> {
        let limit = self.look.limit("capacity-replace");
        let now = self.look.now()?;
        let sure = |h: &&Health| 0 < h.tests && h.below_80_late.is_some_and(|day| day <= now);
        let health = self.health.filter(sure)?;
        let percent = |share: f64| show::decimal(share * 100.0, 0);
        let says = format!(
            "About {} % is left ({} to {} %), under 80 % with nine chances in ten.",
            percent(health.now.now),
            percent(health.now.low),
            percent(health.now.high)
        );
        let remedy = "Plan the next bank, and until then reckon with what is left.".to_owned();
        let why = "Under 80 % a lead bank fails quickly and without warning.";
        let mut said = self.bank(DiagnosisKind::WornOut, (says, remedy), why);
        said.cites.push(limit.cite);
        Some(said)
    }

    /// A block that is younger than others of its string.
    fn replaced(&self) -> Vec<Diagnosis> {
        let apart = self.look.limit("new-block-days");
        let first = self.look.entries().first().map(|e| e.at.date());
        let since = |block: &BlockHistory| block.replaced.last().copied().or(first);
        let each = self.blocks.iter().filter_map(|block| {
            let on = *block.replaced.last()?;
            let mates = self.blocks.iter().filter(|b| b.block.string == block.block.string);
            let older = mates.filter_map(since).map(|day| days(day, on)).max()?;
            if f64::from(older) <= apart.value {
                return None;
            }
            let says = format!(
                "{} was replaced on {on} and works in a string whose other blocks are at least {older} days older.",
                block.block
            );
            let remedy = format!(
                "Watch {} and its string every month; replace whole strings from now on.",
                block.block
            );
            let why = "A new block in an old string is overcharged by the old ones and ages to match them.";
            let mut said = self.bank(DiagnosisKind::ReplacedBlock, (says, remedy), why);
            said.part = block.block.to_string();
            said.cites.push(apart.cite.clone());
            Some(said)
        });
        each.collect()
    }

    fn gaps(&self) -> Option<Diagnosis> {
        let most = self.look.limit("log-gap-days");
        let mut on: Vec<Date> = self.look.entries().iter().map(|e| e.at.date()).collect();
        on.extend(self.look.today.filter(|_| !on.is_empty()));
        let wide = on.windows(2).filter(|w| most.value < f64::from(days(w[0], w[1])));
        let wide: Vec<String> = wide.map(|w| format!("{} to {}", w[0], w[1])).collect();
        if wide.is_empty() {
            return None;
        }
        let says = format!("Nothing is written from {}.", wide.join(", from "));
        let remedy = "Read every cell now and go on from there; a month's look takes ten minutes."
            .to_owned();
        let why = "What happened in a gap cannot be told from what happened since.";
        let mut said = self.bank(DiagnosisKind::Gaps, (says, remedy), why);
        "the log".clone_into(&mut said.part);
        said.cites.push(most.cite);
        Some(said)
    }

    /// Wrong units, doubles and slips, one line each.
    fn slips(&self) -> Vec<Diagnosis> {
        let kinds = [
            (DoubtKind::WrongUnit, DiagnosisKind::WrongUnits, "in a wrong unit"),
            (DoubtKind::Duplicate, DiagnosisKind::DuplicateImport, "written twice"),
            (DoubtKind::Mistyped, DiagnosisKind::Mistyped, "mistyped"),
        ];
        let each = kinds.into_iter().filter_map(|(doubt, kind, words)| {
            let of: Vec<&Doubt> = self.doubts.iter().filter(|d| d.kind == doubt).collect();
            let first = of.first()?;
            let (count, plural) =
                (of.len(), if of.len() == 1 { "entry is" } else { "entries are" });
            let says = format!(
                "{count} {plural} {words} and left out, the first on {}: {}",
                first.at.date(),
                first.says
            );
            let why = "A figure in doubt says nothing, and would spoil what the others say.";
            let mut said = self.bank(kind, (says, first.remedy.clone()), why);
            "the log".clone_into(&mut said.part);
            said.entries = of.iter().map(|d| d.entry).collect();
            Some(said)
        });
        each.collect()
    }
}
