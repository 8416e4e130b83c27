//! The one reading not yet taken that would settle most, and is safe to take.
//!
//! What counts is the chance that the truth stands among the first three once five readings are
//! taken, on the average over what the meter may show. Before that as many may be left as the
//! readings still to come can part. Between equals it is bits: how much less unsure one would be
//! (mutual information).

use super::dense::dot;
use super::faults::Fault;
use super::model::{Case, Model};
use super::sheet::Item;
use super::weigh::{Cause, Seen, Weighed, facing};
use super::{FaultKind, Part, Test};
use crate::number::ln;

/// Edges between which the outcomes of a reading are told apart, in its own spreads from what a
/// sound rig shows; the same on the other side of nothing.
const EDGES: [f64; 11] = [0.5, 1.5, 2.5, 4.0, 6.0, 9.0, 14.0, 25.0, 50.0, 120.0, 400.0];
const BINS: usize = 2 * EDGES.len() + 1;
/// Suspects under this odds tell nothing worth counting.
const LEAST: f64 = 1e-4;
/// Bits under which a reading is not worth its trouble.
const GAIN_LEAST: f64 = 0.004;
/// An owner is asked for so many readings before the answer should stand among the first few.
const PLANNED: usize = 5;
/// The first few, once all of those are taken. Each reading still to come may halve what is left, so
/// that twice as many may be left before it.
const FIRST: usize = 3;
/// What a bit is worth beside the chance to have the truth among the first few: it parts readings
/// that are equal in that.
const GAIN_WORTH: f64 = 0.15;

/// A fault in one size, with its odds.
struct Component {
    group: usize,
    weight: f64,
    case: Case,
    /// Spread of the logarithm of its size.
    spread: f64,
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
}

impl<'a> Teller<'a> {
    pub(super) fn of(
        model: &'a Model<'a>,
        faults: &'a [Fault],
        weighed: &'a Weighed,
        safe: bool,
    ) -> Self {
        let items = &model.sheet.items;
        let taken = |place: usize| weighed.seen.iter().any(|s| s.item == place);
        let may = |item: &Item| {
            let before = matches!(item.expected.test, Test::Apart | Test::Strings | Test::Gap);
            item.seen.is_some() && !item.hidden && (safe || before)
        };
        let open: Vec<usize> =
            (0..items.len()).filter(|place| may(&items[*place]) && !taken(*place)).collect();
        let mut wanted = vec![false; items.len()];
        for place in open.iter().chain(weighed.seen.iter().map(|s| &s.item)) {
            wanted[*place] = true;
        }
        let mut teller = Self { model, faults, weighed, open, told: Vec::new(), wanted };
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
        let shows = self.model.shows(case, &self.wanted);
        let left = self.left(&shows);
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

    fn components(&self) -> Vec<Component> {
        let mut list = Vec::new();
        let mut groups: Vec<(&Part, FaultKind)> = Vec::new();
        for (index, fault) in self.faults.iter().enumerate() {
            let odds = &self.weighed.odds[index];
            // A clamp out of order is found by looking at it, not by a reading.
            if odds.probability < LEAST || fault.kind.is_of_the_meter() || fault.part == Part::Clamp
            {
                continue;
            }
            let name = (&fault.part, fault.kind);
            let group = groups.iter().position(|g| *g == name).unwrap_or_else(|| {
                groups.push(name);
                groups.len() - 1
            });
            let mut add = |size: f64, share: f64, spread: f64| {
                let case = fault.case(self.model.sheet, size);
                list.push(Component { group, weight: odds.probability * share, case, spread });
            };
            match odds.fitted {
                Some(fitted) if fitted.spread < 0.25 => add(fitted.size, 1.0, fitted.spread),
                _ => {
                    let rung = super::weigh::rung(fault);
                    for (size, share) in fault.sizes.iter().zip(&self.weighed.shares[index]) {
                        if *share > 0.02 {
                            add(*size, *share, rung);
                        }
                    }
                }
            }
        }
        list.sort_by_key(|c| c.group);
        list
    }

    /// How likely each open reading shows what, by group: nothing wrong first, and with it all that
    /// tells nothing here.
    fn outcomes(&self, components: &[Component]) -> Outcomes {
        let groups = components.last().map_or(0, |c| c.group + 1) + 1;
        let mut mass = vec![[0.0; BINS]; self.open.len() * groups];
        let counted: f64 = components.iter().map(|c| c.weight).sum();
        for bins in mass.iter_mut().step_by(groups) {
            put(bins, 0.0, 1.0, 1.0 - counted);
        }
        for component in components {
            let shows = self.foretell(&component.case);
            for (place, (told, shown)) in self.told.iter().zip(&shows).enumerate() {
                let off = (shown - told.sound) / told.spread;
                let wide = (1.0 + (component.spread * off) * (component.spread * off)).sqrt();
                let bins = &mut mass[place * groups + component.group + 1];
                put(bins, off, wide, component.weight);
            }
        }
        Outcomes { mass, groups }
    }

    /// The reading after which the truth stands likeliest among the first few; where several do as
    /// well, the one that tells most.
    pub(super) fn choose(&self) -> Option<Chosen> {
        let outcomes = self.outcomes(&self.components());
        let left = PLANNED.saturating_sub(self.weighed.seen.len() + 1);
        let few = FIRST << left.min(PLANNED);
        let mut best: Option<(f64, Chosen)> = None;
        let mut most = 0.0_f64;
        for (item, mass) in self.open.iter().zip(outcomes.mass.chunks_exact(outcomes.groups)) {
            let gain_bits = gain(mass);
            most = most.max(gain_bits);
            let worth = among_first(mass, few) + GAIN_WORTH * gain_bits;
            if best.as_ref().is_none_or(|(b, _)| *b < worth) {
                best = Some((worth, Chosen { item: *item, gain_bits }));
            }
        }
        best.filter(|_| GAIN_LEAST < most).map(|(_, chosen)| chosen)
    }
}

/// For each open reading and each group, how likely it shows what.
struct Outcomes {
    mass: Vec<[f64; BINS]>,
    groups: usize,
}

/// How much a reading tells of which group it is [bit].
fn gain(mass: &[[f64; BINS]]) -> f64 {
    let mut all = [0.0; BINS];
    let mut inner = 0.0;
    for bins in mass {
        let whole: f64 = bins.iter().sum();
        inner += bins.iter().map(|p| weigh(*p)).sum::<f64>() - weigh(whole);
        for (sum, part) in all.iter_mut().zip(bins) {
            *sum += part;
        }
    }
    (inner - all.iter().map(|p| weigh(*p)).sum::<f64>()) / ln(2.0)
}

/// The chance that the truth is among so many of the likeliest, once the reading is taken.
fn among_first(mass: &[[f64; BINS]], few: usize) -> f64 {
    let mut sum = 0.0;
    let mut here = Vec::with_capacity(mass.len());
    for bin in 0..BINS {
        here.clear();
        here.extend(mass.iter().map(|bins| bins[bin]).filter(|p| 0.0 < *p));
        if few < here.len() {
            here.select_nth_unstable_by(few, |a, b| b.total_cmp(a));
        }
        sum += here.iter().take(few).sum::<f64>();
    }
    sum
}

/// p ln p.
fn weigh(p: f64) -> f64 {
    if p > 0.0 { p * ln(p) } else { 0.0 }
}

/// Spreads a weight over the outcomes round `off`.
fn put(bins: &mut [f64; BINS], off: f64, spread: f64, weight: f64) {
    let middle = EDGES.len();
    let edge = |index: usize| {
        if index < middle { -EDGES[middle - 1 - index] } else { EDGES[index - middle] }
    };
    let mut below = 0.0;
    for (index, bin) in bins.iter_mut().enumerate() {
        let up_to = if index < 2 * middle { under((edge(index) - off) / spread) } else { 1.0 };
        *bin += weight * (up_to - below);
        below = up_to;
        if 1.0 <= up_to {
            break;
        }
    }
}

/// The share of a bell under a height; a polynomial near enough to the Gaussian, and quick.
fn under(height: f64) -> f64 {
    let u = (height / 2.6).clamp(-1.0, 1.0);
    let square = u * u;
    0.5 + u * (15.0 - square * (10.0 - 3.0 * square)) / 16.0
}
