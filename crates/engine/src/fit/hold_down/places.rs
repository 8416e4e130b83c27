//! How close the screws of a set stand to one another and to the edge of their metal.

use super::set::screw_name;
use crate::cite::Cite;
use crate::model::hold::{Ground, Hold, HoldKind};
use crate::tables::Tables;
use crate::units::Length;

/// The places of a set of screws in metal.
#[derive(Clone, Debug, PartialEq)]
pub struct Places {
    /// The least between two of them and to an edge.
    pub least: Length,
    /// Between two of them: measured, or as even as the outermost allow; `None` when not known.
    pub spacing: Option<Length>,
    /// It was worked out from the outermost and their number, not measured.
    pub derived: bool,
    /// To the nearest edge; `None` when not known.
    pub edge: Option<Length>,
    /// Where the least stands.
    pub cite: Cite,
}

impl Places {
    /// The places of a set; `None` for what is not a screw in metal or has no known size.
    #[must_use]
    pub fn of(set: &Hold, tables: &Tables) -> Option<Self> {
        if set.kind != HoldKind::Screw || set.into == Some(Ground::Wood) {
            return None;
        }
        let fit = tables.enclosure.fastener_fit(screw_name(set.size.as_deref()?))?;
        let times = tables.limits.value("screw-spacing");
        let spacing = set.spacing.or_else(|| evenly(set));
        Some(Self {
            least: fit.diameter * times.value,
            spacing,
            derived: set.spacing.is_none() && spacing.is_some(),
            edge: set.edge,
            cite: times.cite,
        })
    }
}

/// Spacing of a set in two even rows along its longer side, its outermost as far apart as measured.
fn evenly(set: &Hold) -> Option<Length> {
    let (along, across) = set.apart?;
    let number = set.number.filter(|n| 2 <= *n)?;
    let (long, short) = (along.max(across), along.min(across));
    let steps = number.div_ceil(2).saturating_sub(1);
    if steps == 0 {
        return Some(long);
    }
    Some(short.min(long / f64::from(steps)))
}

#[cfg(test)]
mod tests {
    use super::Places;
    use crate::model::hold::{Ground, Hold, HoldKind};
    use crate::tables::Tables;
    use crate::units::Length;

    #[test]
    fn twelve_screws_in_two_rows_of_six() {
        // Hand worked: 0.216 in is 5.4864 mm, three of it 16.4592 mm; 75 mm in five steps is 15 mm.
        let tables = Tables::load().expect("the tables load");
        let mut set = Hold::named("feet", HoldKind::Screw);
        set.size = Some("#12".to_owned());
        set.number = Some(12);
        set.into = Some(Ground::Plate);
        set.apart = Some((Length::mm(75.0), Length::mm(40.0)));
        let places = Places::of(&set, &tables).expect("a screw of the table");
        assert!(places.least.near(Length::mm(16.4592), Length::mm(1e-6)), "{:?}", places.least);
        let spacing = places.spacing.expect("it follows from the outermost");
        assert!(spacing.near(Length::mm(15.0), Length::mm(1e-9)) && places.derived, "{spacing:?}");
        set.spacing = Some(Length::mm(20.0));
        let measured = Places::of(&set, &tables).expect("a screw of the table");
        assert_eq!((measured.spacing, measured.derived), (Some(Length::mm(20.0)), false), "tape");
        set.into = Some(Ground::Wood);
        assert_eq!(Places::of(&set, &tables), None, "the clause speaks of metal");
    }
}
