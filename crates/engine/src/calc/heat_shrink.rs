//! Which adhesive sleeve goes over a lug and still grips the jacket, and how long to cut it.

use crate::tables::Tables;
use crate::tables::limits::Limits;
use crate::tables::termination::HeatShrink;
use crate::units::Length;

/// The smallest sleeve that passes over the lug and grips the jacket.
///
/// # Formula
/// De >= (1 + m) * Dl and Dr < Dj
/// # Symbols
/// - `tables`: De, a sleeve's inside before heating; Dr, its inside when free [mm]; m, margin to pass
/// - `lug`: Dl, widest part the sleeve must pass [mm]
/// - `jacket`: Dj, outside diameter of the cable [mm]
/// - returns the sleeve, or nothing where no listed one does both
/// # Valid
/// 3 to 1 adhesive sleeves of the table.
/// # Source
/// heat-shrink-seller, 20 to 30 % over the largest, read; geometry
/// # Checked by
/// The hand-worked case below; the table's own cable ranges.
#[must_use]
pub fn sleeve(tables: &Tables, lug: Length, jacket: Length) -> Option<&HeatShrink> {
    let pass = lug * (1.0 + tables.limits.value("shrink-expanded-margin").value);
    let does_both = |s: &&HeatShrink| pass <= s.expanded && s.recovered < jacket;
    tables.termination.heat_shrink().iter().find(does_both)
}

/// Length to cut a sleeve.
///
/// # Formula
/// L = (B + J) / (1 - s)
/// # Symbols
/// - `barrel`: B, length of the lug's barrel [mm]
/// - `limits`: J, jacket to cover [mm]; s, largest share of its length a sleeve loses in heating
/// - returns L before heating [mm]
/// # Valid
/// One lug.
/// # Source
/// heat-shrink-seller, 5 to 15 %, read; practice, 1 in of jacket, practice
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn sleeve_cut_length(barrel: Length, limits: &Limits) -> Length {
    let cover = Length::mm(limits.value("shrink-jacket-cover").value);
    (barrel + cover) / (1.0 - limits.value("shrink-length-loss-high").value)
}

#[cfg(test)]
mod tests {
    use super::{sleeve, sleeve_cut_length};
    use crate::tables::Tables;
    use crate::units::Length;

    #[test]
    fn a_sleeve_passes_the_lug_and_grips_the_jacket() {
        // Hand worked: a 15.0 mm lug asks 18.0 mm; 3/4 in is 19.05 and shrinks to 6.35, under a 15.5 mm
        // jacket. A 20 mm lug asks 24 mm: 1 in, which shrinks to 9.5 mm.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        for (lug, jacket, inches) in [(15.0, 15.5, 0.75), (20.0, 15.5, 1.0)] {
            let found = sleeve(&tables, Length::mm(lug), Length::mm(jacket)).expect("a sleeve");
            let want = Length::inches(inches);
            assert!(found.expanded.near(want, Length::mm(1e-6)), "{lug} mm lug: {found:?}");
        }
        // A lug three times as wide as its jacket: every sleeve that passes it stays loose.
        assert_eq!(sleeve(&tables, Length::mm(20.0), Length::mm(6.0)), None, "nothing does both");
    }

    #[test]
    fn a_sleeve_is_cut_longer_than_what_it_covers() {
        // Hand worked: (22.9 + 25.4) / 0.85 = 56.82 mm.
        let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
        let cut = sleeve_cut_length(Length::mm(22.9), &tables.limits);
        assert!(cut.near(Length::mm(56.82), Length::mm(0.01)), "{cut:?}");
    }
}
