//! The cut length of a lead, from what the layout measured.

use super::answer::CutLength;
use crate::layout::lengths::LeadLength;
use crate::units::{Length, OneWay};

/// The parts of the cut length, such that route and slack less the lugs is the cut.
pub(super) fn cut_length(length: Option<&LeadLength>) -> CutLength {
    let Some(length) = length else {
        return CutLength {
            route: OneWay::new(Length::ZERO),
            from: "assumed",
            slack: Length::ZERO,
            lugs: Length::ZERO,
            cut: Length::ZERO,
            tolerance: Length::ZERO,
        };
    };
    let made = length.made.length();
    let from = match (length.stated.is_some(), length.known) {
        (true, _) => "stated",
        (false, true) => "drawing",
        (false, false) => "assumed",
    };
    // A piece may not come out short: every face and the cut list say the next whole millimetre.
    let cut = whole_mm_up(length.cut);
    let rest = cut - length.cut;
    // A stated length is stud to stud as made: there is no allowance to add.
    let slack = if length.stated.is_some() {
        Length::ZERO
    } else {
        (made - length.route.length()).max(Length::ZERO)
    };
    let more = if length.stated.is_some() { Length::ZERO } else { rest };
    CutLength {
        route: OneWay::new(made - slack),
        from,
        slack: slack + more,
        lugs: (made + more - cut).max(Length::ZERO),
        cut,
        tolerance: length.tolerance,
    }
}

/// A length that is a whole millimetre but for rounding stays that one.
const ROUNDING_MM: f64 = 1e-6;

/// The next whole millimetre.
fn whole_mm_up(length: Length) -> Length {
    Length::mm((length.as_mm() - ROUNDING_MM).ceil().max(0.0))
}

#[cfg(test)]
mod tests {
    use super::whole_mm_up;
    use crate::units::Length;

    #[test]
    fn a_piece_is_cut_to_the_next_whole_millimetre() {
        for (mm, want) in [(286.2, 287.0), (287.0, 287.0), (287.0 + 1e-10, 287.0), (0.0, 0.0)] {
            let got = whole_mm_up(Length::mm(mm)).as_mm();
            assert!((got - want).abs() < 1e-9, "{mm}: {got}");
        }
    }
}
