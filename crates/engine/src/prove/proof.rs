//! The whole of it: readings in, what they come to out.

use super::faults::{self, Fault};
use super::model::Model;
use super::next::Teller;
use super::sheet::{Item, Sheet};
use super::weigh::{Cause, Fitted, Odds, Seen, Weighed, told, weigh};
use super::words::{self, Sizes};
use super::{
    ExpectIf, FaultKind, Found, Judged, Next, Part, Proof, Suspect, Test, Unknown, Verdict,
};
use crate::circuit::error::SolveError;
use crate::evidence::readings::{Readings, TakenReading};
use crate::study::Study;
use crate::tables::Tables;
use crate::units::reading::Quantity;

/// Suspects under this are not told.
const TOLD_LEAST: f64 = 1e-3;
/// No more suspects than this are told.
const TOLD_MOST: usize = 12;
/// From this many spreads on not even the likeliest explanation fits.
const MISFIT: f64 = 4.0;

/// So many suspects are asked what the next reading would show by them.
const FORETOLD: usize = 12;

/// So many figures are told beside that of a sound rig.
const EXPECTED: usize = 3;

/// A suspect with every way in which it may be so.
#[derive(Clone)]
struct Group {
    part: Part,
    /// The other joint of the same lead, where nothing that was read tells the two apart.
    or_in: Option<Part>,
    kind: FaultKind,
    probability: f64,
    /// The same before anything was read.
    before: f64,
    gate: bool,
    best: Odds,
}

impl Proof {
    /// Judges the readings of a day and finds what explains them.
    ///
    /// # Errors
    /// When the network as planned has no answer; the error names the part.
    pub fn of(study: &Study, tables: &Tables, readings: &Readings) -> Result<Self, SolveError> {
        let sheet = Sheet::of(study, tables, readings)?;
        let model = Model::of(&sheet, study, tables);
        let faults = faults::all(&sheet, study, tables);
        let value = |id: &str| tables.limits.value(id).value;
        let odd = value("prove-odds-reading");
        let (seen, unknown) = seen(&sheet, readings);
        let weighed = weigh(&model, &faults, seen, odd);
        let groups = grouped(&model, &faults, &weighed, odd);
        let safe_odds =
            if gap_stands(&sheet, &weighed.seen) { -1.0 } else { value("prove-safe-odds") };
        let teller = Teller::of(&model, &faults, &weighed, safe_odds);
        let sizes = Sizes { study, tables, sheet: &sheet };
        let writer =
            Writer { sheet: &sheet, faults: &faults, weighed: &weighed, sizes, model: &model };
        let judged = writer.judged(readings, &groups);
        let verdict = verdict(&sheet, &judged, &groups, &weighed, tables);
        Ok(Self {
            suspects: writer.suspects(&groups),
            next: writer.next(&teller, &groups),
            sound: weighed.sound,
            readings: judged,
            verdict,
            unknown,
            rests_on: words::rests_on(weighed.misfit > MISFIT),
        })
    }
}

/// A gap shows volts: whatever is behind it, nobody closes it, and nothing beyond it can be read.
fn gap_stands(sheet: &Sheet, seen: &[Seen]) -> bool {
    seen.iter().any(|s| {
        let item = &sheet.items[s.item];
        item.expected.test == Test::Gap && found(item, s.value) == Found::Outside
    })
}

/// The readings as places on the sheet, the last one where a name stands twice; and the names that
/// are none of the sheet's.
fn seen(sheet: &Sheet, readings: &Readings) -> (Vec<Seen>, Vec<Unknown>) {
    let mut seen: Vec<Seen> = Vec::new();
    let mut unknown = Vec::new();
    let mut put = |item: usize, value: f64| {
        seen.retain(|s| s.item != item);
        if value.is_finite() && sheet.items[item].seen.is_some() {
            seen.push(Seen { item, value });
        }
    };
    for taken in &readings.taken {
        let Some(place) = sheet.place(&taken.what).filter(|p| !sheet.items[*p].hidden) else {
            let nearest = words::nearest(&taken.what, sheet.items.iter().filter(|i| !i.hidden));
            unknown.push(Unknown { what: taken.what.clone(), nearest, line: taken.line });
            continue;
        };
        put(place, figure(&sheet.items[place], taken));
        let beside = sheet.place(&format!("amps of {}", taken.what));
        if let (Some(place), Some(amps)) = (beside, taken.amps) {
            put(place, amps.as_amps().abs());
        }
    }
    (seen, unknown)
}

/// The figure in the unit of the sheet; without a sign where none counts.
fn figure(item: &Item, taken: &TakenReading) -> f64 {
    let value = match (taken.quantity, item.expected.quantity) {
        (Quantity::Volts, Quantity::Millivolts) => taken.value * 1000.0,
        (Quantity::Millivolts, Quantity::Volts) => taken.value / 1000.0,
        _ => taken.value,
    };
    if item.signed { value } else { value.abs() }
}

/// Everything that may be wrong, by part and kind, the likeliest first.
fn grouped(model: &Model<'_>, faults: &[Fault], weighed: &Weighed, odd: f64) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for odds in &weighed.odds {
        let (part, kind) = told(odds.cause, model, faults, &weighed.seen);
        let (gate, before) = match odds.cause {
            Cause::Fault(index) => (faults[index].gate, faults[index].odds),
            Cause::Reading(..) => (false, odd / 3.0),
        };
        match groups.iter_mut().find(|g| g.part == part && g.kind == kind) {
            Some(group) => {
                group.probability += odds.probability;
                group.before += before;
                if group.best.probability < odds.probability {
                    group.best = *odds;
                    group.gate = gate;
                }
            }
            None => {
                let (probability, best) = (odds.probability, *odds);
                groups.push(Group { part, or_in: None, kind, probability, before, gate, best });
            }
        }
    }
    // Equal odds keep the order of the sheet.
    groups.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    groups
}

fn verdict(
    sheet: &Sheet,
    judged: &[Judged],
    groups: &[Group],
    weighed: &Weighed,
    tables: &Tables,
) -> Verdict {
    let value = |id: &str| tables.limits.value(id).value;
    let sum = |wanted: &dyn Fn(&Group) -> bool| -> f64 {
        groups.iter().filter(|g| wanted(g)).map(|g| g.probability).sum()
    };
    if value("prove-stop-odds") <= sum(&|g| g.gate) {
        return Verdict::Stop;
    }
    let wrong = sum(&|g| !g.kind.is_of_the_meter());
    if value("prove-remake-odds") <= wrong || MISFIT < weighed.misfit {
        return Verdict::Remake;
    }
    // How far a figure moves helps to find what is wrong; the figures themselves are the sheet.
    let needed = |item: &&Item| !item.hidden && !item.expected.moves;
    let of = sheet.items.iter().filter(needed).count();
    let read = |item: &&Item| judged.iter().any(|j| j.id == item.expected.id);
    let whole = sheet.items.iter().filter(needed).all(|i| read(&i));
    let doubted = judged.iter().any(|j| j.verdict == Found::CannotBe);
    if whole && !doubted {
        return Verdict::Good;
    }
    let read = sheet.items.iter().filter(needed).filter(read).count();
    Verdict::GoodAsFar { read, of }
}

/// Says what was found.
struct Writer<'a> {
    sheet: &'a Sheet,
    faults: &'a [Fault],
    weighed: &'a Weighed,
    sizes: Sizes<'a>,
    model: &'a Model<'a>,
}

impl Writer<'_> {
    fn fault(&self, group: &Group) -> Option<&Fault> {
        match group.best.cause {
            Cause::Fault(index) => self.faults.get(index),
            Cause::Reading(..) => None,
        }
    }

    fn suspects(&self, groups: &[Group]) -> Vec<Suspect> {
        let lines = self.lines(groups);
        let wanted = lines.iter().take_while(|g| TOLD_LEAST <= g.probability).take(TOLD_MOST);
        let shown: Vec<&Group> = wanted.collect();
        let alike = self.alike(&shown);
        shown
            .iter()
            .zip(alike)
            .map(|(group, alike)| {
                let fault = self.fault(group);
                let fitted: Option<Fitted> = group.best.fitted;
                let estimate =
                    fault.zip(fitted).and_then(|(f, fitted)| self.sizes.estimate(f, fitted));
                let said = words::Said {
                    part: &group.part,
                    or_in: group.or_in.as_ref(),
                    kind: group.kind,
                    lies_on: fault.and_then(|f| f.lies_on.as_ref()),
                    estimate: estimate.as_ref(),
                };
                let mut says = self.sizes.says(&said);
                if !alike.is_empty() {
                    says.push_str(&words::same_as(&alike));
                }
                Suspect {
                    part: group.part.clone(),
                    or_in: group.or_in.clone(),
                    kind: group.kind,
                    probability: group.probability,
                    estimate,
                    says,
                    do_: self.sizes.remedy(&said),
                    gate: group.gate,
                    parts: self.sizes.parts(&group.part, group.or_in.as_ref()),
                }
            })
            .collect()
    }

    /// The suspects as lines of the list: the two joints of a lead that nothing read tells apart
    /// are one, for one hand remakes both.
    fn lines(&self, groups: &[Group]) -> Vec<Group> {
        let mut lines: Vec<Group> = Vec::new();
        let lead = |part: &Part| match part {
            Part::Joint { lead, .. } => Some(lead.clone()),
            _ => None,
        };
        let wanted = self.read();
        for group in groups.iter().take_while(|g| TOLD_LEAST <= 2.0 * g.probability) {
            let mine = lead(&group.part);
            let other = lines.iter().position(|l| {
                mine.is_some() && lead(&l.part) == mine && self.same(l, group, &wanted)
            });
            match other {
                Some(place) => {
                    let line = &mut lines[place];
                    line.probability += group.probability;
                    line.before += group.before;
                    line.or_in = Some(group.part.clone());
                }
                None => lines.push(group.clone()),
            }
        }
        lines.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        lines
    }

    /// Which readings were taken.
    fn read(&self) -> Vec<bool> {
        let mut wanted = vec![false; self.sheet.items.len()];
        for seen in &self.weighed.seen {
            wanted[seen.item] = true;
        }
        wanted
    }

    /// What a suspect would show at every reading taken.
    fn shows(&self, group: &Group, wanted: &[bool]) -> Option<Vec<f64>> {
        let fault = self.fault(group)?;
        let size = group.best.fitted.map_or(fault.sizes[0], |f| f.size);
        let all = self.model.shows(&fault.case(self.sheet, size), wanted);
        Some(self.weighed.seen.iter().map(|s| all[s.item]).collect())
    }

    /// Whether two suspects show the same at every reading taken, and are as likely by them.
    fn same(&self, a: &Group, b: &Group, wanted: &[bool]) -> bool {
        let (Some(one), Some(other)) = (self.shows(a, wanted), self.shows(b, wanted)) else {
            return false;
        };
        self.alike_shown((a, &one), (b, &other))
    }

    fn alike_shown(&self, (a, one): (&Group, &[f64]), (b, other): (&Group, &[f64])) -> bool {
        let pairs = one.iter().zip(other).zip(&self.weighed.base.noise);
        let gain = |g: &Group| g.probability / g.before;
        (0.5..2.0).contains(&(gain(b) / gain(a)))
            && pairs.into_iter().all(|((a, b), n)| (a - b).abs() < 1.5 * n)
    }

    /// For each suspect the others that would show the same at every reading taken.
    fn alike(&self, groups: &[&Group]) -> Vec<Vec<String>> {
        let wanted = self.read();
        let shows: Vec<Option<Vec<f64>>> =
            groups.iter().map(|group| self.shows(group, &wanted)).collect();
        let mut found = Vec::new();
        for (index, here) in shows.iter().enumerate() {
            let mut names = Vec::new();
            for (other, there) in shows.iter().enumerate() {
                let (Some(here), Some(there)) = (here, there) else { continue };
                if other != index && self.alike_shown((groups[index], here), (groups[other], there))
                {
                    names.push(words::name(&groups[other].part, groups[other].kind));
                }
            }
            found.push(names);
        }
        found
    }

    fn judged(&self, readings: &Readings, groups: &[Group]) -> Vec<Judged> {
        let doubted = groups.first().filter(|g| 0.5 <= g.probability && g.kind.is_of_a_figure());
        let mut places: Vec<(usize, &TakenReading)> = Vec::new();
        for taken in &readings.taken {
            if let Some(place) = self.sheet.place(&taken.what)
                && !self.sheet.items[place].hidden
            {
                places.retain(|(p, _)| *p != place);
                places.push((place, taken));
            }
        }
        places.sort_by_key(|(place, _)| *place);
        places
            .into_iter()
            .map(|(place, taken)| {
                let item = &self.sheet.items[place];
                let expected = &item.expected;
                let value = figure(item, taken);
                let in_doubt =
                    doubted.is_some_and(|g| g.part == Part::Reading(expected.id.clone()));
                let verdict = if in_doubt { Found::CannotBe } else { found(item, value) };
                Judged {
                    id: expected.id.clone(),
                    quantity: expected.quantity,
                    test: expected.test,
                    expected: expected.expect,
                    low: expected.low,
                    high: expected.high,
                    measured: value,
                    verdict,
                    says: words::judged(expected, value, verdict),
                    line: taken.line,
                }
            })
            .collect()
    }

    fn next(&self, teller: &Teller<'_>, groups: &[Group]) -> Option<Next> {
        let doubted = groups.first().filter(|g| 0.3 <= g.probability && g.kind.is_of_a_figure());
        if let Some(Part::Reading(id)) = doubted.map(|g| &g.part) {
            let item = &self.sheet.items[self.sheet.place(id)?];
            return Some(words::again(&item.expected));
        }
        let chosen = teller.choose()?;
        let expected = &self.sheet.items[chosen.item].expected;
        let sound = ExpectIf {
            suspect: None,
            says: "nothing is wrong".to_owned(),
            value: teller.shows(chosen.item, None),
        };
        let mut expect_if = vec![sound];
        // What shows the figure of a likelier one, or near it, tells nobody anything.
        let near = teller.spread(chosen.item) / 2.0;
        for group in groups.iter().filter(|g| self.fault(g).is_some()).take(FORETOLD) {
            let value = teller.shows(chosen.item, Some(group.best.cause));
            let shown = |value| words::figure(value, expected);
            let parted =
                |e: &ExpectIf| near < (e.value - value).abs() && shown(e.value) != shown(value);
            if expect_if.len() <= EXPECTED && expect_if.iter().all(parted) {
                expect_if.push(ExpectIf {
                    suspect: Some((group.part.clone(), group.kind)),
                    says: words::name(&group.part, group.kind),
                    value,
                });
            }
        }
        Some(Next {
            id: expected.id.clone(),
            quantity: expected.quantity,
            test: expected.test,
            probes: expected.probes.clone(),
            range: expected.range.clone(),
            why: words::why(expected, self.weighed.seen.is_empty()),
            expect_if,
            gain_bits: chosen.gain_bits,
        })
    }
}

/// What a figure is by its band alone.
fn found(item: &Item, value: f64) -> Found {
    let expected = &item.expected;
    let (Some(low), Some(high)) = (expected.low, expected.high) else {
        return Found::Unjudged;
    };
    if !(low <= value && value <= high) {
        return Found::Outside;
    }
    if expected.needs_amps.is_some() { Found::TooSmall } else { Found::Within }
}
