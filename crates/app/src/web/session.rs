//! One design on the desk: its text, what was done to it, and how it is looked at.

use super::brought::Brought;
use super::change::{self, Changed, Way};
use super::intent::{Asked, Intent, Side, StripName, ThingKind};
use super::sent::Sent;
use super::shape;
use super::sheet::nights::NightsTold;
use super::store::{LogMark, Saved, Store};
use super::work::{Ground, Look, NoWork, Work};
use crate::failure::Failure;
use crate::rig::evidence_beside;
use design_file::fault::Severity;
use drawing::pictures::plan::Sheet as PlanSheet;
use engine::evidence::Evidence;
use engine::model::bank::BlockId;
use engine::tables::Tables;
use engine::units::Length;
use engine::units::show::{self, UnitSystem};
use std::collections::BTreeSet;
use std::path::Path;

/// A window as long as nobody has said how large it is [px].
const USUAL_WINDOW: [f64; 2] = [900.0, 560.0];

/// What is said first of what was done.
const DONE: &str = "Done. ";

/// A text with the way back and forth.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    /// As it stands.
    pub(super) text: String,
    /// What it was before each change, the oldest first.
    pub(super) past: Vec<String>,
    /// What was undone, the last undone at the end.
    pub(super) future: Vec<String>,
}

/// One design on the desk.
#[derive(Debug)]
pub(crate) struct Session {
    pub(super) ground: Ground,
    pub(super) store: Store,
    /// The draft that is shown.
    pub(super) draft: Draft,
    /// What the draft says.
    work: Result<Work, NoWork>,
    /// What is tried while a finger is down, and what it says.
    tried: Option<(String, Work)>,
    /// The finger rests, and all that is shown is as if it were lifted.
    rests: bool,
    /// The draft with every block lying where it is drawn; made once a block is taken hold of.
    pinned: Option<String>,
    /// The rig as it was kept to compare with.
    pub(super) kept: Option<Draft>,
    /// Whether the one that was kept is the one on the sheet.
    pub(super) kept_shown: bool,
    pub(super) look: Look,
    pub(super) window: [f64; 2],
    pub(super) open: BTreeSet<StripName>,
    pub(super) month: Option<u32>,
    /// The full nights were asked for, and nothing has changed since.
    pub(super) full: bool,
    pub(super) touched: Option<(ThingKind, String)>,
    pub(super) word: Option<String>,
    /// Work that was not saved when the design was last open.
    pub(super) offer: Option<String>,
    /// What somebody else wrote over the design meanwhile.
    pub(super) theirs: Option<String>,
    /// The readings that were read in.
    pub(super) brought: Option<Brought>,
    /// The sheet on which the plan was last drawn at rest.
    pub(super) sheet: Option<PlanSheet>,
    /// What was changed last by a key, so that a row of steps is undone at once.
    stepped: Option<String>,
    /// The log as it was when it was last read.
    log: LogMark,
    /// The nights as they were told last.
    pub(super) nights: Option<NightsTold>,
    /// What the page in the browser shows.
    pub(super) sent: Sent,
}

/// What became of a wish, in a sentence for everybody.
pub(super) type Told = Result<String, String>;

impl Session {
    /// Opens a design file.
    pub(crate) fn open(path: &Path, read_only: bool) -> Result<Self, Failure> {
        let (store, offer) = Store::open(path, read_only)?;
        let (kept, log) = (store.kept(), store.log_mark());
        let mut session = Self::on(store, offer, evidence_beside(path, None)?)?;
        if let Some((text, shown)) = kept {
            session.kept = Some(Draft { text, ..Draft::default() });
            session.kept_shown = shown;
        }
        session.log = log;
        session.take_up_readings();
        Ok(session)
    }

    /// A design on the desk.
    pub(super) fn on(
        store: Store,
        offer: Option<String>,
        evidence: Evidence,
    ) -> Result<Self, Failure> {
        let tables = Tables::load().map_err(|e| Failure::table(&e))?;
        let ground = Ground { tables, evidence, read_in: None };
        let look = Look { stage: None, units: None };
        let draft = Draft { text: store.known().to_owned(), ..Draft::default() };
        let work = Work::of(&draft.text, &look, &ground);
        Ok(Self {
            ground,
            store,
            draft,
            work,
            tried: None,
            rests: false,
            pinned: None,
            kept: None,
            kept_shown: false,
            look,
            window: USUAL_WINDOW,
            open: BTreeSet::from([StripName::Share]),
            month: None,
            full: false,
            touched: None,
            word: None,
            offer,
            theirs: None,
            brought: None,
            sheet: None,
            stepped: None,
            log: LogMark::default(),
            nights: None,
            sent: Sent::default(),
        })
    }

    /// What is shown: what is tried while a finger is down, else the draft.
    pub(super) fn shown(&self) -> Result<&Work, &NoWork> {
        match &self.tried {
            Some((_, work)) => Ok(work),
            None => self.work.as_ref(),
        }
    }

    /// The text of what is shown.
    pub(super) fn shown_text(&self) -> &str {
        self.tried.as_ref().map_or(&self.draft.text, |(text, _)| text)
    }

    /// Whether something is only tried.
    pub(super) const fn is_trying(&self) -> bool {
        self.tried.is_some()
    }

    /// Whether something moves, so that what takes long waits.
    pub(super) const fn is_moving(&self) -> bool {
        self.tried.is_some() && !self.rests
    }

    /// Whether the draft is not what is on disk.
    pub(super) fn is_unsaved(&self) -> bool {
        self.draft.text != self.store.known()
    }

    /// Does what is asked, and says what became of it.
    pub(super) fn ask(&mut self, asked: &Asked) -> Told {
        let bits = |window: [f64; 2]| window.map(f64::to_bits);
        if let Some(window) = asked.window.filter(|w| bits(*w) != bits(self.window)) {
            self.window = window;
            self.sheet = None;
        }
        let intent = &asked.intent;
        if !matches!(
            intent,
            Intent::Look {} | Intent::Touch { .. } | Intent::Word { .. } | Intent::Leave {}
        ) {
            self.full = matches!(intent, Intent::Full {});
        }
        let step = if let Intent::Move { block, fine: true, commit: true, .. } = intent {
            Some(block.clone())
        } else {
            None
        };
        self.read_log_again();
        let rested = std::mem::replace(&mut self.rests, asked.rest);
        if asked.rest && !rested {
            self.tried = None;
        }
        let told = self.done(intent, step.as_deref());
        if !matches!(intent, Intent::Look {} | Intent::Touch { .. } | Intent::Strip { .. }) {
            self.stepped = step;
        }
        told
    }

    fn done(&mut self, intent: &Intent, step: Option<&str>) -> Told {
        match intent {
            Intent::Look {} | Intent::Full {} => Ok(String::new()),
            Intent::Strip { .. }
            | Intent::Stage { .. }
            | Intent::Units {}
            | Intent::Month { .. }
            | Intent::Touch { .. }
            | Intent::Word { .. }
            | Intent::Leave {} => self.looked(intent),
            Intent::Undo {} => self.back(),
            Intent::Redo {} => self.forth(),
            Intent::Save {} => self.save(),
            Intent::Settle { keep } => self.settle(*keep),
            Intent::Restore { take } => self.restore(*take),
            Intent::Copy { keep } => self.copy(*keep),
            Intent::Swap {} => self.swap(),
            Intent::Readings { name, text } => self.bring(name, text),
            Intent::KeepReadings {} => self.keep_brought(),
            Intent::DropReadings {} => self.drop_brought(),
            Intent::Drop {} => {
                self.tried = None;
                Ok("Put back.".to_owned())
            }
            Intent::Strings { .. }
            | Intent::Longer {}
            | Intent::Away { .. }
            | Intent::Shorter { .. } => self.reshape(intent),
            _ => self.edit(intent, step),
        }
    }

    /// Another look at the same text.
    fn looked(&mut self, intent: &Intent) -> Told {
        match intent {
            Intent::Strip { name, open } => {
                if *open {
                    self.open.insert(*name);
                } else {
                    self.open.remove(name);
                }
                return Ok(String::new());
            }
            Intent::Month { month } => {
                self.month = (*month != 0).then_some(*month);
                return Ok(String::new());
            }
            Intent::Touch { kind, id } => {
                self.word = None;
                self.touched = Some((*kind, id.clone()));
                return Ok(String::new());
            }
            Intent::Word { word } => {
                self.word = Some(word.clone());
                return Ok(String::new());
            }
            Intent::Leave {} => {
                (self.word, self.touched) = (None, None);
                return Ok(String::new());
            }
            _ => {}
        }
        let said = match intent {
            Intent::Stage { name } => {
                self.look.stage = Some(name.clone());
                self.sheet = None;
                format!("Stage {name}.")
            }
            _ => {
                let shown = self.work.as_ref().map_or(UnitSystem::Metric, Work::units);
                let (other, words) = match shown {
                    UnitSystem::Metric => (UnitSystem::Us, "Inches and pounds."),
                    UnitSystem::Us => (UnitSystem::Metric, "Millimetres and kilograms."),
                };
                self.look.units = Some(other);
                words.to_owned()
            }
        };
        self.work_anew();
        Ok(said)
    }

    /// Reads the log again when somebody wrote in it; not while a finger is down, so that nothing but
    /// the thing in hand changes.
    fn read_log_again(&mut self) {
        if self.is_trying() || self.log == self.store.log_mark() {
            return;
        }
        self.log = self.store.log_mark();
        if let Ok(evidence) = evidence_beside(self.store.named(), None) {
            self.ground.evidence = evidence;
            self.work = Work::of(&self.draft.text, &self.look, &self.ground);
        }
    }

    pub(super) fn work_anew(&mut self) {
        (self.tried, self.pinned) = (None, None);
        self.work = Work::of(&self.draft.text, &self.look, &self.ground);
    }

    /// Whether anything may be changed now.
    fn may_change(&self) -> Result<&Work, String> {
        if self.offer.is_some() {
            return Err("First say whether the work that was not saved is taken up.".to_owned());
        }
        if self.theirs.is_some() {
            return Err("First say which of the two files goes on.".to_owned());
        }
        let not_understood = "The design must be understood before it can be changed.";
        self.work.as_ref().map_err(|_| not_understood.to_owned())
    }

    /// Strings or blocks more or fewer.
    fn reshape(&mut self, intent: &Intent) -> Told {
        let work = self.may_change()?;
        let text = &self.draft.text;
        let block = |name: &str| {
            BlockId::from_text(name).ok_or_else(|| format!("No block is called {name}."))
        };
        let (text, also) = match intent {
            Intent::Strings { more: true } => shape::string_more(text, work),
            Intent::Longer {} => shape::block_more(text, work),
            Intent::Away { block: name } => shape::string_away(text, work, block(name)?),
            Intent::Shorter { block: name } => shape::place_away(text, work, block(name)?),
            _ => shape::last_string_away(text, work),
        }?;
        self.sheet = None;
        let said = self.take(text, true, None)?;
        Ok(format!("{said} {also}").trim_end().to_owned())
    }

    /// A change of the text.
    fn edit(&mut self, intent: &Intent, step: Option<&str>) -> Told {
        let (changed, commit) = self.changed(intent);
        let text = changed.inspect_err(|_| self.tried = None)?;
        let said = self.take(text, commit, step)?;
        let rest = said.strip_prefix(DONE);
        Ok(rest.and_then(|rest| Some(format!("{} {rest}", self.put(intent)?))).unwrap_or(said))
    }

    /// Where something was put, for somebody who does not see it.
    fn put(&self, intent: &Intent) -> Option<String> {
        let work = self.work.as_ref().ok()?;
        let from = |at: Length, wall: &str| {
            let by = show::length(at.abs(), work.units());
            if at < Length::ZERO {
                format!("{by} beyond the {wall} wall")
            } else {
                format!("{by} from the {wall} wall")
            }
        };
        match intent {
            Intent::Move { block, .. } => {
                let at = change::placed(work, block).ok()?.corner;
                let (left, near) = (from(at.x, "left"), from(at.y, "near"));
                Some(format!("Block {block} lies {left} and {near}."))
            }
            Intent::Turn { block } => Some(format!("Block {block} is turned a quarter.")),
            Intent::End { to, .. } => Some(format!("The lead end is on {to}.")),
            _ => None,
        }
    }

    /// The text that a wish makes, and whether it stays.
    fn changed(&mut self, intent: &Intent) -> (Changed, bool) {
        if matches!(intent, Intent::Move { .. } | Intent::Turn { .. }) && self.pinned.is_none() {
            match self.may_change().and_then(|work| change::pinned(&self.draft.text, work)) {
                Ok(pinned) => self.pinned = Some(pinned),
                Err(says) => return (Err(says), true),
            }
        }
        let work = match self.may_change() {
            Ok(work) => work,
            Err(says) => return (Err(says), true),
        };
        let text = &self.draft.text;
        let pinned = self.pinned.as_deref().unwrap_or(text);
        match intent {
            Intent::Move { block, dx, dy, fine, commit } => {
                (change::moved(pinned, work, block, (*dx, *dy), *fine), *commit)
            }
            Intent::Turn { block } => (change::quarter(pinned, work, block), true),
            Intent::End { from, to, commit } => (change::end(text, work, from, to), *commit),
            Intent::Slide { by, across, commit } => {
                let way = if *across { Way::Across } else { Way::Along };
                (change::slid(text, work, way, *by), *commit)
            }
            Intent::Size { lead, size } => (change::sized(text, work, lead, size), true),
            Intent::Hours { load, hours } => (change::hours(text, work, load, hours), true),
            _ => (Err("That changes nothing.".to_owned()), true),
        }
    }

    /// Tries a text, or makes it the draft.
    fn take(&mut self, text: String, commit: bool, step: Option<&str>) -> Told {
        // A hand that stays within the reach of a wall says the same again.
        if !commit && self.tried.as_ref().is_some_and(|(tried, _)| *tried == text) {
            return Ok(String::new());
        }
        let work = match self.shown() {
            Ok(before) if !commit && !self.rests => {
                Work::glance(&text, &self.look, &self.ground, before)
            }
            _ => Work::of(&text, &self.look, &self.ground),
        };
        let work = work.map_err(|no| no.says().join(" "))?;
        if let Some(says) = self.new_fault(&work) {
            self.tried = None;
            return Err(says);
        }
        if !commit {
            self.tried = Some((text, work));
            return Ok(String::new());
        }
        self.tried = None;
        if text == self.draft.text {
            return Ok("As it was.".to_owned());
        }
        let more = step.is_some() && step == self.stepped.as_deref();
        if !more {
            self.draft.past.push(self.draft.text.clone());
        }
        self.draft.future.clear();
        self.draft.text = text;
        (self.work, self.pinned) = (Ok(work), None);
        self.keep()?;
        Ok(self.stops())
    }

    /// What a change would break in the file itself, such as a lead left without an end.
    fn new_fault(&self, work: &Work) -> Option<String> {
        let known = self.work.as_ref().map_or(&[][..], |w| &w.read.faults);
        let new = work.read.faults.iter().find(|f| {
            f.severity == Severity::Error
                && !known.iter().any(|k| k.path == f.path && k.says == f.says)
        });
        new.map(|f| format!("{} {}", f.says, f.write))
    }

    /// How many things stop the work now.
    fn stops(&self) -> String {
        let stops = self.work.as_ref().map_or(0, |w| w.report.stops());
        match stops {
            0 => format!("{DONE}Nothing stops this stage."),
            1 => format!("{DONE}One STOP stands."),
            n => format!("{DONE}{n} STOP stand."),
        }
    }

    /// Lays beside the design what a crash must not take: work that is not saved, and the other one of
    /// a what-if.
    fn keep(&self) -> Result<(), String> {
        let other = self.kept.as_ref().map(|kept| (kept.text.as_str(), self.kept_shown));
        self.store.keep_other(other).map_err(|f| f.one_line())?;
        self.store.keep(&self.draft.text).map_err(|f| f.one_line())
    }

    fn back(&mut self) -> Told {
        let Some(text) = self.draft.past.pop() else {
            return Err("There is nothing to undo.".to_owned());
        };
        let text = std::mem::replace(&mut self.draft.text, text);
        self.draft.future.push(text);
        self.work_anew();
        self.keep()?;
        Ok(format!("Undone. {}", self.stops().trim_start_matches(DONE)))
    }

    fn forth(&mut self) -> Told {
        let Some(text) = self.draft.future.pop() else {
            return Err("There is nothing to do again.".to_owned());
        };
        let text = std::mem::replace(&mut self.draft.text, text);
        self.draft.past.push(text);
        self.work_anew();
        self.keep()?;
        Ok(format!("Done again. {}", self.stops().trim_start_matches(DONE)))
    }

    fn save(&mut self) -> Told {
        if self.offer.is_some() {
            return Err("First say whether the work that was not saved is taken up.".to_owned());
        }
        self.tried = None;
        match self.store.save(&self.draft.text).map_err(|f| f.one_line())? {
            Saved::Done => Ok(format!("Saved in {}.", self.store.file_name())),
            Saved::Changed(theirs) => {
                self.theirs = Some(theirs);
                Err("Somebody else has changed the file. Nothing was written; say which goes on."
                    .to_owned())
            }
        }
    }

    /// Which text goes on after somebody else changed the file; the other is laid beside it.
    fn settle(&mut self, keep: Side) -> Told {
        let Some(theirs) = self.theirs.clone() else {
            return Err("There is nothing to decide.".to_owned());
        };
        let lay =
            |word: &str, text: &str| self.store.lay_beside(word, text).map_err(|f| f.one_line());
        match keep {
            Side::Mine => {
                let name = lay("theirs", &theirs)?;
                self.store.accept(&theirs);
                self.theirs = None;
                let saved = self.save()?;
                Ok(format!("{saved} The other text is kept in {name}."))
            }
            Side::Theirs => {
                let name = lay("mine", &self.draft.text)?;
                self.store.accept(&theirs);
                self.theirs = None;
                let mine = std::mem::replace(&mut self.draft.text, theirs);
                self.draft.past.push(mine);
                self.draft.future.clear();
                self.work_anew();
                self.keep()?;
                Ok(format!("The text on disk goes on. Yours is kept in {name}."))
            }
        }
    }

    /// Takes up work that was not saved, or leaves it.
    fn restore(&mut self, take: bool) -> Told {
        let Some(unsaved) = self.offer.take() else {
            return Err("There is no work that was not saved.".to_owned());
        };
        if !take {
            (self.kept, self.kept_shown) = (None, false);
            self.keep()?;
            return Ok("It is left; the file is as it was saved.".to_owned());
        }
        let before = std::mem::replace(&mut self.draft.text, unsaved);
        self.draft.past.push(before);
        self.work_anew();
        Ok("Taken up where it was left. It is not saved yet.".to_owned())
    }

    /// Keeps the rig as it is to compare with, or ends the comparing with the one that is shown.
    fn copy(&mut self, keep: bool) -> Told {
        self.tried = None;
        self.kept_shown = false;
        if !keep {
            self.kept = None;
            self.keep()?;
            return Ok("The one on the sheet goes on; the other is let go.".to_owned());
        }
        self.kept = Some(self.draft.clone());
        self.keep()?;
        Ok("Kept as it is. Change the rig as you would have it; the differences are shown."
            .to_owned())
    }

    fn swap(&mut self) -> Told {
        let Some(kept) = &mut self.kept else {
            return Err("Nothing was kept to compare with.".to_owned());
        };
        std::mem::swap(kept, &mut self.draft);
        self.kept_shown = !self.kept_shown;
        self.work_anew();
        self.keep()?;
        let which = if self.kept_shown { "As it is." } else { "As you would have it." };
        Ok(which.to_owned())
    }
}
