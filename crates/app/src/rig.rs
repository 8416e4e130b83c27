//! The design a word works on: read from its file, changed by `--set`, looked at in one state.

use crate::args::RigArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::FaultJson;
use crate::log::clock::Now;
use crate::log::store::{self, Store};
use crate::terminal::style::Style;
use crate::terminal::{say, warn};
use design_file::edit::set;
use design_file::fault::{Fault, Severity};
use design_file::read::{ReadResult, read};
use design_file::render::{render, render_coloured};
use engine::evidence::Evidence;
use engine::evidence::log::Log;
use engine::facts::Ambient;
use engine::facts::block::reference_temperature;
use engine::model::design::Design;
use engine::report::Report;
use engine::tables::Tables;
use engine::units::parse;
use jiff::civil::Date;
use std::path::Path;

/// The temperatures a bank of this kind can meet.
const COLDEST_C: f64 = -60.0;
const HOTTEST_C: f64 = 90.0;

/// A design ready to be worked on.
pub(crate) struct Rig {
    /// Its file's name, as the owner gave it.
    pub(crate) name: String,
    /// What was understood of it, with every change made.
    pub(crate) design: Design,
    /// The stage asked for by name.
    pub(crate) stage: Option<usize>,
    /// The state it is looked at in.
    pub(crate) ambient: Ambient,
    /// Published numbers.
    pub(crate) tables: Tables,
    /// What was measured and done, beside the design.
    pub(crate) evidence: Evidence,
    /// Everything that was not understood.
    faults: Vec<Fault>,
    /// The same, rendered with line and caret.
    rendered: String,
    /// The file as it is on disk, for line numbers.
    on_disk: ReadResult,
}

impl Rig {
    /// Reads the design that the options name.
    pub(crate) fn open(args: &RigArgs) -> Result<Self, Failure> {
        let mut rig = Self::without_log(args)?;
        rig.evidence = evidence(args)?;
        Ok(rig)
    }

    fn without_log(args: &RigArgs) -> Result<Self, Failure> {
        let ambient = ambient(args)?;
        let text = files::read_text(&args.rig)?;
        let name = args.rig.display().to_string();
        let on_disk = read(&text);
        let mut changed = text.clone();
        for change in &args.set {
            changed = with_change(&changed, change, args.stage.as_deref())?;
        }
        let mut faults = on_disk.faults.clone();
        let mut rendered = rendered(&text, &name, &faults);
        let mut design = on_disk.design.clone();
        if !args.set.is_empty() {
            let tried = read(&changed);
            let known =
                |f: &Fault| on_disk.faults.iter().any(|o| o.path == f.path && o.says == f.says);
            let new: Vec<Fault> = tried.faults.iter().filter(|f| !known(f)).cloned().collect();
            rendered.push_str(&self::rendered(&changed, "with --set", &new));
            faults = tried.faults;
            design = tried.design;
        }
        let Some(design) = design else {
            if args.json {
                say(&json::text(&json::NoDesign { faults: FaultJson::all(&faults) }))?;
            }
            return Err(Failure::no_design(rendered));
        };
        let stage = args.stage.as_ref().map(|s| stage_index(&design, s)).transpose()?;
        let tables = Tables::load().map_err(|e| Failure::table(&e))?;
        let evidence = Evidence::default();
        Ok(Self { name, design, stage, ambient, tables, evidence, faults, rendered, on_disk })
    }

    /// The same for a word that works on the log itself: whatever is wrong with the log is told by
    /// that word, and the day is known even before the first entry.
    pub(crate) fn open_for_log(args: &RigArgs, today: Date) -> Result<Self, Failure> {
        let mut rig = Self::without_log(args)?;
        let path = store::beside(&args.rig);
        let log = Store::open(&path).and_then(|s| s.map(|s| s.log()).transpose());
        rig.evidence.log = log.map_err(|t| t.at(&path))?.unwrap_or_default();
        rig.evidence.today = Some(today);
        Ok(rig)
    }

    /// The stage asked for, or the one being built now.
    pub(crate) fn stage_or_present(&self) -> usize {
        self.stage.unwrap_or_else(|| self.design.present_stage())
    }

    /// The report on the stage asked for, or on the one being built now.
    pub(crate) fn report(&self) -> Result<Report, Failure> {
        Report::with(
            &self.design,
            self.stage_or_present(),
            &self.tables,
            self.ambient,
            &self.evidence,
        )
        .map_err(|e| Failure::table(&e))
    }

    /// The reports that `check` covers: one stage, or the present and every later one.
    pub(crate) fn reports(&self) -> Result<Vec<Report>, Failure> {
        match self.stage {
            Some(_) => self.report().map(|r| vec![r]),
            None => Report::from_present(&self.design, &self.tables, self.ambient, &self.evidence)
                .map_err(|e| Failure::table(&e)),
        }
    }

    /// The line of a path in the file as it is on disk. What stands nowhere in the file is told at
    /// the head of the rig.
    pub(crate) fn line_of(&self, path: &str) -> usize {
        let spans = &self.on_disk.spans;
        spans.line_of(path).or_else(|| spans.line_of("rig")).unwrap_or(1)
    }

    /// Every fault of the design file and of the changes.
    pub(crate) fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// A failure of the work, below what the design file says wrongly.
    pub(crate) fn failed(&self, failure: Failure) -> Failure {
        failure.below(&self.rendered)
    }

    /// Shows the warnings, and fails when there are errors; to be called when the work is printed.
    pub(crate) fn close(self) -> Result<(), Failure> {
        let errors = self.faults.iter().filter(|f| f.severity == Severity::Error).count();
        if errors > 0 {
            return Err(Failure::with_errors(self.rendered, errors));
        }
        warn(&self.rendered);
        Ok(())
    }
}

fn evidence(args: &RigArgs) -> Result<Evidence, Failure> {
    evidence_beside(&args.rig, args.today.as_deref())
}

/// What the log beside a design holds. Where there is no log there is no day either, unless one is
/// told, so that a design by itself always says the same.
pub(crate) fn evidence_beside(rig: &Path, today: Option<&str>) -> Result<Evidence, Failure> {
    let path = store::beside(rig);
    let told = today.is_some();
    let log = match Store::open(&path).and_then(|s| s.map(|s| s.log()).transpose()) {
        Ok(log) => log.unwrap_or_default(),
        Err(trouble) => {
            // The design is good without it; what follows must say that it knows no log.
            warn(&trouble.at(&path).beside("What follows does not know the log."));
            Log::default()
        }
    };
    let dated = told || !log.entries.is_empty();
    let today = dated.then(|| Now::of(today)).transpose()?;
    Ok(Evidence { log, readings: Vec::new(), today: today.map(|now| now.local.date()) })
}

fn rendered(text: &str, name: &str, faults: &[Fault]) -> String {
    if faults.is_empty() {
        return String::new();
    }
    if Style::for_errors().is_shown() {
        render_coloured(text, name, faults)
    } else {
        render(text, name, faults)
    }
}

fn with_change(text: &str, change: &str, stage: Option<&str>) -> Result<String, Failure> {
    let Some((path, value)) = change.split_once('=') else {
        return Err(Failure::set_without_value(change));
    };
    set(text, path.trim(), value.trim(), stage)
        .map_err(|fault| Failure::set_refused(change, &fault.says, &fault.write))
}

fn stage_index(design: &Design, name: &str) -> Result<usize, Failure> {
    design.stage_index(name).ok_or_else(|| {
        let stages: Vec<String> = design.stages.iter().map(|s| format!("\"{}\"", s.name)).collect();
        Failure::no_stage(name, &stages)
    })
}

/// The state that `--soc` and `--temperature` ask for.
fn ambient(args: &RigArgs) -> Result<Ambient, Failure> {
    let soc = match &args.soc {
        None => None,
        Some(text) => {
            let soc = parse::share(text).map_err(|e| Failure::option("soc", &e))?;
            if !(0.0..=1.0).contains(&soc) {
                return Err(Failure::out_of_range("soc", text, "a share from 0 % to 100 %"));
            }
            Some(soc)
        }
    };
    let temperature = match &args.temperature {
        None => reference_temperature(),
        Some(text) => {
            let read = parse::temperature(text).map_err(|e| Failure::option("temperature", &e))?;
            if !(COLDEST_C..=HOTTEST_C).contains(&read.as_celsius()) {
                let limits = "a temperature from -60 C to 90 C";
                return Err(Failure::out_of_range("temperature", text, limits));
            }
            read
        }
    };
    Ok(Ambient { soc, temperature })
}
