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
    // A stated length is stud to stud as made: there is no allowance to add.
    let slack = if length.stated.is_some() {
        Length::ZERO
    } else {
        (made - length.route.length()).max(Length::ZERO)
    };
    CutLength {
        route: OneWay::new(made - slack),
        from,
        slack,
        lugs: (made - length.cut).max(Length::ZERO),
        cut: length.cut,
        tolerance: length.tolerance,
    }
}
