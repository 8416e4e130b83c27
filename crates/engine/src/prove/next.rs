//! The one reading not yet taken that would settle most, and is safe to take.
//!
//! What counts is the chance that the truth stands among the first three once five readings are
//! taken, on the average over what the meter may show. Before that as many may be left as the
//! readings still to come can part. Between equals it is bits: how much less unsure one would be
//! (mutual information).

use super::ahead::{self, Field, Open};
use super::dense::dot;
use super::faults::Fault;
use super::model::{Case, Model};
use super::sheet::Item;
use super::weigh::{Cause, Seen, Weighed, facing};
use super::{FaultKind, Part, Test};

/// Suspects under this odds tell nothing worth counting.
const LEAST: f64 = 1e-4;
/// A share of a fault's sizes under this is not looked at.
const SHARE_LEAST: f64 = 0.02;
/// A size known to this spread of its logarithm is one size.
const NARROW: f64 = 0.25;
/// Bits under which a reading is not worth its trouble.
const GAIN_LEAST: f64 = 0.004;
/// An owner is asked for so many readings before the answer should stand among the first few.
const PLANNED: usize = 5;
/// A gap that shows so many times what it may is not closed, and nothing behind it is read.
const GAP_TIMES: f64 = 3.0;

/// A cause in one size.
struct Component {
    line: usize,
    suspect: usize,
    odds: f64,
    /// Spread of the logarithm of its size.
    spread: f64,
    gate: bool,
    /// The rig with it; nothing where no reading tells it from a sound one: nothing is wrong, or a
    /// clamp is out of order, which is found by looking at it.
    case: Option<Case>,
}

/// A reading that may be taken next.
pub(super) struct Chosen {
    /// Its place on the sheet.
    pub(super) item: usize,
    /// How much it tells [bit].
    pub(super) gain_bits: f64,
}

/// What a reading would show, after what was read.
struct Told {
    /// What it moves with, of what was read, as ones of spread one.
    along: Vec<f64>,
    /// What is left unsure of it.
    spread: f64,
    /// By a sound rig.
    sound: f64,
}

/// What is needed to foretell readings.
pub(super) struct Teller<'a> {
    model: &'a Model<'a>,
    faults: &'a [Fault],
    weighed: &'a Weighed,
    /// Readings that may be asked for.
    open: Vec<usize>,
    told: Vec<Told>,
    wanted: Vec<bool>,
    /// Where each reading of the sheet stands in the order of the work.
    order: Vec<usize>,
    /// Gates may be no likelier than this before the bank is closed or loaded; under nothing where a
    /// gap shows volts.
    safe_odds: f64,
}

impl<'a> Teller<'a> {
    pub(super) fn of(
        model: &'a Model<'a>,
        faults: &'a [Fault],
        weighed: &'a Weighed,
        safe_odds: f64,
    ) -> Self {
        let items = &model.sheet.items;
        let taken = |place: usize| weighed.seen.iter().any(|s| s.item == place);
        let may = |item: &Item| item.seen.is_some() && !item.hidden;
        let open: Vec<usize> =
            (0..items.len()).filter(|place| may(&items[*place]) && !taken(*place)).collect();
        let mut wanted = vec![false; items.len()];
        for place in open.iter().chain(weighed.seen.iter().map(|s| &s.item)) {
            wanted[*place] = true;
        }
        let order = order_of_work(items);
        let told = Vec::new();
        let mut teller = Self { model, faults, weighed, open, told, wanted, order, safe_odds };
        let sound = Case::sound(model.sheet);
        let predicted = model.predict(&sound, &teller.wanted);
        let left = teller.left(&predicted.shows);
        for place in &teller.open {
            let shown = predicted.shows[*place];
            let facing = facing(items[*place].signed, shown);
            let row = &predicted.rows[*place];
            let mut along: Vec<f64> =
                weighed.base.rows.iter().map(|other| facing * dot(other, row)).collect();
            weighed.base.chol.whiten(&mut along);
            let noise = model.noise(&items[*place], shown);
            let spread = (dot(row, row) + noise * noise - dot(&along, &along)).max(noise * noise);
            let sound = facing * shown + dot(&along, &left);
            teller.told.push(Told { along, spread: spread.sqrt(), sound });
        }
        teller
    }

    /// What is left of the readings taken, as ones of spread one.
    fn left(&self, shows: &[f64]) -> Vec<f64> {
        let off = |seen: &Seen| {
            let shown = shows[seen.item];
            seen.value - facing(self.model.sheet.items[seen.item].signed, shown) * shown
        };
        let mut left: Vec<f64> = self.weighed.seen.iter().map(off).collect();
        self.weighed.base.chol.whiten(&mut left);
        left
    }

    /// What each open reading would show by a case.
    fn foretell(&self, case: &Case) -> Vec<f64> {
        self.after(&self.model.shows(case, &self.wanted))
    }

    /// The same from what every meter shows by it, after what was read.
    fn after(&self, shows: &[f64]) -> Vec<f64> {
        let left = self.left(shows);
        self.open
            .iter()
            .zip(&self.told)
            .map(|(place, told)| {
                let shown = shows[*place];
                let facing = facing(self.model.sheet.items[*place].signed, shown);
                facing * shown + dot(&told.along, &left)
            })
            .collect()
    }

    /// How far one open reading strays by itself.
    pub(super) fn spread(&self, item: usize) -> f64 {
        self.open.iter().position(|p| *p == item).map_or(0.0, |place| self.told[place].spread)
    }

    /// What one open reading would show by a suspect, at the size that fits best, or by a sound rig.
    pub(super) fn shows(&self, item: usize, cause: Option<Cause>) -> f64 {
        let Some(place) = self.open.iter().position(|p| *p == item) else { return 0.0 };
        match cause {
            Some(Cause::Fault(index)) => {
                let case = self.faults[index].case(self.model.sheet, self.size(index));
                self.foretell(&case)[place]
            }
            _ => self.told[place].sound,
        }
    }

    /// The size of a fault that fits best.
    pub(super) fn size(&self, index: usize) -> f64 {
        let fault = &self.faults[index];
        let shares = self.weighed.shares[index].iter().enumerate();
        let likeliest =
            shares.max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0))).map_or(0, |s| s.0);
        let fitted = self.weighed.odds.get(index).and_then(|o| o.fitted);
        fitted.map_or(fault.sizes[likeliest], |f| f.size)
    }

    /// Everything that may be so, in the order of the lines on which it would be told.
    fn components(&self) -> Vec<Component> {
        let mut list = Vec::new();
        let mut suspects: Vec<(&Part, FaultKind)> = Vec::new();
        let mut lines: Vec<(Option<&str>, usize)> = Vec::new();
        let mut counted = 0.0;
        for (index, fault) in self.faults.iter().enumerate() {
            let probability = self.weighed.odds[index].probability;
            if probability < LEAST {
                continue;
            }
            counted += probability;
            let suspect = 1 + place(&mut suspects, (&fault.part, fault.kind));
            // The two joints of a lead are one line as long as nothing tells them apart.
            let line = 1 + match &fault.part {
                Part::Joint { lead, .. } => place(&mut lines, (Some(lead), 0)),
                _ => place(&mut lines, (None, suspect)),
            };
            for (size, share, spread) in self.likely_sizes(index) {
                let of_clamp = fault.part == Part::Clamp;
                list.push(Component {
                    line,
                    suspect,
                    odds: probability * share,
                    spread,
                    gate: fault.gate,
                    case: (!of_clamp).then(|| fault.case(self.model.sheet, size)),
                });
            }
        }
        let odds = 1.0 - counted;
        let (spread, gate, case) = (0.0, false, None);
        list.push(Component { line: 0, suspect: 0, odds, spread, gate, case });
        list.sort_by_key(|c| (c.line, c.suspect));
        list
    }

    /// The sizes of a fault with their shares and the spread of the logarithm of each.
    fn likely_sizes(&self, index: usize) -> Vec<(f64, f64, f64)> {
        let fault = &self.faults[index];
        if let Some(fitted) = self.weighed.odds[index].fitted.filter(|f| f.spread < NARROW) {
            return vec![(fitted.size, 1.0, fitted.spread)];
        }
        let rung = super::weigh::rung(fault);
        let shares = &self.weighed.shares[index];
        // Two rungs of the ladder at once are near enough for a look ahead.
        let pairs = fault.sizes.chunks(2).zip(shares.chunks(2)).filter_map(|(sizes, shares)| {
            let share: f64 = shares.iter().sum();
            let mean = sizes.iter().zip(shares).map(|(s, p)| s * p).sum::<f64>() / share;
            let spread = if sizes.len() == 2 { 2.0 * rung } else { rung };
            (SHARE_LEAST < share).then_some((mean, share, spread))
        });
        pairs.collect()
    }

    /// All that is left, as places in the space of the open readings.
    fn field(&self) -> Field {
        let items = &self.model.sheet.items;
        let early = |place: &usize| {
            matches!(items[*place].expected.test, Test::Apart | Test::Strings | Test::Gap)
        };
        let open = self.open.iter().map(|p| Open { early: early(p), off: Vec::new() }).collect();
        let mut field = Field { causes: Vec::new(), open, safe_odds: self.safe_odds };
        for component in self.components() {
            let Component { line, suspect, odds, spread, gate, .. } = component;
            field.causes.push(ahead::Cause { line, suspect, odds, spread, gate });
            let Some(case) = &component.case else {
                field.open.iter_mut().for_each(|o| o.off.push(Some(0.0)));
                continue;
            };
            let shows = self.model.shows(case, &self.wanted);
            let last = if gate { self.stops(&shows) } else { usize::MAX };
            let after = self.after(&shows);
            let told = self.open.iter().zip(&self.told).zip(&after);
            for (open, ((place, told), shown)) in field.open.iter_mut().zip(told) {
                let off = (shown - told.sound) / told.spread;
                open.off.push((self.order[*place] <= last).then_some(off));
            }
        }
        field
    }

    /// The last reading that can be taken, in the order of the work, where the meter shows this: the
    /// first gap that stands, or the last gap before the bank is closed.
    fn stops(&self, shows: &[f64]) -> usize {
        let items = &self.model.sheet.items;
        let gaps = (0..items.len()).filter(|p| items[*p].expected.test == Test::Gap);
        let stands = |place: &usize| {
            let expected = &items[*place].expected;
            let (Some(low), Some(high)) = (expected.low, expected.high) else { return false };
            let half = (high - low) / 2.0;
            self.wanted[*place] && GAP_TIMES * half < (shows[*place] - low - half).abs()
        };
        let first = gaps.filter(stands).map(|p| self.order[p]).min();
        let before = |p: &usize| items[*p].expected.test <= Test::Gap;
        let last = (0..items.len()).filter(before).map(|p| self.order[p]).max();
        first.or(last).unwrap_or(0)
    }

    /// The reading after which the truth stands likeliest among the first few, once all that are
    /// planned are taken.
    pub(super) fn choose(&self) -> Option<Chosen> {
        let to_come = PLANNED.saturating_sub(self.weighed.seen.len() + 1);
        let worths = self.field().worths(to_come);
        let mut best: Option<(f64, Chosen)> = None;
        let mut most = 0.0_f64;
        for (item, worth) in self.open.iter().zip(worths) {
            let Some(worth) = worth else { continue };
            most = most.max(worth.gain_bits);
            if best.as_ref().is_none_or(|(b, _)| *b < worth.worth) {
                let chosen = Chosen { item: *item, gain_bits: worth.gain_bits };
                best = Some((worth.worth, chosen));
            }
        }
        best.filter(|_| GAIN_LEAST < most).map(|(_, chosen)| chosen)
    }
}

/// The place of a name in a list, at its end where it is new.
fn place<T: PartialEq>(names: &mut Vec<T>, name: T) -> usize {
    names.iter().position(|n| *n == name).unwrap_or_else(|| {
        names.push(name);
        names.len() - 1
    })
}

/// Where each reading stands in the order of the work: test by test, as listed.
fn order_of_work(items: &[Item]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..items.len()).collect();
    places.sort_by_key(|p| (items[*p].expected.test, *p));
    let mut order = vec![0; items.len()];
    for (rank, place) in places.into_iter().enumerate() {
        order[place] = rank;
    }
    order
}
