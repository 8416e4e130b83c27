//! Figures that one odd reading cannot move: medians, and slopes that are medians of slopes.

/// Middle of some figures; `None` of none.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    sorted.get(half.checked_sub(1)?).map(|lower| f64::midpoint(*lower, upper))
}
