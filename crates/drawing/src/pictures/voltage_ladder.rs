//! The ladder of volts under load: from the blocks at rest down to the device, and the line under
//! which it drops out.

use super::Setting;
use super::chart::{EDGE, LEADING, Names, Plot, faint, sheet, signed, step, steps, words};
use crate::geometry::at;
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, wrapped};
use engine::draws::ladder::Ladder;
use engine::units::show;

/// What the ladder is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct VoltageLadder<'a> {
    /// The rungs.
    pub ladder: &'a Ladder,
    /// Rig and stage.
    pub of: (&'a str, &'a str),
    /// The paper.
    pub setting: &'a Setting,
}

/// Height of the plot [mm].
const TALL: f64 = 60.0;

/// Draws the ladder.
#[must_use]
pub fn voltage_ladder(picture: &VoltageLadder<'_>) -> Scene {
    let (ladder, setting) = (picture.ladder, picture.setting);
    let wide = setting.width - 2.0 * EDGE;
    let amps = |a: f64| format!("{}\u{a0}A", show::fixed(a, 0));
    let title = format!("Volts with {} at the {}", amps(ladder.amps), ladder.device);
    let (mut items, low) = words(at(EDGE, EDGE), wide, &title, true);
    let left = EDGE + 15.0;
    let area =
        Area { corner: at(left, low + 3.0), width: setting.width - left - EDGE, height: TALL };
    let (least, most) = range(ladder);
    let count = f64::from(u8::try_from(ladder.rungs.len()).unwrap_or(4)).max(1.0);
    let plot = Plot { area, across: (0.0, count), up: (least, most) };
    items.push(plot.ground());
    let apart = step(most - least, 6.0);
    for volts in steps(least, most, apart) {
        items.push(plot.level(volts, faint()));
        items.push(plot.beside(volts, &format!("{}\u{a0}V", show::decimal(volts, 2))));
    }
    items.extend(cut_off(&plot, ladder));
    let (rungs, low) = rungs(&plot, ladder);
    items.push(rungs.into());
    let says = says(ladder);
    let (more, low) = words(at(EDGE, low + 2.0), wide, &says, false);
    items.extend(more);
    let names = Names {
        rig: picture.of.0,
        stage: picture.of.1,
        sheet: "ladder of volts",
        description: told(ladder),
    };
    sheet(setting, &names, items, low)
}

/// From under the lowest of all to over the rest volts; the cut-off is in it where it is known.
fn range(ladder: &Ladder) -> (f64, f64) {
    let all = || ladder.rungs.iter().map(|r| r.volts).chain(ladder.cut_off_v);
    let low = all().fold(f64::INFINITY, f64::min);
    let high = all().fold(f64::NEG_INFINITY, f64::max);
    let span = (high - low).max(0.02 * high);
    (low - 0.2 * span, high + 0.16 * span)
}

fn told(ladder: &Ladder) -> String {
    let list: Vec<String> =
        ladder.rungs.iter().map(|r| format!("{} {} V", r.place, show::fixed(r.volts, 2))).collect();
    format!("{}.", list.join(", "))
}

fn says(ladder: &Ladder) -> String {
    let last = ladder.rungs.last().map_or(0.0, |r| r.volts);
    let volts = |v: f64| format!("{}\u{a0}V", show::fixed(v, 2));
    match ladder.cut_off_v {
        Some(cut) if last < cut => format!(
            "The {} drops out: it gets {} and needs {}. Lighten the load, or shorten the way.",
            ladder.device,
            volts(last),
            volts(cut)
        ),
        Some(cut) => format!(
            "{} are left over the cut-off of the {}. As the bank empties the whole ladder sinks; \
             the last rung meets the line first.",
            volts(last - cut),
            ladder.device
        ),
        None => format!(
            "Where the {} drops out is not known; write cut_off at the device.",
            ladder.device
        ),
    }
}

fn cut_off(plot: &Plot, ladder: &Ladder) -> Vec<Item> {
    let Some(cut) = ladder.cut_off_v else { return Vec::new() };
    let (y, left) = (plot.y(cut), plot.area.corner.x);
    let under = Rect {
        corner: at(left, y),
        width: plot.area.width,
        height: plot.low() - y,
        round: 0.0,
        stroke: None,
        fill: Fill::Hatch(Tone::Grid, 1.6),
    };
    let text = format!("drops out at {}\u{a0}V", show::fixed(cut, 2));
    let place = at(left + 1.5, y + size::SMALL * 1.15);
    vec![
        under.into(),
        plot.level(cut, Stroke::dashed(Tone::Ink, line::NORMAL, 2.0)),
        Label::new(place, &text, size::SMALL).rimmed(Tone::Light).into(),
    ]
}

/// A rung for each place, the fall between them, and its name under the plot; also where names end.
fn rungs(plot: &Plot, ladder: &Ladder) -> (Group, f64) {
    let mut group = Group::of("ladder", Vec::new());
    let mut low = plot.low();
    let column = plot.area.width / plot.across.1;
    let mut before: Option<f64> = None;
    for (n, rung) in ladder.rungs.iter().enumerate() {
        let n = f64::from(u8::try_from(n).unwrap_or(0));
        let (from, to) = (plot.x(n + 0.1), plot.x(n + 0.9));
        let y = plot.y(rung.volts);
        if let Some(volts) = before {
            let fall = [at(plot.x(n - 0.1), plot.y(volts)), at(from, y)];
            let stroke = Stroke::dashed(Tone::Pencil, line::THIN, 1.2);
            group.items.push(Path::line(&fall, stroke).into());
            let lost = signed(&format!("{}\u{a0}V", show::fixed(rung.volts - volts, 2)));
            let place = at(f64::midpoint(from, to), y + size::SMALL * 1.15);
            let label = Label::new(place, &lost, size::SMALL).tone(Tone::Pencil);
            group.items.push(label.anchored(Anchor::Middle).rimmed(Tone::Light).into());
        }
        let stroke = Stroke::solid(Tone::Ink, 1.2);
        group.items.push(Path::line(&[at(from, y), at(to, y)], stroke).into());
        let text = format!("{}\u{a0}V", show::fixed(rung.volts, 2));
        let place = at(f64::midpoint(from, to), y - 1.8);
        let label = Label::new(place, &text, size::LABEL).bold().anchored(Anchor::Middle);
        group.items.push(label.rimmed(Tone::Light).into());
        let mut base = plot.low() + size::SMALL * 1.1;
        for text in wrapped(&rung.place, column - 1.5, size::SMALL, Weight::Regular) {
            let place = at(plot.x(n + 0.5), base);
            group.items.push(Label::new(place, &text, size::SMALL).anchored(Anchor::Middle).into());
            low = low.max(base);
            base += LEADING;
        }
        before = Some(rung.volts);
    }
    group.items.push(plot.axes());
    (group, low + size::SMALL * 0.3)
}
