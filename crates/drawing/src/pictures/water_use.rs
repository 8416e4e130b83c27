//! Water of each cell: what it took in thirty days as a bar, what the charges should have cost as a
//! bracket, and how it stands to its string.

use super::Setting;
use super::chart::{EDGE, Names, Plot, faint, sheet, step, steps, words};
use crate::geometry::at;
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::care::water::WaterUse;
use engine::units::show::fixed;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct WaterPicture<'a> {
    /// Water of each cell, in the order of their names.
    pub water: &'a [WaterUse],
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of a bar with its air [mm].
const ROW: f64 = 5.4;

/// Draws the water; `None` where no cell's water was measured.
#[must_use]
pub fn water_use(picture: &WaterPicture<'_>) -> Option<Scene> {
    let (water, setting) = (picture.water, picture.setting);
    let expected = |w: &WaterUse| Some(per_month(w, w.expected_cm3?.1));
    let most = water
        .iter()
        .map(|w| w.per_month_cm3.max(expected(w).unwrap_or(0.0)))
        .max_by(f64::total_cmp)
        .filter(|m| 0.0 < *m)?;
    let wide = setting.width - 2.0 * EDGE;
    let (mut items, low) = words(at(EDGE, EDGE), wide, "Water of each cell in thirty days", true);
    let (left, right) = (EDGE + 14.0, 32.0);
    let rows = f64::from(u32::try_from(water.len()).unwrap_or(1));
    let area = Area {
        corner: at(left, low + 3.0),
        width: setting.width - left - EDGE - right,
        height: rows * ROW + 1.0,
    };
    let plot = Plot { area, across: (0.0, most * 1.02), up: (rows, 0.0) };
    items.push(plot.ground());
    for mark in steps(0.0, most, step(most, 5.0)) {
        items.push(plot.upright(mark, faint()));
        items.push(plot.under(mark, &fixed(mark, 0)));
    }
    for (n, one) in water.iter().enumerate() {
        let y = area.corner.y + (f64::from(u32::try_from(n).unwrap_or(0)) + 0.5) * ROW + 0.5;
        items.push(bar(&plot, one, y).into());
    }
    items.push(plot.axes());
    let says = says(water);
    let (more, low) = words(at(EDGE, plot.low() + size::SMALL * 1.9), wide, &says, false);
    items.extend(more);
    let names = Names { rig: picture.of.0, stage: picture.of.1, sheet: "water", description: says };
    Some(sheet(setting, &names, items, low))
}

/// A volume of the whole time as of thirty days, by the same time as the cell's own figure [cm3].
fn per_month(water: &WaterUse, volume: f64) -> f64 {
    if water.volume_cm3 <= 0.0 { 0.0 } else { volume * water.per_month_cm3 / water.volume_cm3 }
}

fn bar(plot: &Plot, water: &WaterUse, y: f64) -> Group {
    let ink = Stroke::solid(Tone::Ink, line::THIN);
    let name = Label::new(at(plot.area.corner.x - 1.5, y), &water.cell.to_string(), size::SMALL);
    let rect = Rect {
        corner: at(plot.area.corner.x, y - 1.6),
        width: plot.x(water.per_month_cm3) - plot.area.corner.x,
        height: 3.2,
        round: 0.0,
        stroke: Some(ink),
        fill: Fill::Flat(Tone::Wash),
    };
    let mut items: Vec<Item> = vec![name.anchored(Anchor::End).levelled().into(), rect.into()];
    if let Some((low, high)) = water.expected_cm3 {
        let (from, to) = (plot.x(per_month(water, low)), plot.x(per_month(water, high)));
        let stroke = Stroke::solid(Tone::Ink, line::HEAVY);
        items.push(Path::line(&[at(from, y), at(to, y)], stroke).into());
        for x in [from, to] {
            items.push(Path::line(&[at(x, y - 1.4), at(x, y + 1.4)], stroke).into());
        }
    }
    let over = water.over_string.map_or_else(String::new, |o| format!(", ×\u{a0}{}", fixed(o, 1)));
    let text = format!("{}\u{a0}cm3{over}", fixed(water.per_month_cm3, 0));
    items.push(Label::new(at(plot.right() + 2.0, y), &text, size::SMALL).levelled().into());
    Group { title: Some(format!("{}: {text}", water.cell)), ..Group::of("water", items) }
}

fn says(water: &[WaterUse]) -> String {
    let bracket = if water.iter().any(|w| w.expected_cm3.is_some()) {
        " The dark bracket is what the charges of that time should have cost."
    } else {
        ""
    };
    format!(
        "cm3 in thirty days, and how many times the mean of the other cells of its string.{bracket}"
    )
}
