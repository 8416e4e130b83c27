//! Which ampere ratings protect a lead and still carry its load.
//!
//! The ampere rating guards the conductor. What the fuse can break is another figure: see
//! `short_circuit` and the interrupt table.

use crate::tables::limits::Limits;
use crate::units::{Current, Voltage};

/// The ratings between which a fuse must lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuseWindow {
    /// Below this the fuse is nuisance: it carries the load too near its rating.
    pub lowest: Current,
    /// The conductor's ampacity: up to here every stock rating protects it.
    pub highest: Current,
    /// Above this no rounding up is allowed.
    pub ceiling: Current,
}

/// The window for a load on a conductor.
///
/// # Formula
/// lowest = f * I; highest = A; ceiling = c * A
/// # Symbols
/// - `load`: I, continuous current [A]
/// - `ampacity`: A, allowable current of the conductor where it lies [A]
/// - `ceiling_percent`: c, the practice's ceiling [%]
/// - `limits`: f, least rating over continuous load
/// - returns the window [A]
/// # Valid
/// Continuous loads. A starter lead has no window: no table covers it.
/// # Source
/// nec-210-20, 210.20(A), read; cfr-33-183-455, (c)(1), read
/// # Checked by
/// O16 O17
#[must_use]
pub fn fuse_window(
    load: Current,
    ampacity: Current,
    ceiling_percent: f64,
    limits: &Limits,
) -> FuseWindow {
    FuseWindow {
        lowest: load * limits.value("fuse-over-load-min").value,
        highest: ampacity,
        ceiling: ampacity * (ceiling_percent.max(100.0) / 100.0),
    }
}

/// Whether the law's full ceiling holds at this voltage, or only the next stock size up.
///
/// # Formula
/// V < Vh
/// # Symbols
/// - `voltage`: V, highest circuit voltage, charging included [V]
/// - `limits`: Vh, voltage at which the law's ceiling changes [V]
/// - returns whether it holds
/// # Valid
/// Circuits under 33 CFR 183 and practices that borrow it.
/// # Source
/// cfr-33-183-455, (c), read
/// # Checked by
/// The two banks in the tests; no example is printed.
#[must_use]
pub fn full_ceiling_holds(voltage: Voltage, limits: &Limits) -> bool {
    voltage.as_volts() < limits.value("fuse-ampacity-high-voltage").value
}

/// A ten-millionth of an ampere: ratings and loads that meet exactly must not fall out by rounding.
const SAME: f64 = 1e-7;

fn not_above(a: Current, b: Current) -> bool {
    a.as_amps() <= b.as_amps() + SAME
}

impl FuseWindow {
    /// Stock ratings within the window.
    ///
    /// # Formula
    /// lowest <= r <= highest
    /// # Symbols
    /// - `stock`: r, ratings to be had [A]
    /// - returns the ratings, in the order given
    /// # Valid
    /// Any list.
    /// # Source
    /// nec-210-20, 210.20(A), read; cfr-33-183-455, (c), read
    /// # Checked by
    /// O16
    #[must_use]
    pub fn choices(&self, stock: &[Current]) -> Vec<Current> {
        let fits = |r: &&Current| not_above(self.lowest, **r) && not_above(**r, self.highest);
        stock.iter().filter(fits).copied().collect()
    }

    /// The rating to buy.
    ///
    /// # Formula
    /// middle of the choices, the lower of two; without a choice the least r >= highest with
    /// lowest <= r <= ceiling
    /// # Symbols
    /// - `stock`: r, ratings to be had, sorted upwards [A]
    /// - returns the rating, or nothing where the conductor is too thin for the load
    /// # Valid
    /// The middle leaves room for a start above the load and for warm days below the ampacity.
    /// # Source
    /// practice, the middle; cfr-33-183-455, (c), read, the next size up
    /// # Checked by
    /// O16 O17
    #[must_use]
    pub fn preferred(&self, stock: &[Current]) -> Option<Current> {
        let choices = self.choices(stock);
        if let Some(last) = choices.len().checked_sub(1) {
            return choices.get(last / 2).copied();
        }
        let next = stock.iter().copied().find(|r| not_above(self.highest, *r))?;
        (not_above(self.lowest, next) && not_above(next, self.ceiling)).then_some(next)
    }

    /// The largest stock rating that may ever be used.
    ///
    /// # Formula
    /// greatest r <= ceiling
    /// # Symbols
    /// - `stock`: r, ratings to be had, sorted upwards [A]
    /// - returns the rating, or nothing where all are above the ceiling
    /// # Valid
    /// At the ceiling a rating is always rounded down.
    /// # Source
    /// cfr-33-183-455, (c)(1), read
    /// # Checked by
    /// O17
    #[must_use]
    pub fn largest_allowed(&self, stock: &[Current]) -> Option<Current> {
        stock.iter().copied().rfind(|r| not_above(*r, self.ceiling))
    }
}

#[cfg(test)]
mod tests {
    use super::{FuseWindow, full_ceiling_holds, fuse_window};
    use crate::tables::Tables;
    use crate::tables::ampacity::{AmpacityTable, Surroundings};
    use crate::tables::oracles::{Oracle, oracle};
    use crate::units::conductor::{ConductorSize, Gauge};
    use crate::units::{Current, Temperature, Voltage};

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    fn ampacity(tables: &Tables, row: &Oracle) -> Current {
        let size = ConductorSize::Boat(Gauge::from_text(row.word("awg")).expect("a real gauge"));
        let insulation = Temperature::celsius(row.input("insulation_c"));
        let alone = Surroundings::alone_at_30c();
        let found = tables.ampacity(AmpacityTable::Cfr33, size, insulation, &alone);
        found.expect("a row").current.value
    }

    fn stock(tables: &Tables, family: &str) -> Vec<Current> {
        tables.overcurrent.ratings(family).into_iter().map(|r| r.value).collect()
    }

    #[test]
    fn published_window_of_an_80_a_load() {
        let tables = tables();
        let (low, high) = (oracle("O16", "fuse_min"), oracle("O16", "fuse_max"));
        let load = Current::amps(low.input("load_a"));
        let window = fuse_window(load, ampacity(&tables, &low), 150.0, &tables.limits);
        low.check(window.lowest.as_amps());
        let choices = window.choices(&stock(&tables, "terminal"));
        high.check(choices.last().expect("a choice").as_amps());
        let preferred = window.preferred(&stock(&tables, "terminal")).expect("a rating");
        oracle("O16", "fuse_choice").check(preferred.as_amps());
    }

    #[test]
    fn published_ceiling_of_two_aught() {
        let tables = tables();
        let row = oracle("O17", "ampacity");
        let carries = ampacity(&tables, &row);
        row.check(carries.as_amps());
        let window = fuse_window(Current::amps(300.0), carries, 150.0, &tables.limits);
        oracle("O17", "ceiling").check(window.ceiling.as_amps());
        // The text's own advice: round down to a stock fuse, never up to 500.
        let stock = [400.0, 450.0, 500.0].map(Current::amps);
        let largest = window.largest_allowed(&stock).expect("a rating");
        assert!(largest.near(Current::amps(450.0), Current::ZERO), "largest is {largest:?}");
        // 1.25 * 300 = 375 A lies above the ampacity: the next size up is taken, under the ceiling.
        let next = window.preferred(&stock).expect("a rating");
        assert!(next.near(Current::amps(400.0), Current::ZERO), "next is {next:?}");
    }

    #[test]
    fn a_conductor_too_thin_has_no_fuse() {
        // Hand worked: 100 A continuous asks 125 A; 80 A of conductor allows 120 A at most.
        let window =
            fuse_window(Current::amps(100.0), Current::amps(80.0), 150.0, &tables().limits);
        let stock = [60.0, 80.0, 100.0, 110.0, 125.0, 150.0].map(Current::amps);
        assert!(window.choices(&stock).is_empty(), "nothing lies in the window");
        assert_eq!(window.preferred(&stock), None, "no rating is both large and small enough");
    }

    #[test]
    fn a_strict_practice_never_rounds_up() {
        let strict = fuse_window(Current::amps(60.0), Current::amps(90.0), 100.0, &tables().limits);
        let FuseWindow { highest, ceiling, .. } = strict;
        assert!(highest.near(ceiling, Current::ZERO), "the ceiling is the ampacity");
        assert_eq!(strict.preferred(&[Current::amps(100.0)]), None, "100 A is above 90 A");
    }

    #[test]
    fn the_full_ceiling_ends_at_50_v() {
        let limits = &tables().limits;
        assert!(full_ceiling_holds(Voltage::volts(29.2), limits), "24 V bank while charging");
        assert!(!full_ceiling_holds(Voltage::volts(56.8), limits), "48 V LFP bank while charging");
    }
}
