//! The least copper that keeps every path within its allowed drop.
//!
//! A path goes from the bank to a device and back; leads near the bank are on many paths. The
//! allowed drop is shared out over the leads so that copper, length times area, is least. This
//! file knows neither tables nor the design: it is given what each size costs and loses.

/// One size that a lead may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// Copper: length times area [m mm2].
    pub copper: f64,
    /// Its resistance over the lead's length [ohm].
    pub ohm: f64,
}

/// A path with what its conductors may still lose.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// Leads on it, by number, each with the current it carries for this path [A].
    pub amps: Vec<(usize, f64)>,
    /// Allowed over the conductors; joints and devices are taken off already [V].
    pub allowed_v: f64,
}

/// Everything the search is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// For each lead its sizes, least copper first and resistance falling; never empty.
    pub leads: Vec<Vec<Choice>>,
    /// The paths.
    pub paths: Vec<Path>,
}

/// The size of every lead.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared {
    /// For each lead the number of its size.
    pub sizes: Vec<usize>,
    /// Copper in all [m mm2].
    pub copper: f64,
    /// Nothing with less copper exists; false when the search was cut short.
    pub proven: bool,
}

/// Search steps before the answer is given as not proven: a tree of a dozen leads needs some
/// hundreds, and this bounds the odd case to a few milliseconds.
pub const STEP_CAP: u64 = 20_000;

/// Rounds in which the prices of the paths are improved; the bound hardly moves after these.
const PRICE_ROUNDS: u32 = 60;

/// A drop this close to its limit counts as within it [V].
const TOLERANCE_V: f64 = 1e-9;

impl Problem {
    /// The drop over the conductors of a path [V].
    #[must_use]
    pub fn drop_v(&self, path: &Path, sizes: &[usize]) -> f64 {
        path.amps.iter().map(|(lead, amps)| amps * self.leads[*lead][sizes[*lead]].ohm).sum()
    }

    fn holds(&self, sizes: &[usize]) -> bool {
        self.paths.iter().all(|p| self.keeps(p, sizes))
    }

    fn keeps(&self, path: &Path, sizes: &[usize]) -> bool {
        self.drop_v(path, sizes) <= path.allowed_v + TOLERANCE_V
    }

    fn copper(&self, sizes: &[usize]) -> f64 {
        self.leads.iter().zip(sizes).map(|(choices, size)| choices[*size].copper).sum()
    }

    fn thickest(&self) -> Vec<usize> {
        self.leads.iter().map(|choices| choices.len() - 1).collect()
    }

    /// Paths that not even the thickest sizes can serve.
    #[must_use]
    pub fn hopeless(&self) -> Vec<usize> {
        let thickest = self.thickest();
        let fails = |p: &&usize| {
            let path = &self.paths[**p];
            self.drop_v(path, &thickest) > path.allowed_v + TOLERANCE_V
        };
        let all: Vec<usize> = (0..self.paths.len()).collect();
        all.iter().filter(fails).copied().collect()
    }

    /// The least copper that keeps every path; `None` when some path is hopeless.
    ///
    /// Leads that carry the same currents for the same paths lie in one run: of their combinations
    /// only those count that no other beats in copper and resistance both. The search then goes
    /// over runs, of which a rig has few.
    #[must_use]
    pub fn share_out(&self, step_cap: u64) -> Option<Shared> {
        if !self.hopeless().is_empty() {
            return None;
        }
        let first = self.pruned(self.greedy());
        let known = self.copper(&first);
        let runs = self.runs(known);
        let fronts: Vec<Vec<Choice>> =
            runs.iter().map(|r| r.front.iter().map(|p| p.choice).collect()).collect();
        let paths = self
            .paths
            .iter()
            .enumerate()
            .map(|(p, path)| Path {
                amps: runs.iter().map(|r| r.amps[p]).enumerate().filter(|a| a.1 > 0.0).collect(),
                allowed_v: path.allowed_v,
            })
            .collect();
        let reduced = Self { leads: fronts, paths };
        let prices = reduced.prices(known);
        let mut search = Search::new(&reduced, &prices, known);
        search.run(step_cap);
        let mut sizes = first;
        if let Some(best) = &search.best {
            for (run, at) in runs.iter().zip(best) {
                for (lead, size) in run.leads.iter().zip(&run.front[*at].sizes) {
                    sizes[*lead] = *size;
                }
            }
        }
        Some(Shared { copper: self.copper(&sizes), sizes, proven: search.proven })
    }

    /// What a lead carries for each path.
    fn amps_of(&self, lead: usize) -> Vec<f64> {
        let of = |p: &Path| p.amps.iter().filter(|a| a.0 == lead).map(|a| a.1).sum();
        self.paths.iter().map(of).collect()
    }

    /// The leads by runs, each with its combinations worth having when an answer of `known` copper
    /// is at hand.
    fn runs(&self, known: f64) -> Vec<Run> {
        let least: f64 = self.leads.iter().map(|choices| choices[0].copper).sum();
        let mut runs: Vec<Run> = Vec::new();
        for lead in 0..self.leads.len() {
            let amps = self.amps_of(lead);
            let same = |r: &&mut Run| {
                r.amps.iter().zip(&amps).all(|(a, b)| (a - b).abs() <= 1e-9 * a.abs().max(1.0))
            };
            match runs.iter_mut().find(same) {
                Some(run) => run.leads.push(lead),
                None => runs.push(Run { leads: vec![lead], amps, front: Vec::new() }),
            }
        }
        for run in &mut runs {
            run.front = self.front(run, known - least);
        }
        runs
    }

    /// The combinations of a run that nothing beats, with at most `spare` copper over its least.
    fn front(&self, run: &Run, spare: f64) -> Vec<Point> {
        let mut front = vec![Point { choice: Choice { copper: 0.0, ohm: 0.0 }, sizes: Vec::new() }];
        let mut least = 0.0;
        for lead in &run.leads {
            let choices = &self.leads[*lead];
            least += choices[0].copper;
            let mut all: Vec<(Choice, usize, usize)> = Vec::new();
            for (at, point) in front.iter().enumerate() {
                for (size, choice) in choices.iter().enumerate() {
                    let copper = point.choice.copper + choice.copper;
                    if copper <= least + spare + 1e-9 {
                        let ohm = point.choice.ohm + choice.ohm;
                        all.push((Choice { copper, ohm }, at, size));
                    }
                }
            }
            all.sort_by(|a, b| a.0.copper.total_cmp(&b.0.copper).then(a.0.ohm.total_cmp(&b.0.ohm)));
            let mut kept: Vec<Point> = Vec::new();
            for (choice, at, size) in all {
                if kept.last().is_none_or(|k| choice.ohm < k.choice.ohm - 1e-15) {
                    let mut sizes = front[at].sizes.clone();
                    sizes.push(size);
                    kept.push(Point { choice, sizes });
                }
            }
            front = kept;
        }
        front
    }

    /// Thickens, again and again, the lead that saves the most excess volts per copper.
    fn greedy(&self) -> Vec<usize> {
        let mut sizes = vec![0; self.leads.len()];
        let carried: Vec<Vec<f64>> = (0..self.leads.len()).map(|lead| self.amps_of(lead)).collect();
        // Each pass makes one lead one size thicker, so the passes are bounded by all the sizes.
        let passes: usize = self.leads.iter().map(Vec::len).sum();
        for _ in 0..passes {
            if self.holds(&sizes) {
                break;
            }
            // What each path is over its limit is the same whichever lead is looked at.
            let excess: Vec<f64> =
                self.paths.iter().map(|p| self.drop_v(p, &sizes) - p.allowed_v).collect();
            let mut best: Option<(f64, usize)> = None;
            for (lead, choices) in self.leads.iter().enumerate() {
                if sizes[lead] + 1 == choices.len() {
                    continue;
                }
                let (now, next) = (choices[sizes[lead]], choices[sizes[lead] + 1]);
                let saved = excess_saved(&carried[lead], now.ohm - next.ohm, &excess);
                let worth = saved / (next.copper - now.copper).max(1e-12);
                if saved > 0.0 && best.is_none_or(|(most, _)| most < worth) {
                    best = Some((worth, lead));
                }
            }
            let Some((_, lead)) = best else {
                break;
            };
            sizes[lead] += 1;
        }
        if self.holds(&sizes) { sizes } else { self.thickest() }
    }

    /// Makes leads thinner where that keeps every path, the dearest saving first.
    fn pruned(&self, mut sizes: Vec<usize>) -> Vec<usize> {
        // Every path holds at the start, so only those with the thinner lead on them are asked.
        let on = |lead: usize| {
            self.paths.iter().filter(move |p| p.amps.iter().any(|a| a.0 == lead)).collect()
        };
        let paths_of: Vec<Vec<&Path>> = (0..self.leads.len()).map(on).collect();
        let passes: usize = self.leads.iter().map(Vec::len).sum();
        for _ in 0..passes {
            let mut best: Option<(f64, usize)> = None;
            for (lead, choices) in self.leads.iter().enumerate() {
                if sizes[lead] == 0 {
                    continue;
                }
                let saved = choices[sizes[lead]].copper - choices[sizes[lead] - 1].copper;
                sizes[lead] -= 1;
                let mut paths = paths_of[lead].iter();
                let holds = paths.all(|p| self.keeps(p, &sizes));
                if holds && best.is_none_or(|(most, _)| most < saved) {
                    best = Some((saved, lead));
                }
                sizes[lead] += 1;
            }
            let Some((_, lead)) = best else {
                break;
            };
            sizes[lead] -= 1;
        }
        sizes
    }

    /// A price per volt for each path, such that copper plus priced drop is a good lower bound.
    fn prices(&self, known_copper: f64) -> Vec<f64> {
        let mut prices = vec![0.0; self.paths.len()];
        let mut best = (f64::MIN, prices.clone());
        for round in 0..PRICE_ROUNDS {
            let (bound, sizes) = self.priced(&prices);
            if best.0 < bound {
                best = (bound, prices.clone());
            }
            let over: Vec<f64> =
                self.paths.iter().map(|p| self.drop_v(p, &sizes) - p.allowed_v).collect();
            let norm: f64 = over.iter().map(|o| o * o).sum();
            if norm <= 0.0 {
                break;
            }
            // The usual step towards a known answer, shortened from round to round.
            let step = (known_copper - bound).max(0.0) / norm / f64::from(1 + round / 10);
            for (price, over) in prices.iter_mut().zip(&over) {
                *price = (*price + step * over).max(0.0);
            }
        }
        best.1
    }

    /// The least of copper plus priced drop, lead by lead, less the priced limits: no answer that
    /// keeps every path has less copper than that.
    fn priced(&self, prices: &[f64]) -> (f64, Vec<usize>) {
        let per_ohm = self.price_per_ohm(prices);
        let mut bound: f64 =
            self.paths.iter().zip(prices).map(|(p, price)| -price * p.allowed_v).sum();
        let mut sizes = Vec::with_capacity(self.leads.len());
        for (choices, price) in self.leads.iter().zip(&per_ohm) {
            let mut least = (f64::MAX, 0);
            for (size, choice) in choices.iter().enumerate() {
                let worth = choice.copper + price * choice.ohm;
                if worth < least.0 {
                    least = (worth, size);
                }
            }
            bound += least.0;
            sizes.push(least.1);
        }
        (bound, sizes)
    }

    /// What an ohm in each lead costs at the paths' prices.
    fn price_per_ohm(&self, prices: &[f64]) -> Vec<f64> {
        let mut per_ohm = vec![0.0; self.leads.len()];
        for (path, price) in self.paths.iter().zip(prices) {
            for (lead, amps) in &path.amps {
                per_ohm[*lead] += price * amps;
            }
        }
        per_ohm
    }
}

/// Volts over the limits that go when a lead loses some resistance, over all paths: what it carries
/// for each, and what each is over its limit.
fn excess_saved(carried: &[f64], ohm: f64, excess: &[f64]) -> f64 {
    let mut saved = 0.0;
    for (amps, excess) in carried.iter().zip(excess) {
        saved += (amps * ohm).min(*excess).max(0.0);
    }
    saved
}

/// Leads that carry the same currents for the same paths.
struct Run {
    leads: Vec<usize>,
    /// What each of its leads carries for each path.
    amps: Vec<f64>,
    /// Combinations of sizes that nothing beats, least copper first.
    front: Vec<Point>,
}

/// A combination of sizes of a run's leads.
struct Point {
    choice: Choice,
    sizes: Vec<usize>,
}

/// Walks the tree of choices, lead by lead, and leaves a branch as soon as it cannot hold or
/// cannot be better than what is known.
struct Search<'a> {
    problem: &'a Problem,
    /// Leads in the order in which they are decided.
    order: Vec<usize>,
    /// For each depth, what that lead carries for each path.
    amps: Vec<Vec<f64>>,
    per_ohm: Vec<f64>,
    priced_limits: f64,
    /// For each depth, the least copper of the leads not yet decided.
    rest_copper: Vec<f64>,
    /// For each depth, the least priced worth of the leads not yet decided.
    rest_worth: Vec<f64>,
    /// For each depth and path, the least drop of the leads not yet decided.
    rest_drop: Vec<Vec<f64>>,
    best: Option<Vec<usize>>,
    best_copper: f64,
    proven: bool,
}

/// What is decided down to one depth.
#[derive(Clone, Debug)]
struct Level {
    copper: f64,
    worth: f64,
    drops: Vec<f64>,
    /// The next choice to try.
    next: usize,
    /// The choice that the levels below rest on.
    taken: usize,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, prices: &[f64], known: f64) -> Self {
        let per_ohm = problem.price_per_ohm(prices);
        let shared = |lead: usize| problem.amps_of(lead).iter().filter(|a| **a > 0.0).count();
        // Leads on many paths come first: when they stand, each branch has one answer.
        let mut order: Vec<usize> = (0..problem.leads.len()).collect();
        order.sort_by(|a, b| shared(*b).cmp(&shared(*a)).then(a.cmp(b)));
        let depth = order.len();
        let amps: Vec<Vec<f64>> = order.iter().map(|lead| problem.amps_of(*lead)).collect();
        let mut rest_copper = vec![0.0; depth + 1];
        let mut rest_worth = vec![0.0; depth + 1];
        let mut rest_drop = vec![vec![0.0; problem.paths.len()]; depth + 1];
        for at in (0..depth).rev() {
            let lead = order[at];
            let choices = &problem.leads[lead];
            let worth = choices.iter().map(|c| c.copper + per_ohm[lead] * c.ohm);
            rest_worth[at] = rest_worth[at + 1] + worth.fold(f64::MAX, f64::min);
            rest_copper[at] = rest_copper[at + 1] + choices[0].copper;
            let least_ohm = choices[choices.len() - 1].ohm;
            for (path, amps) in amps[at].iter().enumerate() {
                rest_drop[at][path] = rest_drop[at + 1][path] + amps * least_ohm;
            }
        }
        let priced_limits = problem.paths.iter().zip(prices).map(|(p, x)| x * p.allowed_v).sum();
        Self {
            problem,
            order,
            amps,
            per_ohm,
            priced_limits,
            rest_copper,
            rest_worth,
            rest_drop,
            best: None,
            best_copper: known,
            proven: true,
        }
    }

    fn run(&mut self, step_cap: u64) {
        let depth = self.order.len();
        if depth == 0 {
            return;
        }
        let start = Level {
            copper: 0.0,
            worth: -self.priced_limits,
            drops: vec![0.0; self.problem.paths.len()],
            next: 0,
            taken: 0,
        };
        let mut levels = vec![start];
        let mut steps = 0_u64;
        while !levels.is_empty() {
            steps += 1;
            if step_cap < steps {
                self.proven = false;
                return;
            }
            let at = levels.len() - 1;
            let choice = levels[at].next;
            levels[at].next = choice.saturating_add(1);
            let Some(decided) = self.decide(&levels[at], at, choice) else {
                // Choices hold more copper from one to the next: none of the rest can be better.
                levels.pop();
                continue;
            };
            let Some(below) = decided else {
                continue;
            };
            levels[at].taken = choice;
            if self.is_settled(at) {
                // Nothing later depends on more than this: the first choice that holds is best.
                levels[at].next = usize::MAX;
            }
            if at + 1 == depth {
                self.best_copper = below.copper;
                self.best = Some(self.chosen(&levels, choice));
            } else {
                levels.push(below);
            }
        }
    }

    /// Whether all paths of the lead at a depth have no lead after it.
    fn is_settled(&self, at: usize) -> bool {
        let later = &self.rest_drop[at + 1];
        self.amps[at].iter().zip(later).all(|(amps, later)| *amps <= 0.0 || *later <= 0.0)
    }

    /// The level below when this choice is taken; `Some(None)` when it cannot hold or pay, `None`
    /// when no later choice can either.
    #[expect(clippy::option_option, reason = "two ways of no, told apart by the caller")]
    fn decide(&self, level: &Level, at: usize, choice: usize) -> Option<Option<Level>> {
        let lead = self.order[at];
        let taken = self.problem.leads[lead].get(choice)?;
        let copper = level.copper + taken.copper;
        // An answer with the same copper is not better, so equal bounds are left.
        let must_beat = self.best_copper - 1e-9;
        if must_beat <= copper + self.rest_copper[at + 1] {
            return None;
        }
        let worth = level.worth + taken.copper + self.per_ohm[lead] * taken.ohm;
        if must_beat <= worth + self.rest_worth[at + 1] {
            return Some(None);
        }
        let amps = &self.amps[at];
        let drop = |path: usize| level.drops[path] + amps[path] * taken.ohm;
        for (path, limit) in self.problem.paths.iter().enumerate() {
            let least = drop(path) + self.rest_drop[at + 1][path];
            if limit.allowed_v + TOLERANCE_V < least {
                return Some(None);
            }
        }
        let drops = (0..amps.len()).map(drop).collect();
        Some(Some(Level { copper, worth, drops, next: 0, taken: 0 }))
    }

    /// The choices taken on every level, by lead.
    fn chosen(&self, levels: &[Level], last: usize) -> Vec<usize> {
        let mut sizes = vec![0; self.order.len()];
        for (at, lead) in self.order.iter().enumerate() {
            let above = levels.get(at + 1);
            sizes[*lead] = if above.is_some() { levels[at].taken } else { last };
        }
        sizes
    }
}

#[cfg(test)]
mod tests;
