//! Whether a lead in hand can be used where the drawing wants it.

use super::answer::{LugChoice, Reuse};
use crate::circuit::wiring::WiredLead;
use crate::layout::lengths::LeadLength;
use crate::model::lead::Terminal;
use crate::tables::Tables;
use crate::tables::termination::StudFit;
use crate::units::Length;
use crate::units::conductor::ConductorSize;

/// A hole and a stud this near in size are of the same nominal size: a calliper reads to 0.2 mm.
const CALLIPER: f64 = 0.2;

/// A lead in hand, and what is wanted of it.
pub(super) struct InHand<'a> {
    pub(super) lead: &'a WiredLead,
    pub(super) length: Option<&'a LeadLength>,
    pub(super) lugs: [&'a LugChoice; 2],
    /// Set when the size it has does not hold.
    pub(super) needed_size: Option<ConductorSize>,
}

/// Too thin comes first, then the length, then the lugs: a lead that is too thin is of no use
/// however long it is, and a lug can be replaced on a lead that is long enough.
pub(super) fn reuse(tables: &Tables, in_hand: &InHand<'_>) -> Reuse {
    if !in_hand.lead.stated.part.have {
        return Reuse::New;
    }
    if let Some(needed) = in_hand.needed_size {
        return Reuse::TooThin { needed };
    }
    let Some(own) = in_hand.lead.stated.length else {
        return Reuse::Unmeasured;
    };
    if let Some(missing) = in_hand.length.and_then(|l| l.short_by) {
        return Reuse::TooShort { missing };
    }
    let ends = [
        (&in_hand.lead.from, in_hand.lead.stated.from_end.lug_hole, in_hand.lugs[0]),
        (&in_hand.lead.to, in_hand.lead.stated.to_end.lug_hole, in_hand.lugs[1]),
    ];
    for (at, hole, lug) in ends {
        if let Some(wrong) = wrong_lug(tables, at, hole, lug.stud) {
            return wrong;
        }
    }
    let needed = in_hand.length.map_or(own, |l| l.needed);
    let needed = if 0.0 < needed.as_mm() { needed } else { own };
    Reuse::Fits { over: (own - needed).max(Length::ZERO) }
}

fn wrong_lug(
    tables: &Tables,
    at: &Terminal,
    hole: Option<Length>,
    stud: Option<Length>,
) -> Option<Reuse> {
    let (hole, stud) = (hole?, stud?);
    if lug_fits(tables, hole, stud) {
        return None;
    }
    Some(Reuse::WrongLug { hole, stud, at: at.clone() })
}

/// Whether a lug's hole goes on a stud: the same nominal size, the clearance hole of that stud, or
/// a pair that the trade interchanges.
#[must_use]
pub fn lug_fits(tables: &Tables, hole: Length, stud: Length) -> bool {
    if hole.near(stud, Length::mm(CALLIPER)) {
        return true;
    }
    let Some(stud_name) = stud_name(tables, stud) else {
        return false;
    };
    let clearance = tables.termination.clearance_hole(stud_name).map(|c| c.value);
    if clearance.is_some_and(|c| hole.near(c, Length::mm(CALLIPER))) {
        return true;
    }
    // A hole given by its stud's nominal size, or by the clearance hole of another stud.
    let names = tables.termination.studs().filter(|name| {
        let nominal = tables.termination.stud_diameter(name).map(|d| d.value);
        let clear = tables.termination.clearance_hole(name).map(|c| c.value);
        [nominal, clear].into_iter().flatten().any(|d| hole.near(d, Length::mm(CALLIPER)))
    });
    let mut names = names.peekable();
    names.peek().is_some()
        && names.any(|name| {
            matches!(
                tables.termination.stud_fit(name, stud_name),
                StudFit::Fits | StudFit::WithCare
            )
        })
}

/// The name of a stud of this diameter, such as `M8` or `5/16 in`.
pub(super) fn stud_name(tables: &Tables, stud: Length) -> Option<&str> {
    let away = |name: &str| {
        tables.termination.stud_diameter(name).map_or(f64::MAX, |d| (d.value - stud).abs().as_mm())
    };
    let nearest = tables.termination.studs().min_by(|a, b| away(a).total_cmp(&away(b)))?;
    // Half the smallest step between two studs of one system tells them apart.
    (away(nearest) < 0.5).then_some(nearest)
}

#[cfg(test)]
mod tests {
    use super::{lug_fits, stud_name};
    use crate::tables::Tables;
    use crate::units::Length;

    #[test]
    fn holes_meet_studs_as_the_trade_has_it() {
        let tables = Tables::load().expect("the data files are sound");
        let inch = |n: f64| Length::mm(n * 25.4);
        // Rule R09: M8 and 5/16 interchange, M10 and 3/8 with care; 5/16 on 3/8 does not go.
        for (hole, stud, want) in [
            (inch(0.3125), inch(0.3125), true),
            (inch(0.344), inch(0.3125), true),
            (Length::mm(8.0), inch(0.3125), true),
            (Length::mm(10.0), inch(0.375), true),
            (inch(0.3125), inch(0.375), false),
            (inch(0.375), inch(0.3125), false),
            (Length::mm(6.0), Length::mm(8.0), false),
        ] {
            let (h, s) = (hole.as_mm(), stud.as_mm());
            assert_eq!(lug_fits(&tables, hole, stud), want, "hole {h} mm on stud {s} mm");
        }
    }

    #[test]
    fn studs_are_named_by_their_diameter() {
        let tables = Tables::load().expect("the data files are sound");
        for (mm, want) in
            [(7.94, Some("5/16 in")), (8.0, Some("M8")), (9.5, Some("3/8 in")), (30.0, None)]
        {
            assert_eq!(stud_name(&tables, Length::mm(mm)), want, "{mm} mm");
        }
    }
}
