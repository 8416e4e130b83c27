//! The two-well battery: charge at hand, and charge bound deeper that follows slowly.

use crate::number::{exp, ln};

/// What the two wells of a battery are like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wells {
    /// Share of the charge that is at hand when full; c [1].
    pub available_share: f64,
    /// How fast the wells even out; k [1/h].
    pub rate_per_h: f64,
    /// Charge of a full battery emptied without end of slowness; qmax [Ah].
    pub charge_max_ah: f64,
}

/// The charge in the two wells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WellCharge {
    /// At hand; q1 [Ah].
    pub available_ah: f64,
    /// Bound; q2 [Ah].
    pub bound_ah: f64,
}

/// Wells fitted to a table of rates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FittedWells {
    /// The wells.
    pub wells: Wells,
    /// Largest difference from a row, as a share of the row [1].
    pub worst_share: f64,
}

impl Wells {
    /// Both wells full.
    #[must_use]
    pub fn full(self) -> WellCharge {
        WellCharge {
            available_ah: self.available_share * self.charge_max_ah,
            bound_ah: (1.0 - self.available_share) * self.charge_max_ah,
        }
    }

    /// c (k t - 1 + r) / k + (1 - r) / k: what a current of one ampere takes from the well at hand.
    fn taken_per_amp(self, hours: f64) -> f64 {
        let (c, k) = (self.available_share, self.rate_per_h);
        let r = exp(-k * hours);
        ((1.0 - r) + c * (k * hours - 1.0 + r)) / k
    }

    /// The charge at hand after a time without current.
    fn available_at_rest(self, charge: WellCharge, hours: f64) -> f64 {
        let r = exp(-self.rate_per_h * hours);
        let all = charge.available_ah + charge.bound_ah;
        charge.available_ah * r + all * self.available_share * (1.0 - r)
    }
}

/// Charge in both wells after a steady current.
///
/// # Formula
/// q1' = q1 r + (q0 k c - I)(1 - r)/k - I c (k t - 1 + r)/k;
/// q2' = q2 r + q0 (1 - c)(1 - r) - I (1 - c)(k t - 1 + r)/k; r = exp(-k t), q0 = q1 + q2
/// # Symbols
/// - `wells`: c, k, qmax
/// - `charge`: q1, q2 at the start [Ah]
/// - `current_a`: I, positive on discharge [A]
/// - `hours`: t [h]
/// - returns q1', q2' [Ah]
/// # Valid
/// Within the limits of `discharge_max_a` and `charge_max_a`; the formula itself knows no limit.
/// # Source
/// manwell-1993, read in open code, equations also recalled
/// # Checked by
/// O101, O102, O107, O108 and Runge-Kutta of the two rates; these cannot detect a wrong voltage
#[must_use]
pub fn charge_after(wells: Wells, charge: WellCharge, current_a: f64, hours: f64) -> WellCharge {
    let (c, k) = (wells.available_share, wells.rate_per_h);
    let r = exp(-k * hours);
    let all = charge.available_ah + charge.bound_ah;
    let late = k * hours - 1.0 + r;
    WellCharge {
        available_ah: charge.available_ah * r + (all * k * c - current_a) * (1.0 - r) / k
            - current_a * c * late / k,
        bound_ah: charge.bound_ah * r + all * (1.0 - c) * (1.0 - r)
            - current_a * (1.0 - c) * late / k,
    }
}

/// The steady current that empties the well at hand in a time.
///
/// # Formula
/// Id = (k q1 r + q0 k c (1 - r)) / (1 - r + c (k t - 1 + r))
/// # Symbols
/// - `wells`: c, k
/// - `charge`: q1, q2 at the start [Ah]
/// - `hours`: t [h]
/// - returns Id [A]
/// # Valid
/// t over zero.
/// # Source
/// manwell-1993, read in open code
/// # Checked by
/// O103
#[must_use]
pub fn discharge_max_a(wells: Wells, charge: WellCharge, hours: f64) -> f64 {
    wells.available_at_rest(charge, hours) / wells.taken_per_amp(hours)
}

/// The steady current that fills the well at hand in a time; negative, as charge is.
///
/// # Formula
/// Ic = (-k c qmax + k q1 r + q0 k c (1 - r)) / (1 - r + c (k t - 1 + r))
/// # Symbols
/// - `wells`: c, k, qmax
/// - `charge`: q1, q2 at the start [Ah]
/// - `hours`: t [h]
/// - returns Ic, no more than zero [A]
/// # Valid
/// t over zero.
/// # Source
/// manwell-1993, read in open code
/// # Checked by
/// O104
#[must_use]
pub fn charge_max_a(wells: Wells, charge: WellCharge, hours: f64) -> f64 {
    let full = wells.full().available_ah;
    (wells.available_at_rest(charge, hours) - full) / wells.taken_per_amp(hours)
}

/// Capacity when emptied evenly over a time.
///
/// # Formula
/// q(T) = qmax k c T / (1 - exp(-k T) + c (k T - 1 + exp(-k T)))
/// # Symbols
/// - `wells`: c, k, qmax
/// - `hours`: T [h]
/// - returns q [Ah]
/// # Valid
/// From full, 25 C.
/// # Source
/// manwell-1993, recalled; the same as emptying the well at hand, checked
/// # Checked by
/// O105, O106, O109; `the_capacity_is_what_empties_the_well_at_hand`
#[must_use]
pub fn capacity_ah(wells: Wells, hours: f64) -> f64 {
    wells.charge_max_ah * wells.available_share * hours / wells.taken_per_amp(hours)
}

/// Share of the charge that is at hand, from two capacities and a known rate.
///
/// # Formula
/// c = (F (1 - e1) t2 - (1 - e2) t1) / (F (1 - e1) t2 - (1 - e2) t1 - k F t1 t2 + k t1 t2);
/// F = q(t1)/q(t2), e = exp(-k t)
/// # Symbols
/// - `rate_per_h`: k [1/h]
/// - `short`: t1 and q(t1) [h], [Ah]
/// - `long`: t2 and q(t2) [h], [Ah]
/// - returns c [1]
/// # Valid
/// Two different times. Outside 0 to 1 the rate does not fit the two capacities.
/// # Source
/// manwell-1993, recalled; the identity is checked
/// # Checked by
/// `two_ratios_give_the_share_back`; O110 through the table of three points
#[must_use]
pub fn available_share(rate_per_h: f64, short: (f64, f64), long: (f64, f64)) -> f64 {
    let ((t1, q1), (t2, q2)) = (short, long);
    let ratio = q1 / q2;
    let filled = |t: f64| 1.0 - exp(-rate_per_h * t);
    let top = ratio * filled(t1) * t2 - filled(t2) * t1;
    top / (top + rate_per_h * t1 * t2 * (1.0 - ratio))
}

/// The wells that come nearest to a table of capacities, by least squares of the shares.
///
/// # Formula
/// least sum of (q(T)/C - 1)^2 over c, k, qmax; for a given k, 1/q(T) is linear in 1/(c qmax) and
/// 1/qmax, so two unknowns are solved and k is searched
/// # Symbols
/// - `table`: pairs of T and C [h], [Ah]
/// - returns the wells and the largest difference from a row [1]
/// # Valid
/// Three rows or more at different times, amp-hours rising with time; `None` otherwise, or where no
/// wells with a share between 0 and 1 come near.
/// # Source
/// manwell-1993, recalled: least squares; of shares, so that a short rate counts as much as a long one
/// # Checked by
/// O110, O111, O112 and their neighbours: the three tables of rates
#[must_use]
pub fn wells_of_table(table: &[(f64, f64)]) -> Option<FittedWells> {
    if table.len() < 3 || table.iter().any(|(t, c)| *t <= 0.0 || *c <= 0.0) {
        return None;
    }
    let cost = |log_k: f64| {
        wells_at_rate(table, exp(log_k)).map_or(f64::MAX, |wells| square_sum(table, wells))
    };
    let log_k = least(cost, ln(SLOWEST_PER_H), ln(FASTEST_PER_H));
    let wells = wells_at_rate(table, exp(log_k))?;
    let away = |(t, c): &(f64, f64)| (capacity_ah(wells, *t) / c - 1.0).abs();
    Some(FittedWells { wells, worst_share: table.iter().map(away).fold(0.0, f64::max) })
}

/// Rates outside these fit no battery: a day to a fortnight, and a minute.
const SLOWEST_PER_H: f64 = 0.003;
const FASTEST_PER_H: f64 = 60.0;

fn square_sum(table: &[(f64, f64)], wells: Wells) -> f64 {
    let away = |(t, c): &(f64, f64)| capacity_ah(wells, *t) / c - 1.0;
    table.iter().map(|row| away(row) * away(row)).sum()
}

/// The best share and charge for one rate: Gauss and Newton's steps on 1/(c qmax) and 1/qmax, of
/// which 1/q is a weighted mean. Eight steps settle it to the last digits.
fn wells_at_rate(table: &[(f64, f64)], rate_per_h: f64) -> Option<Wells> {
    let mut unknown = (0.0, 0.0);
    for step in 0..8 {
        let (mut aa, mut ab, mut bb, mut ar, mut br) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for &(t, capacity) in table {
            let kt = rate_per_h * t;
            let first = (1.0 - exp(-kt)) / kt;
            let weights = (first, 1.0 - first);
            let model = 1.0 / (unknown.0 * weights.0 + unknown.1 * weights.1);
            // The first step fits 1/q with the weight that makes it a share; the next ones q itself.
            let slope = if step == 0 { capacity } else { model * model / capacity };
            let away = if step == 0 { 1.0 } else { model / capacity - 1.0 };
            let (ja, jb) = (slope * weights.0, slope * weights.1);
            aa += ja * ja;
            ab += ja * jb;
            bb += jb * jb;
            ar += ja * away;
            br += jb * away;
        }
        let size = aa * bb - ab * ab;
        if size.abs() < f64::MIN_POSITIVE || size.is_nan() {
            return None;
        }
        unknown.0 += (ar * bb - br * ab) / size;
        unknown.1 += (br * aa - ar * ab) / size;
    }
    let wells = Wells {
        available_share: unknown.1 / unknown.0,
        rate_per_h,
        charge_max_ah: 1.0 / unknown.1,
    };
    let sound = 0.0 < wells.available_share
        && wells.available_share < 1.0
        && 0.0 < wells.charge_max_ah
        && wells.charge_max_ah.is_finite();
    sound.then_some(wells)
}

/// Where a cost is least: a coarse walk, then the golden section around its best point.
fn least(cost: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    const WALK: u32 = 200;
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let stride = (high - low) / f64::from(WALK);
    let mut best = (f64::MAX, low);
    for i in 0..=WALK {
        let at = low + stride * f64::from(i);
        let here = cost(at);
        if here < best.0 {
            best = (here, at);
        }
    }
    let (mut a, mut b) = (best.1 - stride, best.1 + stride);
    // Eighty halvings by 0.618 leave 1e-17 of the interval.
    for _ in 0..80 {
        let (left, right) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
        if cost(left) < cost(right) {
            b = right;
        } else {
            a = left;
        }
    }
    f64::midpoint(a, b)
}

#[cfg(test)]
mod tests {
    use super::{
        WellCharge, Wells, available_share, capacity_ah, charge_after, charge_max_a,
        discharge_max_a, wells_of_table,
    };
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;

    const EXAMPLE: Wells = Wells { available_share: 0.3, rate_per_h: 0.8, charge_max_ah: 250.0 };

    fn check(id: &str, charge: WellCharge) {
        battery_oracle(id, "available").check(charge.available_ah);
        battery_oracle(id, "bound").check(charge.bound_ah);
    }

    #[test]
    fn the_worked_example_comes_out_to_its_printed_digits() {
        let used = charge_after(EXAMPLE, EXAMPLE.full(), 30.0, 1.0);
        check("O101", used);
        battery_oracle("O103", "amps").check(discharge_max_a(EXAMPLE, used, 1.0));
        battery_oracle("O104", "amps").check(charge_max_a(EXAMPLE, used, 1.0));
        let rested = charge_after(EXAMPLE, used, 0.0, 2.0);
        check("O102", rested);
        check("O108", charge_after(EXAMPLE, rested, -20.0, 1.0));
        for (id, hours) in [("O105", 20.0), ("O106", 5.0), ("O107", 1.0)] {
            battery_oracle(id, "capacity").check(capacity_ah(EXAMPLE, hours));
        }
    }

    #[test]
    fn runge_and_kutta_agree_with_the_closed_form() {
        // dq1/dt = -I + J, dq2/dt = -J, J = k' (q2/(1 - c) - q1/c), k' = k c (1 - c).
        let (c, k) = (EXAMPLE.available_share, EXAMPLE.rate_per_h);
        let flow = |q1: f64, q2: f64| k * c * (1.0 - c) * (q2 / (1.0 - c) - q1 / c);
        let (mut q1, mut q2) = (60.0, 120.0);
        let (amps, steps) = (17.0, 2000_u32);
        let dt = 3.0 / f64::from(steps);
        for _ in 0..steps {
            let rate = |a: f64, b: f64| (flow(a, b) - amps, -flow(a, b));
            let k1 = rate(q1, q2);
            let k2 = rate(q1 + dt / 2.0 * k1.0, q2 + dt / 2.0 * k1.1);
            let k3 = rate(q1 + dt / 2.0 * k2.0, q2 + dt / 2.0 * k2.1);
            let k4 = rate(q1 + dt * k3.0, q2 + dt * k3.1);
            q1 += dt / 6.0 * (k1.0 + 2.0 * k2.0 + 2.0 * k3.0 + k4.0);
            q2 += dt / 6.0 * (k1.1 + 2.0 * k2.1 + 2.0 * k3.1 + k4.1);
        }
        let start = WellCharge { available_ah: 60.0, bound_ah: 120.0 };
        let end = charge_after(EXAMPLE, start, amps, 3.0);
        // The fourth order leaves (k dt)^4 of 1e-12; rounding of 2,000 steps is of the same size.
        assert!((end.available_ah - q1).abs() < 1e-10, "{} and {q1}", end.available_ah);
        assert!((end.bound_ah - q2).abs() < 1e-10, "{} and {q2}", end.bound_ah);
    }

    #[test]
    fn the_three_tables_of_rates_give_the_known_wells() {
        let tables = Tables::load().expect("the tables are well formed");
        for id in ["O110", "O111", "O112"] {
            let name = battery_oracle(id, "share").word("table").to_owned();
            let curve = tables.battery.rate_curves().iter().find(|c| c.name == name);
            let fit = wells_of_table(&curve.expect("a table of that name").rows).expect("a fit");
            battery_oracle(id, "share").check(fit.wells.available_share);
            battery_oracle(id, "rate").check(fit.wells.rate_per_h);
            battery_oracle(id, "charge").check(fit.wells.charge_max_ah);
            if id == "O111" {
                assert!(fit.worst_share < 1e-6, "three points are met: {}", fit.worst_share);
            } else {
                battery_oracle(id, "worst").check(fit.worst_share);
            }
        }
    }

    #[test]
    fn two_ratios_give_the_share_back() {
        let pair = |t: f64| (t, capacity_ah(EXAMPLE, t));
        let share = available_share(0.8, pair(3.0), pair(17.0));
        assert!((share - 0.3).abs() < 1e-12, "the share that made the two capacities: {share}");
    }

    #[test]
    fn the_capacity_is_what_empties_the_well_at_hand() {
        for hours in [0.3, 2.0, 40.0] {
            let amps = discharge_max_a(EXAMPLE, EXAMPLE.full(), hours);
            let capacity = capacity_ah(EXAMPLE, hours);
            assert!((amps * hours - capacity).abs() < 1e-9, "{hours} h: {} Ah", amps * hours);
        }
        let slow = capacity_ah(EXAMPLE, 1e5);
        assert!((slow - 250.0).abs() < 0.01, "slow enough, all of it comes: {slow}");
        assert_eq!(wells_of_table(&[(20.0, 190.0)]), None, "one row makes no wells");
    }
}
