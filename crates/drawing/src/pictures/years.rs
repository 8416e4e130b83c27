//! An axis of years under a plot, and marks of what was done on lines under it.

use super::chart::{Plot, faint};
use crate::geometry::{Point, at};
use crate::scene::{Anchor, Item, Label, Path};
use crate::style::{Tone, size};

/// The first and last day as whole ends of an axis: whole years, or whole months in a short log.
#[must_use]
pub fn span(from: f64, to: f64) -> (f64, f64) {
    if to - from < SHORT {
        return ((from * 12.0).floor() / 12.0, (to * 12.0 + 1e-6).ceil() / 12.0 + 1.0 / 24.0);
    }
    (from.floor(), to.ceil())
}

/// A log shorter than this is told by months [years].
const SHORT: f64 = 1.5;

/// From the axis to the base line of its words: clear of the lowest figure beside the plot [mm].
const DOWN: f64 = size::SMALL * 1.45;

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Faint uprights and their words under the plot; as many as there is room for.
#[must_use]
pub fn axis(plot: &Plot) -> Vec<Item> {
    let (from, to) = plot.across;
    let months = to - from < SHORT + 1.0;
    let per_year = if months { 12.0 } else { 1.0 };
    let room = plot.area.width / 13.0;
    let mut each = 1.0;
    while (to - from) * per_year / each > room && each < 64.0 {
        each *= if months { 3.0 } else { 2.0 };
    }
    let mut items = Vec::new();
    let first = (from * per_year / each - 1e-6).ceil();
    for n in 0..64_u8 {
        let step = (first + f64::from(n)) * each;
        let place = step / per_year;
        if to + 1e-9 < place {
            break;
        }
        items.push(plot.upright(place, faint()));
        let half = 4.5;
        if plot.x(place) < plot.right() + half {
            let label =
                Label::new(at(plot.x(place), plot.low() + DOWN), &said(step, months), size::SMALL);
            items.push(label.tone(Tone::Pencil).anchored(Anchor::Middle).into());
        }
    }
    items
}

fn said(step: f64, months: bool) -> String {
    use engine::units::show::fixed;
    if !months {
        return fixed(step, 0);
    }
    let of_year = (step.round() / 12.0 - (step.round() / 12.0).floor()) * 12.0;
    let month = (0..12_u8).find(|m| (f64::from(*m) - of_year).abs() < 0.5).unwrap_or(0);
    if month == 0 {
        return fixed((step / 12.0).round(), 0);
    }
    MONTHS[usize::from(month)].to_owned()
}

/// A line of marks under a plot: its word at the left, a mark for each day.
pub fn row(
    plot: &Plot,
    y: f64,
    word: &str,
    days: &[f64],
    mark: impl Fn(Point) -> Item,
) -> Vec<Item> {
    let pencil = crate::scene::Stroke::solid(Tone::Grid, crate::style::line::THIN);
    let label = Label::new(at(plot.area.corner.x - 1.5, y), word, size::SMALL);
    let mut items: Vec<Item> = vec![
        Path::line(&[at(plot.area.corner.x, y), at(plot.right(), y)], pencil).into(),
        label.tone(Tone::Pencil).anchored(Anchor::End).levelled().into(),
    ];
    items.extend(days.iter().map(|d| mark(at(plot.x(*d), y))));
    items
}

#[cfg(test)]
mod tests {
    use super::span;

    #[test]
    fn an_axis_ends_on_whole_years() {
        let (from, to) = span(2022.3, 2026.8);
        assert!((from - 2022.0).abs() < 1e-9 && (to - 2027.0).abs() < 1e-9, "whole years");
    }
}
