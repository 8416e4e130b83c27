//! Figures that one odd reading cannot move: medians, and slopes that are medians of slopes.

use super::cells::Range;

/// Standard deviations of a normal distribution that hold nine of ten.
const NINE_OF_TEN: f64 = 1.645;
/// Standard deviation over the median distance from the median, for a normal distribution.
const MAD_TO_SD: f64 = 1.4826;
/// Error of a median over that of a mean, for a normal distribution.
const MEDIAN_OVER_MEAN: f64 = 1.2533;

/// Points of a trend: five years of fortnights; more would tell no more and take long.
const MOST_POINTS: usize = 130;

/// How many there are, as a number.
#[must_use]
pub fn count(of: usize) -> f64 {
    f64::from(u32::try_from(of).unwrap_or(u32::MAX))
}

/// Middle of some figures; `None` of none.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    let half = sorted.len() / 2;
    if sorted.is_empty() {
        return None;
    }
    let (below, upper, _) = sorted.select_nth_unstable_by(half, f64::total_cmp);
    let upper = *upper;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = below.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some(f64::midpoint(lower, upper))
}

/// Spread of some figures as a standard deviation, from the middle distance to their middle.
#[must_use]
pub fn spread(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let away: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    median(&away).map(|mad| MAD_TO_SD * mad)
}

/// Middle of some figures with the range in which nine of ten such middles lie; the spread is taken no
/// smaller than `least_sd`.
#[must_use]
pub fn middle(values: &[f64], least_sd: f64) -> Option<Range> {
    let now = median(values)?;
    let sd = spread(values)?.max(least_sd);
    let half = NINE_OF_TEN * MEDIAN_OVER_MEAN * sd / count(values.len()).sqrt();
    Some(Range { now, low: now - half, high: now + half })
}

/// Slope of points (x, y) as the median of the slopes of all pairs, with the range in which nine of ten
/// lie (the rank interval of the same slopes). `None` with fewer than three different x. Of very many
/// points an even choice is taken.
#[must_use]
pub fn slope(points: &[(f64, f64)]) -> Option<Range> {
    let step = points.len().div_ceil(MOST_POINTS).max(1);
    let chosen: Vec<(f64, f64)> = points.iter().rev().step_by(step).copied().collect();
    let points = chosen.as_slice();
    let mut slopes: Vec<f64> = Vec::new();
    for (at, a) in points.iter().enumerate() {
        for b in &points[at + 1..] {
            if 1e-9 < (b.0 - a.0).abs() {
                slopes.push((b.1 - a.1) / (b.0 - a.0));
            }
        }
    }
    if slopes.len() < 3 {
        return None;
    }
    slopes.sort_by(f64::total_cmp);
    let n = count(points.len());
    let half = NINE_OF_TEN * (n * (n - 1.0) * (2.0 * n + 5.0) / 18.0).sqrt() / 2.0;
    let centre = count(slopes.len()) / 2.0;
    let rank = |wanted: f64| (0..slopes.len()).find(|i| wanted <= count(*i));
    let last = slopes.len() - 1;
    let low = rank(centre - half - 1.0).unwrap_or(last);
    let high = rank(centre + half).unwrap_or(last);
    Some(Range { now: median(&slopes)?, low: *slopes.get(low)?, high: *slopes.get(high)? })
}

#[cfg(test)]
mod tests {
    use super::{median, middle, slope, spread};

    #[test]
    fn middles_by_hand() {
        assert_eq!(median(&[]), None, "none of none");
        for (values, wanted) in
            [(vec![3.0, 1.0, 2.0], 2.0), (vec![4.0, 1.0, 2.0, 3.0], 2.5), (vec![5.0], 5.0)]
        {
            let found = median(&values).expect("a middle");
            assert!((found - wanted).abs() < 1e-12, "{values:?}: {found}");
        }
        // Distances from 2: 1, 0, 1, 0, 98; their middle is 1.
        let sd = spread(&[1.0, 2.0, 3.0, 2.0, 100.0]).expect("a spread");
        assert!((sd - 1.4826).abs() < 1e-9, "one wild figure does not count: {sd}");
        let range = middle(&[1.0, 1.0, 1.0, 1.0], 0.5).expect("a range");
        // Hand worked: 1.645 x 1.2533 x 0.5 / 2 = 0.5154.
        assert!((range.high - 1.5154).abs() < 1e-3, "{range:?}");
    }

    #[test]
    fn one_wild_point_does_not_turn_a_line() {
        let mut points: Vec<(f64, f64)> =
            (0..12).map(|i| (f64::from(i), 2.0 - 0.25 * f64::from(i))).collect();
        let straight = slope(&points).expect("a slope");
        assert!((straight.now + 0.25).abs() < 1e-12, "{straight:?}");
        assert!(straight.low <= straight.now && straight.now <= straight.high, "{straight:?}");
        points[11].1 = 40.0;
        let bent = slope(&points).expect("a slope");
        assert!((bent.now + 0.25).abs() < 1e-9, "the last one is wild: {bent:?}");
        assert_eq!(slope(&points[..2]), None, "two points are no trend");
    }
}
