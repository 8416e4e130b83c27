//! The form of `log add`: every cell once, in the order in which the cells lie in the box.
//!
//! It reads plain lines, so that it works in any terminal and from a pipe. Nothing is kept before
//! the last question; then everything is, at once.

use super::{Job, add};
use crate::failure::Failure;
use crate::log::parts::{self, Parts, Plausible};
use crate::log::{entries, jump, words};
use crate::terminal::warn;
use engine::evidence::log::{CellId, Entry, Event, Level, Log, Subject};
use engine::model::bank::BlockId;
use engine::study::Study;
use engine::units::show::{self, UnitSystem};
use engine::units::{Temperature, Voltage, parse};
use jiff::civil::DateTime;
use std::io::BufRead;

/// Tries at one question: enough for slips, and an end for a pipe that only ever says the same.
const TRIES: u32 = 5;

/// What an answer means.
enum Answer {
    /// Nothing for this part.
    Skip,
    /// To the question before.
    Back,
    /// No more questions.
    Done,
    /// What was read.
    Read(Vec<Event>),
}

/// One part, with what was read there last.
struct Question {
    subject: Subject,
    last: Option<String>,
    answer: Vec<Event>,
}

/// Where lines come from.
type Lines<'a> = dyn FnMut() -> Result<String, Failure> + 'a;

pub(super) fn run(job: &Job<'_>, at: DateTime, note: Option<&str>) -> Result<(), Failure> {
    let mut lines = std::io::stdin().lock().lines();
    let mut next = move || lines.next().and_then(Result::ok).ok_or_else(no_more);
    let rig = &job.rig;
    let study = Study::of(&rig.design, rig.stage_or_present(), &rig.tables, rig.ambient)
        .map_err(|e| Failure::table(&e))?;
    let parts = Parts::at_stage(rig);
    let rows = parts::rows(&study.layout.plan);
    let in_box = |block: &BlockId| {
        let count = parts.blocks.get(block).copied().unwrap_or(0);
        parts::cells(&study.layout.plan, *block, count)
    };
    if rows.is_empty() {
        return Err(no_bank(&rig.name));
    }
    warn(&heading(job, &rows, parts.flooded, &in_box));
    let subjects: Vec<Subject> = if parts.flooded {
        rows.iter().flatten().flat_map(in_box).map(Subject::Cell).collect()
    } else {
        rows.iter().flatten().map(|block| Subject::Block(*block)).collect()
    };
    let fluid = if parts.flooded { fluid(&mut next, job.units())? } else { None };
    let mut questions = questions(subjects, &rig.evidence.log);
    let form = Form {
        at,
        fluid,
        flooded: parts.flooded,
        plausible: parts.plausible,
        log: &rig.evidence.log,
    };
    form.ask(&mut questions, &mut next)?;
    let read = entries_of(&questions, at, note.unwrap_or(""));
    if read.is_empty() {
        return Err(nothing_read());
    }
    warn(&summary(&read, job.units()));
    match next()?.trim().to_lowercase().as_str() {
        "" | "y" | "yes" => add::kept(job, &read, f64::INFINITY),
        _ => Err(not_wanted()),
    }
}

/// The plan of the cells, and how to answer.
fn heading(
    job: &Job<'_>,
    rows: &[parts::Row],
    flooded: bool,
    in_box: &dyn Fn(&BlockId) -> Vec<CellId>,
) -> String {
    let mut text = format!("\n{}: as you stand before the box\n\n", job.rig.design.rig.name);
    for row in rows {
        let blocks: Vec<String> = row
            .iter()
            .map(|block| {
                let cells: Vec<String> = in_box(block)
                    .iter()
                    .map(|c| if flooded { (c.cell + 1).to_string() } else { String::new() })
                    .collect();
                format!("{block} [{}]", cells.join(" ").trim())
            })
            .collect();
        text.push_str(&format!("  {}\n", blocks.join("  ")));
    }
    let asks = if flooded {
        "Each cell: 1.265 or 1265; its own temperature behind it, 1.265 70 F; or how the fluid \
         stands: bare, low, right, over."
    } else {
        "Each block: its volts at rest, 12.72 V."
    };
    text.push_str(&format!(
        "\n{asks}\nEnter skips, b goes back, done ends the questions. Nothing is kept before the \
         last question.\n\n"
    ));
    text
}

fn fluid(next: &mut Lines<'_>, units: UnitSystem) -> Result<Option<Temperature>, Failure> {
    let such = match units {
        UnitSystem::Us => "68 F",
        UnitSystem::Metric => "20 C",
    };
    for _ in 0..TRIES {
        warn(&format!("Fluid temperature, such as {such} (enter: not read) > "));
        let line = next()?;
        if line.trim().is_empty() {
            return Ok(None);
        }
        match parse::temperature(line.trim()) {
            Ok(read) if (-40.0..=70.0).contains(&read.as_celsius()) => return Ok(Some(read)),
            Ok(_) => warn("  No fluid in a battery is that warm or cold.\n"),
            Err(error) => warn(&format!("  {} Write {}.\n", error.says, error.write)),
        }
    }
    Err(tries_used("the fluid"))
}

fn questions(subjects: Vec<Subject>, log: &Log) -> Vec<Question> {
    let standing = log.standing();
    subjects
        .into_iter()
        .map(|subject| {
            let last = standing.iter().rev().find_map(|e| match &e.event {
                Event::Gravity { gravity, .. } if e.subject == subject => {
                    Some(format!("{} on {}", show::fixed(*gravity, 3), e.at.date()))
                }
                Event::Rest { volts, .. } if e.subject == subject => {
                    Some(format!("{} on {}", show::voltage(*volts), e.at.date()))
                }
                _ => None,
            });
            Question { subject, last, answer: Vec::new() }
        })
        .collect()
}

/// What every question of one sitting shares.
struct Form<'a> {
    at: DateTime,
    fluid: Option<Temperature>,
    flooded: bool,
    plausible: Plausible,
    log: &'a Log,
}

impl Form<'_> {
    fn ask(&self, questions: &mut [Question], next: &mut Lines<'_>) -> Result<(), Failure> {
        let mut at = 0;
        while let Some(question) = questions.get_mut(at) {
            match self.one(question, next)? {
                Answer::Skip => at += 1,
                Answer::Back => at = at.saturating_sub(1),
                Answer::Done => return Ok(()),
                Answer::Read(events) => {
                    question.answer = events;
                    at += 1;
                }
            }
        }
        Ok(())
    }

    fn one(&self, question: &Question, next: &mut Lines<'_>) -> Result<Answer, Failure> {
        let name = words::name(&question.subject);
        for _ in 0..TRIES {
            let last = question.last.as_ref().map(|l| format!("last {l}")).unwrap_or_default();
            let so_far = match question.answer.as_slice() {
                [] => String::new(),
                events => format!("  [{}]", self.said(events)),
            };
            warn(&format!("{name:<6} {last:<26}{so_far} > "));
            let line = next()?;
            match line.trim().to_lowercase().as_str() {
                "" => return Ok(Answer::Skip),
                "b" | "back" => return Ok(Answer::Back),
                "done" => return Ok(Answer::Done),
                said => match self.read(said) {
                    Ok(events) if self.is_meant(question, &events, next)? => {
                        return Ok(Answer::Read(events));
                    }
                    Ok(_) => {}
                    Err(says) => warn(&format!("  {says}\n")),
                },
            }
        }
        Err(tries_used(&name))
    }

    fn said(&self, events: &[Event]) -> String {
        events
            .iter()
            .map(|event| match event {
                Event::Gravity { gravity, .. } => show::fixed(*gravity, 3),
                Event::Rest { volts, .. } => show::voltage(*volts),
                _ => "looked".to_owned(),
            })
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// One answer. A comma is a decimal here: nothing else can be meant.
    fn read(&self, said: &str) -> Result<Vec<Event>, String> {
        if !self.flooded {
            let said = said.replace(',', ".").replace('v', "V");
            let with_unit = if said.ends_with('V') { said } else { format!("{said} V") };
            let volts =
                parse::voltage(&with_unit).map_err(|e| format!("{} Write 12.72 V.", e.says))?;
            return rest_of(volts);
        }
        let level = match said {
            "bare" | "plates bare" => Some(Level::PlatesBare),
            "low" => Some(Level::Low),
            "right" => Some(Level::Right),
            "over" => Some(Level::Over),
            _ => None,
        };
        if let Some(level) = level {
            return Ok(vec![Event::Looked { level }]);
        }
        let (figure, heat) = said.split_once(' ').unwrap_or((said, ""));
        let gravity = gravity(figure, &self.plausible)?;
        let fluid = match heat.trim() {
            "" => self.fluid,
            heat => {
                let heat = heat.to_uppercase();
                Some(parse::temperature(&heat).map_err(|e| format!("{} Write 70 F.", e.says))?)
            }
        };
        Ok(vec![Event::Gravity { gravity, fluid, charged_since_water: None, rested: None }])
    }

    /// Asks once more about a reading that is far from the one before it.
    fn is_meant(
        &self,
        question: &Question,
        events: &[Event],
        next: &mut Lines<'_>,
    ) -> Result<bool, Failure> {
        for event in events {
            let entry = entry(&question.subject, event.clone(), self.at, "");
            if let Some(says) = jump::of(&entry, self.log, self.plausible.jump) {
                warn(&format!("  {says} Is it so? y, or enter to write it again > "));
                return Ok(matches!(next()?.trim().to_lowercase().as_str(), "y" | "yes"));
            }
        }
        Ok(true)
    }
}

/// `1.265`, `1265` or `265`.
fn gravity(figure: &str, plausible: &Plausible) -> Result<f64, String> {
    let told = || format!("\"{figure}\" is no gravity. Write 1.265 or 1265.");
    let value: f64 = figure.replace(',', ".").parse().map_err(|_| told())?;
    let gravity = match value {
        v if (1000.0..2000.0).contains(&v) => v / 1000.0,
        v if (100.0..400.0).contains(&v) && v.fract() < 1e-9 => 1.0 + v / 1000.0,
        v => v,
    };
    if plausible.has(gravity) { Ok(gravity) } else { Err(plausible.says(gravity)) }
}

fn rest_of(volts: Voltage) -> Result<Vec<Event>, String> {
    if (0.0..=100.0).contains(&volts.as_volts()) {
        return Ok(vec![Event::Rest { volts, rested: None, temperature: None }]);
    }
    Err(format!("{} cannot be the volts of one block.", show::voltage(volts)))
}

fn entry(subject: &Subject, event: Event, at: DateTime, note: &str) -> Entry {
    Entry { id: 0, at, subject: subject.clone(), event, note: note.to_owned(), corrects: None }
}

fn entries_of(questions: &[Question], at: DateTime, note: &str) -> Vec<Entry> {
    let of = |q: &Question| -> Vec<Entry> {
        q.answer.iter().map(|event| entry(&q.subject, event.clone(), at, note)).collect()
    };
    questions.iter().flat_map(of).collect()
}

fn summary(read: &[Entry], units: UnitSystem) -> String {
    let mut text = String::from("\n");
    for entry in read {
        text.push_str(&format!(
            "  {}  {}\n",
            words::name(&entry.subject),
            entries::words(entry, units)
        ));
    }
    text.push_str(&format!("Keep these {}? enter keeps, n keeps nothing > ", read.len()));
    text
}

fn no_more() -> Failure {
    Failure::log(
        "The answers ended before the last question; nothing was kept.".to_owned(),
        "End the questions with done, then answer the last one with enter.".to_owned(),
    )
}

fn nothing_read() -> Failure {
    Failure::log("No reading was given; nothing was kept.".to_owned(), String::new())
}

fn not_wanted() -> Failure {
    Failure::log("Nothing was kept, as you said.".to_owned(), String::new())
}

fn tries_used(name: &str) -> Failure {
    Failure::log(
        format!("{TRIES} answers for {name} that cannot be used; nothing was kept."),
        "Start again; enter skips a cell.".to_owned(),
    )
}

fn no_bank(rig: &str) -> Failure {
    Failure::log(
        "There is no bank at this stage to ask about.".to_owned(),
        format!("Name a later one: `bankwright log {rig} --stage NAME add`."),
    )
}
