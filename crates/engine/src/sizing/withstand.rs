//! Whether a lead survives a dead short at its far end until its device has opened.

use crate::calc::adiabatic::copper_for_fault;
use crate::cite::Cite;
use crate::tables::Tables;
use crate::tables::overcurrent::OpeningTime;
use crate::units::{Current, Duration, Temperature};

/// The heating constant of an insulation, and where it stands.
///
/// The material is not known, only the class: the weakest insulation of that class counts, and
/// where the class is not listed, the weakest that starts from a hotter conductor.
pub(super) fn heating_constant(tables: &Tables, insulation: Temperature) -> Option<(f64, Cite)> {
    let class = insulation.as_celsius();
    let rows = tables.overcurrent.adiabatic();
    let same = |c: f64| (c - class).abs() < 0.5;
    let listed = rows.iter().any(|r| same(r.initial.as_celsius()));
    rows.iter()
        .filter(|r| {
            let from = r.initial.as_celsius();
            if listed { same(from) } else { class <= from }
        })
        .min_by(|a, b| a.k.value.total_cmp(&b.k.value))
        .map(|r| (r.k.value, r.k.cite.clone()))
}

/// The latest a device opens at a fault current.
///
/// # Formula
/// t = min over the rows with I1 <= I of t1 (I1 / I)^2
/// # Symbols
/// - `rating`: current of the device [A]
/// - `fault_a`: I, current of the short [A]; t1, latest opening at the multiple I1 of the rating [s]
/// - returns t [s]; `None` where no row reaches so low or the family has no row
/// # Valid
/// Fuses: the heat I2t that opens one never grows with the current.
/// # Source
/// physics, adiabatic melting, status computed; the rows are of `data/overcurrent/time_current.csv`
/// # Checked by
/// `a_larger_fault_opens_sooner`; this cannot detect a slow breaker
pub(super) fn opens_within(
    tables: &Tables,
    family: &str,
    rating: Current,
    fault_a: f64,
) -> Option<(Duration, Cite)> {
    let percent = 100.0 * fault_a / rating.as_amps();
    let mut best: Option<(Duration, Cite)> = None;
    for row in times(tables, family, rating) {
        let Some(latest) = row.latest else {
            continue;
        };
        if percent < row.percent {
            continue;
        }
        let share = row.percent / percent;
        let time = latest * (share * share);
        if best.as_ref().is_none_or(|(t, _)| time.as_hours() < t.as_hours()) {
            best = Some((time, row.cite.clone()));
        }
    }
    best
}

/// The opening times of a family; the blade sizes differ in body and contact, not in element, and
/// share the rows of the regular one.
fn times<'a>(tables: &'a Tables, family: &str, rating: Current) -> Vec<&'a OpeningTime> {
    let family = if family.starts_with("blade") { "blade" } else { family };
    tables.overcurrent.opening_times(family, rating)
}

/// What the short asks of a lead.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Asks {
    pub(super) area_mm2: f64,
    pub(super) time: Duration,
    pub(super) cites: Vec<Cite>,
}

/// The copper a lead needs; `None` where the device takes longer than the formula holds, so that
/// its rating, not this short, decides.
pub(super) fn asks(
    tables: &Tables,
    insulation: Temperature,
    guard: (&str, Current),
    fault_a: f64,
) -> Option<Asks> {
    let (k, k_cite) = heating_constant(tables, insulation)?;
    let longest = tables.limits.value("adiabatic-time-max");
    let has_rows = !times(tables, guard.0, guard.1).is_empty();
    let (time, cite) = match opens_within(tables, guard.0, guard.1, fault_a) {
        Some(found) => found,
        None if has_rows => return None,
        // A family without any row: it is taken to open just within the time the formula holds.
        None => (Duration::seconds(longest.value), longest.cite.clone()),
    };
    if longest.value < time.as_seconds() - 1e-9 {
        return None;
    }
    let area = copper_for_fault(k, Current::amps(fault_a), time);
    Some(Asks { area_mm2: area.as_mm2(), time, cites: vec![k_cite, cite] })
}

#[cfg(test)]
mod tests {
    use super::{asks, heating_constant, opens_within};
    use crate::tables::Tables;
    use crate::units::{Current, Temperature};

    fn tables() -> Tables {
        Tables::load().expect("the data files are sound")
    }

    #[test]
    fn a_larger_fault_opens_sooner() {
        let tables = tables();
        let rating = Current::amps(100.0);
        let mut last = f64::INFINITY;
        for fault in [250.0, 400.0, 700.0, 3000.0] {
            let (time, _) = opens_within(&tables, "mega", rating, fault).expect("rows from 135 %");
            assert!(time.as_seconds() <= last, "{fault} A opens no later than a smaller fault");
            last = time.as_seconds();
        }
        // Hand worked: 600 % within 1 s, so 3000 % within 1 s x (600 / 3000)^2 = 0.04 s.
        assert!((last - 0.04).abs() < 1e-9, "3000 A: {last} s");
    }

    #[test]
    fn the_weakest_insulation_of_a_class_counts() {
        let tables = tables();
        // 105 °C: PVC 87.6 and XLPE 134.8 in the table; 70 °C: PVC 115 alone.
        for (class, want) in [(105.0, 87.6), (70.0, 115.0)] {
            let (k, _) = heating_constant(&tables, Temperature::celsius(class)).expect("listed");
            assert!((k - want).abs() < 1e-9, "{class} °C: {k}");
        }
    }

    #[test]
    fn a_short_that_the_device_is_slow_to_see_asks_nothing() {
        let tables = tables();
        let class = Temperature::celsius(105.0);
        // 140 % of a strip fuse: open within 1800 s, far outside the formula.
        assert_eq!(asks(&tables, class, ("mega", Current::amps(100.0)), 140.0), None, "slow");
        let quick = asks(&tables, class, ("mega", Current::amps(100.0)), 3000.0).expect("quick");
        // Hand worked: 3000 A x sqrt(0.04 s) / 87.6 = 6.85 mm2.
        assert!((quick.area_mm2 - 6.849).abs() < 0.01, "{} mm2", quick.area_mm2);
    }
}
