//! Readings that were read in: what the copy for the driveway handed back, or a sheet typed by hand.
//!
//! The file itself stays with whoever brought it. It is judged as `prove` judges it, and it is laid
//! beside the design only when that is asked for; one that lies there is read in when the design is
//! opened. The checks see what it says as if it stood under `as_built`.

use super::session::{Session, Told};
use super::work::Work;
use crate::failure::Failure;
use crate::proving::{Proving, Sheet};
use book::words::counted;
use engine::evidence::Evidence;
use engine::evidence::readings::Readings;
use engine::model::as_built::{Measured, PostRecord, VoltReading};
use engine::model::design::Design;
use engine::units::Voltage;
use engine::units::reading::Quantity;

/// A file of readings.
#[derive(Clone, Debug)]
pub(super) struct Brought {
    /// What it was called where it came from.
    pub(super) name: String,
    /// What stands in it.
    pub(super) text: String,
    /// Under which name it was laid beside the design.
    pub(super) kept: Option<String>,
}

impl Session {
    /// The readings that were read in, or none but those of the design, judged for what is shown.
    pub(super) fn proving(&self, work: &Work) -> Result<Proving, Failure> {
        let sheet = Sheet { whole: &work.whole, report: &work.report, tables: &self.ground.tables };
        sheet.prove(self.brought.as_ref().map(|b| b.text.as_str()))
    }

    /// What is known beside the design, with what was read in.
    pub(super) fn evidence(&self, work: &Work) -> Result<Evidence, Failure> {
        let mut evidence = self.ground.evidence.clone();
        if self.brought.is_some() {
            evidence.readings.push(self.proving(work)?.readings);
        }
        Ok(evidence)
    }

    /// Reads a file in. One in which nothing can be understood leaves what was there before.
    pub(super) fn bring(&mut self, name: &str, text: &str) -> Told {
        let new = Brought { name: name.to_owned(), text: text.to_owned(), kept: None };
        self.take_in(new)
    }

    fn take_in(&mut self, new: Brought) -> Told {
        let before = self.brought.replace(new);
        match self.brought_says() {
            Ok((says, day)) => {
                self.ground.read_in = Some(day);
                self.work_anew();
                Ok(says)
            }
            Err(says) => {
                self.brought = before;
                Err(says)
            }
        }
    }

    /// Reads in what was kept beside the design when it was last open. What cannot be read in stays
    /// where it lies; it can still be chosen, and then says why.
    pub(super) fn take_up_readings(&mut self) {
        if let Some((name, text)) = self.store.kept_readings() {
            let kept = Some(name.clone());
            // Nobody asked for it yet, so there is nobody to tell.
            let _ = self.take_in(Brought { name, text, kept });
        }
    }

    /// What was read in, in a sentence, and the day itself.
    fn brought_says(&self) -> Result<(String, Readings), String> {
        let (Ok(work), Some(brought)) = (self.shown(), &self.brought) else {
            return Err("The design must be understood before readings can be judged.".to_owned());
        };
        let name = &brought.name;
        let proving = self.proving(work).map_err(|f| f.one_line())?;
        let day = &proving.readings;
        let read = day.taken.len() + proving.aside.len() - proving.from_design;
        if read + day.posts.len() + day.ticks.len() + day.notes.len() == 0 {
            let why = proving.faults.first().map_or(String::new(), |f| f.one_line());
            return Err(format!(
                "Nothing in {name} could be read in, and nothing was changed. {why}"
            ));
        }
        let mut parts = vec![counted(read, "reading", "readings")];
        let more = [
            (day.posts.len(), "post with torque or stack", "posts with torque or stack"),
            (day.ticks.len(), "tick", "ticks"),
            (day.notes.len(), "note", "notes"),
        ];
        parts.extend(more.iter().filter(|m| 0 < m.0).map(|m| counted(m.0, m.1, m.2)));
        let faults = match proving.faults.len() {
            0 => String::new(),
            1 => " One line was not understood; it is told below.".to_owned(),
            n => format!(" {n} lines were not understood; they are told below."),
        };
        Ok((format!("Read in from {name}: {}.{faults}", parts.join(", ")), proving.readings))
    }

    /// Lays the file beside the design, where `prove` finds it too.
    pub(super) fn keep_brought(&mut self) -> Told {
        let Some(brought) = &mut self.brought else {
            return Err("No readings were read in.".to_owned());
        };
        let end = if brought.name.to_lowercase().ends_with(".csv") { "csv" } else { "toml" };
        let kept = self.store.keep_readings(end, &brought.text).map_err(|f| f.one_line())?;
        let says = format!("Kept as {kept}, beside the design.");
        brought.kept = Some(kept);
        Ok(says)
    }

    /// Judges the file no more.
    pub(super) fn drop_brought(&mut self) -> Told {
        let Some(brought) = self.brought.take() else {
            return Err("No readings were read in.".to_owned());
        };
        self.ground.read_in = None;
        self.work_anew();
        let until = if brought.kept.is_some() { " until the design is opened again" } else { "" };
        Ok(format!("{} is judged no more{until}; the file stays where it is.", brought.name))
    }
}

/// Writes what was read on a day into what a design says of its build. What the day says wins.
pub(super) fn laid_into(design: &mut Design, day: &Readings) {
    let built = &mut design.as_built;
    for taken in day.taken.iter().filter(|t| t.quantity == Quantity::Volts) {
        if let Some(what) = Measured::from_text(&taken.what) {
            built.volts.retain(|v| v.what != what);
            built.volts.push(VoltReading { what, volts: Voltage::volts(taken.value) });
        }
    }
    for new in &day.posts {
        match built.posts.iter_mut().find(|old| old.terminal == new.terminal) {
            Some(old) => {
                let stack = if new.stack.is_empty() { &old.stack } else { &new.stack };
                *old = PostRecord {
                    terminal: new.terminal.clone(),
                    torque: new.torque.or(old.torque),
                    stack: stack.clone(),
                    boot: new.boot.or(old.boot),
                };
            }
            None => built.posts.push(new.clone()),
        }
    }
    for tick in &day.ticks {
        if !built.ticks.contains(tick) {
            built.ticks.push(tick.clone());
        }
    }
}
