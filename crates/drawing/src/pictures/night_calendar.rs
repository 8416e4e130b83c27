//! The year of nights: for each month how many nights the rig stays unplugged, and how sure.
//!
//! The bar in wash with its end in ink is what 90 years in 100 reach; the pencil line goes on to what
//! half of them reach; the short stroke is what 95 reach.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, faint, sheet, step, steps, words};
use crate::geometry::at;
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, text_width_mm};
use engine::sim::calendar::month_name;
use engine::sim::nights::Nights;
use engine::sim::outcome::MonthNights;
use engine::units::show;

/// What the calendar is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct NightCalendar<'a> {
    /// The nights.
    pub nights: &'a Nights,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of a month [mm].
const ROW: f64 = 6.6;

/// Width of a column of figures [mm].
const FIGURE: f64 = 11.0;

/// Under this width the months are named by three letters [mm].
const NARROW: f64 = 140.0;

/// Draws the year.
#[must_use]
pub fn night_calendar(picture: &NightCalendar<'_>) -> Scene {
    let (nights, setting) = (picture.nights, picture.setting);
    let (mut items, low) =
        words(at(EDGE, EDGE), setting.width - 2.0 * EDGE, "Nights unplugged, month by month", true);
    let name = if setting.width < NARROW { 9.0 } else { 22.0 };
    let left = EDGE + name;
    let right = setting.width - EDGE - 3.0 * FIGURE - 2.0;
    let top = low + LEADING + 2.0;
    let longest = nights.by_month.iter().map(|m| m.sure.in_50).fold(1.0, f64::max);
    let most = longest.min(nights.most);
    let area = Area { corner: at(left, top), width: right - left, height: 12.0 * ROW };
    let plot = Plot { area, across: (0.0, most), up: (0.0, 12.0) };
    items.push(plot.ground());
    let apart = step(most, plot.area.width / 12.0);
    for night in steps(0.0, most, apart) {
        items.push(plot.upright(night, faint()));
        items.push(plot.under(night, &show::decimal(night, 1)));
    }
    for (row, month) in nights.by_month.iter().enumerate() {
        let row = f64::from(u8::try_from(row).unwrap_or(0));
        items.push(bar(&plot, month, row, nights).into());
        let text = month_name(month.month);
        let text = if setting.width < NARROW { &text[..3] } else { text };
        let middle = top + (row + 0.5) * ROW;
        let mut label = Label::new(at(EDGE, middle), text, size::SMALL).levelled();
        if month.month == nights.month {
            label = label.bold();
        }
        items.push(label.into());
        items.extend(figures(month, middle, nights, setting.width - EDGE));
    }
    items.push(plot.axes());
    let heads = [("95", 0.0), ("90", 1.0), ("50", 2.0)];
    for (text, column) in heads {
        let place = at(setting.width - EDGE - column * FIGURE, top - 1.2);
        let label = Label::new(place, text, size::SMALL).anchored(Anchor::End);
        items.push(if text == "90" { label.bold() } else { label.tone(Tone::Pencil) }.into());
    }
    let says = format!(
        "Nights reached in so many of 100 years. Bar: 90 of 100; short stroke: 95; dashed: 50.{}",
        if longest < nights.most {
            String::new()
        } else {
            format!(" {}+ is {} or more.", show::fixed(nights.most, 0), show::fixed(nights.most, 0))
        }
    );
    let under = plot.low() + LEADING + 1.5;
    let (more, low) = words(at(EDGE, under), setting.width - 2.0 * EDGE, &says, false);
    items.extend(more);
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "nights by month",
        description: told(nights),
    };
    sheet(setting, &names, items, low)
}

fn told(nights: &Nights) -> String {
    let month = |m: &MonthNights| format!("{} {}", month_name(m.month), nights.said(m.sure.in_90));
    let list: Vec<String> = nights.by_month.iter().map(month).collect();
    format!("Nights that 90 of 100 years reach: {}.", list.join(", "))
}

fn bar(plot: &Plot, month: &MonthNights, row: f64, nights: &Nights) -> Group {
    let most = plot.across.1;
    let end = |value: f64| plot.x(value.min(most));
    let (top, low) =
        (plot.area.corner.y + row * ROW + 1.2, plot.area.corner.y + (row + 1.0) * ROW - 1.2);
    let middle = f64::midpoint(top, low);
    let left = plot.area.corner.x;
    let title = format!(
        "{}: {} nights in 90 of 100 years",
        month_name(month.month),
        nights.said(month.sure.in_90)
    );
    let mut group = Group { title: Some(title), ..Group::of("month", Vec::new()) };
    group.data.push(("month".to_owned(), month.month.to_string()));
    let (in_50, in_90, in_95) =
        (end(month.sure.in_50), end(month.sure.in_90), end(month.sure.in_95));
    let pencil = Stroke::dashed(Tone::Pencil, line::NORMAL, 1.4);
    group.items.push(Path::line(&[at(in_90, middle), at(in_50, middle)], pencil).into());
    let wash = Rect {
        corner: at(left, top),
        width: (in_90 - left).max(0.1),
        height: low - top,
        round: 0.0,
        stroke: None,
        fill: Fill::Flat(Tone::Wash),
    };
    group.items.push(wash.into());
    let ink = |width: f64| Stroke::solid(Tone::Ink, width);
    group.items.push(Path::line(&[at(in_90, top), at(in_90, low)], ink(line::HEAVY)).into());
    let short = [at(in_95, middle - 1.0), at(in_95, middle + 1.0)];
    group.items.push(Path::line(&short, ink(line::NORMAL)).into());
    let half = [at(in_50, middle - 1.0), at(in_50, middle + 1.0)];
    let pencil = Stroke::solid(Tone::Pencil, line::NORMAL);
    group.items.push(Path::line(&half, pencil).into());
    group
}

/// The three figures of a month; a figure at the end of what was followed has a plus.
fn figures(month: &MonthNights, middle: f64, nights: &Nights, right: f64) -> Vec<Item> {
    let said = |value: f64| {
        if nights.most <= value {
            format!("{}+", show::fixed(nights.most, 0))
        } else {
            show::fixed(value, 1)
        }
    };
    let columns = [(month.sure.in_95, 0.0), (month.sure.in_90, 1.0), (month.sure.in_50, 2.0)];
    columns
        .into_iter()
        .map(|(value, column)| {
            let text = said(value);
            debug_assert!(
                text_width_mm(&text, size::SMALL, Weight::Bold) < FIGURE,
                "a figure fits its column"
            );
            let place = at(right - column * FIGURE, middle);
            let label = Label::new(place, &text, size::SMALL).anchored(Anchor::End).levelled();
            if (0.5..1.5).contains(&column) { label.bold() } else { label.tone(Tone::Pencil) }
                .into()
        })
        .collect()
}
