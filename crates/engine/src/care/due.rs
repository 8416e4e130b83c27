//! What is to be done regularly, and when next.

use super::capacity::{CapacityResult, Health};
use super::cells::Acid;
use super::charging::Charging;
use super::look::{Look, days, later};
use super::water::WaterUse;
use crate::cite::{Cite, Status};
use crate::evidence::log::Event;
use crate::model::block::Chemistry;
use crate::tables::care::{Season, Task};
use crate::units::show;
use jiff::civil::{Date, date};

/// One thing to do again and again.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// Its name for ever, such as `water.bank`: a calendar finds the event again by it.
    pub id: String,
    /// What to do; starts with a verb.
    pub what: String,
    /// How often, in words.
    pub how_often: String,
    /// When it was last done.
    pub last: Option<Date>,
    /// When it is due; `None` when the day is not known.
    pub due: Option<Date>,
    /// Days it is late; negative before it is due.
    pub late_days: Option<i32>,
    /// Why, in one line.
    pub why: String,
    /// The part.
    pub part: String,
    /// Where the interval comes from.
    pub source: Cite,
}

/// What tells when things were last done.
pub(super) struct Done<'a> {
    pub(super) look: &'a Look<'a>,
    pub(super) acid: Option<&'a Acid>,
    pub(super) charging: &'a Charging,
    pub(super) tests: &'a [CapacityResult],
    pub(super) health: Option<&'a Health>,
    pub(super) water: &'a [WaterUse],
}

/// Days in which a weekly look is meant.
const WEEK_DAYS: f64 = 7.0;

impl Done<'_> {
    /// What is to be done, the most late first.
    pub(super) fn all(&self) -> Vec<Due> {
        let Some(chemistry) = self.look.chemistry() else {
            return Vec::new();
        };
        let worn = self.is_worn();
        let tasks = self.look.tables.care.tasks().iter();
        let mut all: Vec<Due> = tasks
            .filter(|t| concerns(&t.chemistry, chemistry) && self.in_season(t))
            .filter(|t| t.id != if worn { "capacity" } else { "capacity-worn" })
            .map(|t| self.due(t))
            .collect();
        all.extend(self.frost(chemistry));
        all.extend(self.storage());
        all.extend(self.replace());
        all.sort_by(|a, b| (a.due, &a.id).cmp(&(b.due, &b.id)));
        all
    }

    fn is_worn(&self) -> bool {
        let limit = self.look.limit("capacity-test-yearly").value;
        let tested = self.tests.iter().rev().find(|t| t.part == "the bank");
        tested.is_some_and(|t| t.share.now < limit)
    }

    /// The warm half of the year: April to September, turned round south of the equator.
    fn is_summer(&self) -> bool {
        let south = self.look.study.design.place.as_ref().and_then(|p| p.latitude_deg);
        let Some(month) = self.look.today.map(Date::month) else {
            return true;
        };
        (4..=9).contains(&month) != south.is_some_and(|lat| lat < 0.0)
    }

    fn in_season(&self, task: &Task) -> bool {
        match task.season {
            Season::Any => true,
            Season::Summer => self.is_summer(),
            Season::Winter => !self.is_summer(),
        }
    }

    fn due(&self, task: &Task) -> Due {
        let last = self.last(&task.id);
        let (mut days, mut source) = (task.days, task.cite.clone());
        if task.id == "water" {
            let most = self.look.limit("water-per-week-max");
            let week = |w: &WaterUse| w.per_month_cm3 / 30.0 * WEEK_DAYS;
            if self.water.iter().any(|w| most.value < week(w)) {
                (days, source) = (WEEK_DAYS, most.cite);
            }
        }
        let id = task.id.split('-').next().unwrap_or(&task.id);
        self.entry(
            (format!("{id}.bank"), task.what.clone(), task.why.clone()),
            &every(days),
            (last, last.map(|day| later(day, days)).or(self.look.today)),
            source,
        )
    }

    fn entry(
        &self,
        (id, what, why): (String, String, String),
        how_often: &str,
        (last, due): (Option<Date>, Option<Date>),
        source: Cite,
    ) -> Due {
        let due = due.filter(|_| self.look.today.is_some());
        let late_days = due.zip(self.look.today).map(|(due, today)| days(due, today));
        let part = "the bank".to_owned();
        Due {
            id,
            what: format!("{what}."),
            how_often: how_often.to_owned(),
            last,
            due,
            late_days,
            why: format!("{why}."),
            part,
            source,
        }
    }

    /// When a task was last done, as far as the log shows.
    fn last(&self, id: &str) -> Option<Date> {
        let of = |wanted: &dyn Fn(&Event) -> bool| {
            let found = self.look.entries().iter().rev().find(|e| wanted(&e.event));
            found.map(|e| e.at.date())
        };
        match id {
            "charge" => self.charging.last_full,
            "balance" => self.charging.last_full,
            "water" => of(&|e| matches!(e, Event::Water { .. } | Event::Looked { .. })),
            "rest" => of(&|e| matches!(e, Event::Rest { .. })),
            "look" => of(&|e| matches!(e, Event::Looked { .. })),
            "gravity" => self.acid.and_then(|a| a.last_sitting()).map(|s| s.on),
            "torque" | "joints" => of(&|e| matches!(e, Event::Joint { .. })),
            "float" => of(&|e| matches!(e, Event::Charge { .. } | Event::Rest { .. })),
            "equalise" => of(&|e| matches!(e, Event::Equalise { .. })),
            "capacity" | "capacity-worn" => self.tests.last().map(|t| t.on),
            _ => None,
        }
    }

    /// Before the cold comes: October, April south of the equator.
    fn frost(&self, chemistry: Chemistry) -> Option<Due> {
        let place = self.look.study.design.place.as_ref()?;
        let frosty = place.coldest.is_none_or(|t| t.as_celsius() < 5.0);
        if !frosty {
            return None;
        }
        let month = if place.latitude_deg.is_some_and(|lat| lat < 0.0) { 4 } else { 10 };
        let due = self.look.today.map(|today| next(today, month));
        let what = if chemistry.is_lead() {
            "Before the frost: charge full, read gravity or rest volts, and see how far from freezing it is"
        } else {
            "Before the frost: see that nothing can charge it under 0 °C"
        };
        let why = "A flat battery freezes at a few degrees under zero; a full one does not";
        let words = ("frost.bank".to_owned(), what.to_owned(), why.to_owned());
        let source = Cite::practice("a look before winter");
        Some(self.entry(words, "every year", (None, due), source))
    }

    /// At the beginning of the time in which it stands unused.
    fn storage(&self) -> Option<Due> {
        let month = self.look.study.design.storage.as_ref()?.from?;
        let month = i8::try_from(month).ok().filter(|m| (1..=12).contains(m))?;
        let due = self.look.today.map(|today| next(today, month));
        let words = (
            "store.bank".to_owned(),
            "Lay the bank up as the storage page says".to_owned(),
            "A lead bank that stands half empty sulphates and freezes".to_owned(),
        );
        let source = Cite::new("owner", "the design file", Status::Read);
        Some(self.entry(words, "every year", (None, due), source))
    }

    /// When to think of the next bank.
    fn replace(&self) -> Option<Due> {
        let health = self.health.filter(|h| 0 < h.tests)?;
        let limit = self.look.limit("capacity-replace");
        let percent = |share: f64| show::decimal(share * 100.0, 0);
        let what = format!(
            "Plan the next bank: it is at about {} % ({} to {} %)",
            percent(health.now.now),
            percent(health.now.low),
            percent(health.now.high)
        );
        let why = format!("Under {} % a bank fails without warning", percent(limit.value));
        let words = ("replace.bank".to_owned(), what, why);
        Some(self.entry(words, "once", (None, health.below_80_early), limit.cite))
    }
}

/// Whose a task is.
fn concerns(word: &str, chemistry: Chemistry) -> bool {
    match word {
        "all" => true,
        "lead" => chemistry.is_lead(),
        "flooded" => chemistry == Chemistry::Flooded,
        "sealed" => matches!(chemistry, Chemistry::Agm | Chemistry::Gel),
        "lfp" => chemistry == Chemistry::Lfp,
        _ => false,
    }
}

/// An interval in words.
fn every(days: f64) -> String {
    let near = |of: f64| (days - of).abs() < 0.5;
    let words = [
        (7.0, "every week"),
        (30.0, "every month"),
        (60.0, "every two months"),
        (91.0, "every three months"),
        (182.0, "every six months"),
        (365.0, "every year"),
    ];
    let found = words.iter().find(|w| near(w.0));
    found.map_or_else(|| format!("every {} days", show::decimal(days, 0)), |w| w.1.to_owned())
}

/// The first of a month, this year or the next.
fn next(today: Date, month: i8) -> Date {
    let this = date(today.year(), month, 1);
    // The event stays on its day for a month, so that it can be late.
    let past = days(this, today) > 30;
    if past && today.year() < 9999 { date(today.year() + 1, month, 1) } else { this }
}
