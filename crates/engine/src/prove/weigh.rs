//! The odds of everything that may be wrong, given whatever was read.
//!
//! Each fault is one network; what is not quite known about a sound rig and the meters makes the
//! readings a Gaussian round what that network shows, with the slopes of the network. So each fault
//! has a likelihood, and with how often it is met, its odds. First every fault in every size is
//! held against the readings with the spread of the sound rig; then the likeliest are worked
//! exactly, each with its own slopes, at the size that fits best.

use super::dense::{Chol, dot, products};
use super::faults::{Fault, Size};
use super::model::{Case, Model};
use super::{At, FaultKind, Part};
use crate::number::{exp, ln};
use std::f64::consts::TAU;

/// One reading that was taken.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen {
    /// Its place on the sheet.
    pub(super) item: usize,
    /// What the meter showed.
    pub(super) value: f64,
}

/// How large a fault is, in the logarithm of its size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fitted {
    /// Its size.
    pub(super) size: f64,
    /// Spread of the logarithm of its size.
    pub(super) spread: f64,
}

/// What a suspicion rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Cause {
    /// A fault, by its place.
    Fault(usize),
    /// A reading misread, by its place among those taken.
    Reading(usize, FaultKind),
}

/// One thing that may be wrong with its odds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Odds {
    /// What.
    pub(super) cause: Cause,
    /// Its probability.
    pub(super) probability: f64,
    /// How large, where it has a size.
    pub(super) fitted: Option<Fitted>,
}

/// Everything weighed.
pub(super) struct Weighed {
    /// The readings, by their places on the sheet.
    pub(super) seen: Vec<Seen>,
    /// Odds of everything, in the order of the faults, then of the readings.
    pub(super) odds: Vec<Odds>,
    /// Probability that nothing is wrong.
    pub(super) sound: f64,
    /// How badly even the likeliest explanation fits, in spreads; over four nothing known explains
    /// all.
    pub(super) misfit: f64,
    /// The spread of the sound rig's readings, ready to solve with.
    pub(super) base: Base,
    /// For each fault, the share of each of its sizes.
    pub(super) shares: Vec<Vec<f64>>,
}

/// The sound rig at the readings taken.
pub(super) struct Base {
    /// Root of their covariance.
    pub(super) chol: Chol,
    /// What they would show.
    pub(super) shows: Vec<f64>,
    /// How each moves.
    pub(super) rows: Vec<Vec<f64>>,
    /// What each errs by itself.
    pub(super) noise: Vec<f64>,
}

/// The meter shows a size where the sign does not count.
pub(super) fn facing(signed: bool, shown: f64) -> f64 {
    if !signed && shown < 0.0 { -1.0 } else { 1.0 }
}

/// Covariance of rows of slopes, and of what each reading errs by itself.
fn root(rows: &[Vec<f64>], noise: &[f64]) -> Chol {
    let size = rows.len();
    let mut matrix = products(rows);
    for (i, own) in noise.iter().enumerate() {
        matrix[i * size + i] += own * own;
    }
    Chol::of(matrix, size)
}

/// Works with one set of readings.
struct Scale<'a> {
    model: &'a Model<'a>,
    faults: &'a [Fault],
    seen: &'a [Seen],
    wanted: Vec<bool>,
    base: Base,
}

/// A fault in one size, held against the readings with its own slopes.
struct Exact {
    ln: f64,
    fitted: Option<Fitted>,
    squares: f64,
}

impl Scale<'_> {
    fn signed(&self, place: usize) -> bool {
        self.model.sheet.items[self.seen[place].item].signed
    }

    /// What is left of the readings when a case explains them, as ones of spread one.
    fn left(&self, case: &Case) -> Vec<f64> {
        let shows = self.model.shows(case, &self.wanted);
        let mut left: Vec<f64> = self
            .seen
            .iter()
            .enumerate()
            .map(|(place, seen)| {
                let shown = shows[seen.item];
                seen.value - facing(self.signed(place), shown) * shown
            })
            .collect();
        self.base.chol.whiten(&mut left);
        left
    }

    /// The logarithm of the likelihood of each size, by the spread of the sound rig.
    fn screen(&self, fault: &Fault) -> Vec<f64> {
        let left: Vec<Vec<f64>> =
            fault.sizes.iter().map(|s| self.left(&fault.case(self.model.sheet, *s))).collect();
        let root = self.base.chol.log_root();
        let last = fault.sizes.len() - 1;
        left.iter()
            .enumerate()
            .map(|(k, here)| {
                let squares = dot(here, here);
                if last == 0 {
                    return -0.5 * squares - root;
                }
                let (low, high) = (k.saturating_sub(1), (k + 1).min(last));
                let apart = ln(fault.sizes[high] / fault.sizes[low]);
                // A size stands for all from half a step under it to half a step over it.
                let spread = rung(fault) / apart;
                let slope: Vec<f64> =
                    left[high].iter().zip(&left[low]).map(|(h, l)| (h - l) * spread).collect();
                let (own, along) = (dot(&slope, &slope), dot(&slope, here));
                -0.5 * (squares - along * along / (1.0 + own)) - 0.5 * ln(1.0 + own) - root
            })
            .collect()
    }

    /// A fault at the size that fits best, with its own slopes.
    fn exact(&self, fault: &Fault, start: f64) -> Exact {
        let sized = !matches!(fault.size, Size::Whole);
        let (first, last) = (fault.sizes[0], fault.sizes[fault.sizes.len() - 1]);
        let range = if fault.sizes.len() > 1 { ln(last / first) + 3.5 * rung(fault) } else { 0.2 };
        let pull = TAU / (range * range);
        let mut size = start;
        for pass in 0..3 {
            let case = fault.case(self.model.sheet, size);
            let (mut left, rows, mut along) = self.slopes(&case, sized);
            // On the way to the size that fits best the spread of the sound rig will do.
            let last_pass = pass == 2 || !sized;
            let own = last_pass.then(|| root(&rows, &self.base.noise));
            let chol = own.as_ref().unwrap_or(&self.base.chol);
            chol.whiten(&mut left);
            let squares = dot(&left, &left);
            if !sized {
                return Exact { ln: -0.5 * squares - chol.log_root(), fitted: None, squares };
            }
            chol.whiten(&mut along);
            let bend = dot(&along, &along) + pull;
            let toward = dot(&along, &left);
            // Beyond the ends of its sizes there is nothing to go to.
            let (down, up) = (ln(first / 1.3 / size), ln(last * 1.3 / size));
            let step = (toward / bend).clamp(down.min(0.0), up.max(0.0));
            if last_pass {
                let spread = 1.0 / bend.sqrt();
                let kept = squares - step * (2.0 * toward - step * bend);
                let narrow = ln((TAU.sqrt() * spread / range).min(1.0));
                let fitted = Some(Fitted { size, spread });
                return Exact { ln: -0.5 * kept - chol.log_root() + narrow, fitted, squares: kept };
            }
            size *= exp(step.clamp(-0.6, 0.6));
        }
        Exact { ln: f64::NEG_INFINITY, fitted: None, squares: 0.0 }
    }

    /// What is left, how each reading moves by what is not known, and by the logarithm of the
    /// fault's size.
    fn slopes(&self, case: &Case, sized: bool) -> (Vec<f64>, Vec<Vec<f64>>, Vec<f64>) {
        let mut predicted = self.model.predict(case, &self.wanted);
        let free = self.model.columns(case) - case.free.len();
        let (mut left, mut rows, mut along) = (Vec::new(), Vec::new(), Vec::new());
        for (place, seen) in self.seen.iter().enumerate() {
            let shown = predicted.shows[seen.item];
            let facing = facing(self.signed(place), shown);
            left.push(seen.value - facing * shown);
            let mut row = std::mem::take(&mut predicted.rows[seen.item]);
            for value in &mut row {
                *value *= facing;
            }
            if sized {
                along.push(std::mem::take(&mut row[free]));
            }
            rows.push(row);
        }
        (left, rows, along)
    }
}

/// Half-width of a size on its ladder, one spread of its logarithm.
pub(super) fn rung(fault: &Fault) -> f64 {
    match fault.sizes.as_slice() {
        [first, second, ..] => ln(second / first) / 3.4,
        _ => 0.03,
    }
}

/// Weighs every fault against the readings.
pub(super) fn weigh(model: &Model<'_>, faults: &[Fault], mut seen: Vec<Seen>, odd: f64) -> Weighed {
    seen.sort_by_key(|s| s.item);
    let mut wanted = vec![false; model.sheet.items.len()];
    for one in &seen {
        wanted[one.item] = true;
    }
    let sound = Case::sound(model.sheet);
    let mut predicted = model.predict(&sound, &wanted);
    let (mut shows, mut rows, mut noise) = (Vec::new(), Vec::new(), Vec::new());
    for one in &seen {
        let item = &model.sheet.items[one.item];
        let shown = predicted.shows[one.item];
        let facing = facing(item.signed, shown);
        let mut row = std::mem::take(&mut predicted.rows[one.item]);
        row.iter_mut().for_each(|v| *v *= facing);
        rows.push(row);
        shows.push(facing * shown);
        noise.push(model.noise(item, one.value.abs().min(3.0 * shown.abs())));
    }
    let base = Base { chol: root(&rows, &noise), shows, rows, noise };
    let scale = Scale { model, faults, seen: &seen, wanted, base };
    let mut work = scale.weigh(odd);
    let Scale { base, .. } = scale;
    let total: f64 = work.odds.iter().map(|o| o.probability).sum::<f64>() + work.sound;
    for odds in &mut work.odds {
        odds.probability /= total;
    }
    Weighed {
        odds: work.odds,
        sound: work.sound / total,
        misfit: work.misfit,
        shares: work.shares,
        base,
        seen,
    }
}

/// One figure misread.
struct Misread {
    weight: f64,
    cause: Cause,
    /// Squares of what is left of the other readings.
    squares: f64,
}

/// Odds that do not yet add up to one.
struct Work {
    odds: Vec<Odds>,
    sound: f64,
    misfit: f64,
    shares: Vec<Vec<f64>>,
}

impl Scale<'_> {
    fn weigh(&self, odd: f64) -> Work {
        let mut left: Vec<f64> =
            self.seen.iter().zip(&self.base.shows).map(|(s, shown)| s.value - shown).collect();
        let residual = left.clone();
        self.base.chol.whiten(&mut left);
        let squares = dot(&left, &left);
        let ln_sound = -0.5 * squares - self.base.chol.log_root();
        let mut list: Vec<(f64, Option<Fitted>)> = Vec::with_capacity(self.faults.len());
        let mut shares = Vec::with_capacity(self.faults.len());
        for fault in self.faults {
            if fault.part == Part::Clamp && !self.clamped(fault.kind) {
                shares.push(vec![1.0; fault.sizes.len()]);
                list.push((f64::NEG_INFINITY, None));
                continue;
            }
            let scores = self.screen(fault);
            let most = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let mut share: Vec<f64> = scores.iter().map(|s| exp(s - most)).collect();
            let sum: f64 = share.iter().sum();
            let count = scores.iter().fold(0.0, |n, _| n + 1.0);
            share.iter_mut().for_each(|s| *s /= sum);
            shares.push(share);
            list.push((ln(fault.odds) + most + ln(sum / count), None));
        }
        let readings = self.misread(odd, (ln_sound, squares), &residual);
        // One misread figure that leaves the others sound needs no search among everything.
        let enough = readings.iter().any(|r| strain(r.squares, self.seen.len()) <= STRAIN_OPEN);
        let best = self.refine(&mut list, &shares, (ln_sound, squares), enough);
        let top = list
            .iter()
            .map(|l| l.0)
            .chain(readings.iter().map(|r| r.weight))
            .fold(ln_sound, f64::max);
        let mut odds: Vec<Odds> = list
            .iter()
            .enumerate()
            .map(|(index, (weight, fitted))| Odds {
                cause: Cause::Fault(index),
                probability: exp(weight - top),
                fitted: *fitted,
            })
            .collect();
        odds.extend(readings.iter().map(|r| Odds {
            cause: r.cause,
            probability: exp(r.weight - top),
            fitted: None,
        }));
        let squares = readings.iter().find(|r| top <= r.weight).map_or(best, |r| r.squares);
        let misfit = strain(squares, self.seen.len());
        Work { odds, sound: exp(ln_sound - top), misfit, shares }
    }

    /// Whether a clamp was used where this fault of it would show: one that was not explains
    /// nothing, nor does its zero where it was zeroed on the lead.
    fn clamped(&self, kind: FaultKind) -> bool {
        self.seen.iter().map(|s| &self.model.sheet.items[s.item]).any(|item| {
            matches!(item.expected.at, At::Clamp(_))
                && (kind != FaultKind::NotZeroed || item.rest.is_none())
        })
    }

    /// Works the likeliest faults exactly; gives the squares of the best of all.
    fn refine(
        &self,
        list: &mut [(f64, Option<Fitted>)],
        shares: &[Vec<f64>],
        sound: (f64, f64),
        enough: bool,
    ) -> f64 {
        let mut order: Vec<usize> = (0..list.len()).collect();
        order.sort_by(|a, b| list[*b].0.total_cmp(&list[*a].0).then(a.cmp(b)));
        let top = order.first().map_or(sound.0, |f| list[*f].0.max(sound.0));
        let mut best = sound;
        for (rank, index) in order.iter().enumerate() {
            // The work grows with the square of the readings; a few suspects stand out of many.
            let far = list[*index].0 < top - 7.0;
            // As long as nothing explains the readings, far ones are worth the work too.
            let open = !enough && strain(best.1, self.seen.len()) > STRAIN_OPEN;
            if REFINED_MAX <= rank || (far && REFINED_LEAST <= rank && !open) {
                break;
            }
            let fault = &self.faults[*index];
            let likeliest = shares[*index]
                .iter()
                .enumerate()
                .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)))
                .map_or(0, |s| s.0);
            let exact = self.exact(fault, fault.sizes[likeliest]);
            let weight = ln(fault.odds) + exact.ln;
            list[*index] = (weight, exact.fitted);
            if best.0 < weight {
                best = (weight, exact.squares);
            }
        }
        best.1
    }

    /// One figure misread: the others are sound, and it is what they would have it, times a range,
    /// turned round, or anything.
    fn misread(&self, odd: f64, sound: (f64, f64), residual: &[f64]) -> Vec<Misread> {
        let (ln_sound, squares) = sound;
        let count = self.seen.len();
        let mut solved = residual.to_vec();
        self.base.chol.solve(&mut solved);
        let mut list = Vec::new();
        for (place, seen) in self.seen.iter().enumerate() {
            let mut unit = vec![0.0; count];
            unit[place] = 1.0;
            self.base.chol.whiten(&mut unit);
            let variance = 1.0 / dot(&unit, &unit);
            let off = solved[place] * variance;
            let others = ln_sound + 0.5 * off * off / variance + 0.5 * ln(variance);
            let told = seen.value - off;
            let fits = |value: f64, spread: f64| {
                let apart = value - told;
                others - 0.5 * apart * apart / (variance + spread) - 0.5 * ln(variance + spread)
            };
            let third = ln(odd / 3.0);
            // What the meter errs by stands in the display, whatever range it is on.
            let own = self.base.noise[place];
            let range = [1e3, 1e2, 1e1, 1e-1, 1e-2, 1e-3].map(|factor: f64| {
                let spread = own / factor;
                fits(seen.value / factor, spread * spread) - ln(factor) + third - ln(6.0)
            });
            let most = range.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let others_squares = squares - off * off / variance;
            let mut put = |weight: f64, kind: FaultKind| {
                let cause = Cause::Reading(place, kind);
                list.push(Misread { weight, cause, squares: others_squares });
            };
            put(most, FaultKind::WrongRange);
            if self.signed(place) && told.abs() > 6.0 * variance.sqrt() {
                let turned = fits(-seen.value, 0.0) + third;
                put(turned, FaultKind::Swapped);
            }
            let wide = 0.5 * self.base.shows[place].abs() + 20.0 * self.base.noise[place];
            let any = fits(seen.value, wide * wide) + third;
            put(any, FaultKind::Mistyped);
        }
        list
    }
}

/// Most faults worked exactly.
const REFINED_MAX: usize = 24;
/// Fewest faults worked exactly.
const REFINED_LEAST: usize = 5;

/// From this strain on nothing looked at so far explains the readings.
const STRAIN_OPEN: f64 = 4.0;

/// How far a sum of squares of `count` readings is over what it should be, in spreads of its cube
/// root (Wilson and Hilferty), which is near enough a Gaussian from three readings on.
fn strain(squares: f64, count: usize) -> f64 {
    let count = f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    if count < 1.0 {
        return 0.0;
    }
    let part = 2.0 / (9.0 * count);
    (libm::cbrt(squares / count) - (1.0 - part)) / part.sqrt()
}

/// Which part a cause lies in, and what it is.
pub(super) fn told(
    cause: Cause,
    model: &Model<'_>,
    faults: &[Fault],
    seen: &[Seen],
) -> (Part, FaultKind) {
    match cause {
        Cause::Fault(index) => (faults[index].part.clone(), faults[index].kind),
        Cause::Reading(place, kind) => {
            let item = &model.sheet.items[seen[place].item];
            (Part::Reading(item.expected.id.clone()), kind)
        }
    }
}
