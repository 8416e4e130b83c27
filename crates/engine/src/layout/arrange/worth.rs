//! What one arrangement is worth.

use super::grid::{Distances, count_f64, stand};
use super::sharing::{Ladder, STRINGS_MAX};
use super::{Arrangement, Joining, Problem, Worth};

/// The worth of an arrangement.
#[must_use]
pub fn worth(problem: &Problem, arrangement: &Arrangement) -> Worth {
    let distances = Distances::of(problem, arrangement.pattern);
    weigh(problem, &distances, &arrangement.cells, &arrangement.halves).with(
        problem,
        &distances,
        arrangement.takeoff,
    )
}

/// The lengths of an arrangement before a take-off is chosen.
#[derive(Clone, Copy)]
pub(super) struct Weighed {
    /// All series links [mm].
    series_mm: f64,
    /// The longest link, or lead to a bar, of either pole; its partners are made as long.
    longest_mm: [f64; 2],
    /// Series links of each string [mm].
    strings_mm: [f64; STRINGS_MAX],
    /// The stand of each string's plus and minus end.
    ends: [[usize; 2]; STRINGS_MAX],
}

/// Measures an arrangement.
pub(super) fn weigh(
    problem: &Problem,
    distances: &Distances,
    cells: &[usize],
    halves: &[bool],
) -> Weighed {
    let mut weighed = Weighed {
        series_mm: 0.0,
        longest_mm: [0.0; 2],
        strings_mm: [0.0; STRINGS_MAX],
        ends: [[0; 2]; STRINGS_MAX],
    };
    let (series, parallel) = (problem.series, problem.parallel);
    for string in 0..parallel {
        let first = string * series;
        for place in 1..series {
            let (a, b) = (first + place - 1, first + place);
            let from = stand(cells[a], halves[a], true);
            weighed.strings_mm[string] +=
                distances.between(from, stand(cells[b], halves[b], false));
        }
        let last = first + series - 1;
        weighed.series_mm += weighed.strings_mm[string];
        weighed.ends[string] =
            [stand(cells[first], halves[first], false), stand(cells[last], halves[last], true)];
        for pole in 0..2 {
            let end = weighed.ends[string][pole];
            let reach = match problem.joining {
                Joining::Bars { .. } => distances.outward(end, pole == 1),
                Joining::Links if string == 0 => 0.0,
                Joining::Links => distances.between(weighed.ends[string - 1][pole], end),
            };
            weighed.longest_mm[pole] = weighed.longest_mm[pole].max(reach);
        }
    }
    weighed
}

impl Weighed {
    /// Cable of all links with their slack, without main leads [mm]. A start that is not known to
    /// be final counts only what is there, so it is also the least the whole can come to.
    pub(super) fn links_mm(&self, problem: &Problem) -> f64 {
        let partners = match problem.joining {
            Joining::Links => problem.parallel - 1,
            Joining::Bars { .. } => problem.parallel,
        };
        let links = problem.parallel * (problem.series - 1) + 2 * partners;
        self.series_mm
            + count_f64(partners) * (self.longest_mm[0] + self.longest_mm[1])
            + count_f64(links) * problem.cable.slack_mm
    }

    /// The worth with a take-off.
    pub(super) fn with(
        &self,
        problem: &Problem,
        distances: &Distances,
        takeoff: [usize; 2],
    ) -> Worth {
        let mut mm = self.links_mm(problem);
        if problem.takes_off_anywhere() {
            for (pole, string) in takeoff.into_iter().enumerate() {
                mm += distances.outward(self.ends[string][pole], pole == 1);
            }
        }
        let copper_m = mm / 1000.0;
        let spread_percent = self.spread_percent(problem, takeoff);
        Worth {
            copper_m,
            spread_percent,
            cost: copper_m + problem.metre_per_percent * spread_percent,
        }
    }

    fn spread_percent(&self, problem: &Problem, takeoff: [usize; 2]) -> f64 {
        let (series, strings) = (problem.series, problem.parallel);
        let cable = &problem.cable;
        let link = |mm: f64| (mm + cable.slack_mm) * cable.ohm_per_mm + 2.0 * cable.joint_ohm;
        let (mut emf_v, mut ohm) = ([0.0; STRINGS_MAX], [0.0; STRINGS_MAX]);
        let inner = count_f64(series - 1);
        let bars = matches!(problem.joining, Joining::Bars { .. });
        let to_bars = if bars { link(self.longest_mm[0]) + link(self.longest_mm[1]) } else { 0.0 };
        for string in 0..strings {
            for block in &problem.blocks[string * series..(string + 1) * series] {
                emf_v[string] += block.emf_v;
                ohm[string] += block.ohm;
            }
            let links = (self.strings_mm[string] + inner * cable.slack_mm) * cable.ohm_per_mm;
            ohm[string] += links + inner * 2.0 * cable.joint_ohm + to_bars;
        }
        let between = |pole: usize| if bars { 0.0 } else { link(self.longest_mm[pole]) };
        Ladder {
            emf_v: &emf_v[..strings],
            ohm: &ohm[..strings],
            plus_ohm: between(0),
            minus_ohm: between(1),
            takeoff,
            amps: problem.amps,
        }
        .spread_percent()
    }

    /// The best take-off and its worth, looked for only when the links alone leave room for it.
    pub(super) fn best(
        &self,
        problem: &Problem,
        distances: &Distances,
        to_beat: f64,
    ) -> Option<([usize; 2], Worth)> {
        if to_beat <= self.links_mm(problem) / 1000.0 {
            return None;
        }
        let strings = if problem.takes_off_anywhere() { problem.parallel } else { 1 };
        let mut best: Option<([usize; 2], Worth)> = None;
        for plus in 0..strings {
            for minus in 0..strings {
                let worth = self.with(problem, distances, [plus, minus]);
                let least = best.as_ref().map_or(to_beat, |(_, w)| w.cost);
                if worth.cost < least {
                    best = Some(([plus, minus], worth));
                }
            }
        }
        best
    }
}
