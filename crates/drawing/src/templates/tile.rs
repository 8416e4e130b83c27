//! A template cut into sheets of paper, with what is needed to put them together again and to know
//! that the printer kept the size.
//!
//! The first page is the sheet map: how the sheets lie, how the template is used, the table of holes.
//! Neighbours overlap, and register marks in the overlap stand on both sheets at the same place. Every
//! page has a bar that must measure 100 mm.

mod ink;
mod words;

use self::ink::{Bounds, inked};
use self::words::{Words, holds};
use super::Template;
use crate::geometry::{Corners, Point, View, at};
use crate::marks::measure::{BAR_HEIGHT, check_bar};
use crate::marks::sheet::{Area, shortened};
use crate::pdf::{Document, Placed, Sheet, pdf};
use crate::pictures::room::around;
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, wrapped};

/// Blank edge that most printers leave [mm].
const EDGE: f64 = 8.0;
/// Height of the strip with the bar at the foot of a sheet [mm].
const STRIP: f64 = BAR_HEIGHT + 5.0;
/// What two neighbours have in common [mm]: room for a strip of tape and a register mark.
const OVERLAP: f64 = 15.0;
/// From the corner of a sheet's window to its register marks [mm].
const INSET: f64 = 25.0;
/// From base line to base line, in parts of the em.
const LEADING: f64 = 1.35;

/// The template on sheets of a paper of this width and height, upright [mm].
#[must_use]
pub fn tiled(template: &Template, paper: (f64, f64), rig: &str) -> Vec<u8> {
    let grid = Grid::of(&template.scene, paper);
    let heading = format!("{rig}: {}", template.title);
    let marks = grid.register(&template.scene);
    let map = grid.map(template, &heading);
    let tiles: Vec<Tile> = grid.printed().map(|w| grid.tile(template, &w, &heading)).collect();
    let (width, height) = grid.paper;
    let mut sheets: Vec<Sheet<'_>> = map
        .iter()
        .map(|scene| {
            let placed = vec![Placed { scene, corner: at(0.0, 0.0), window: None }];
            Sheet { width, height, placed }
        })
        .collect();
    for tile in &tiles {
        let corner = at(EDGE - tile.left, EDGE - tile.top);
        let window = Some(grid.window());
        let placed = vec![
            Placed { scene: &tile.part, corner, window },
            Placed { scene: &marks, corner, window },
            Placed { scene: &tile.around, corner: at(0.0, 0.0), window: None },
        ];
        sheets.push(Sheet { width, height, placed });
    }
    pdf(&Document { title: heading, sheets })
}

/// How many sheets a template takes, without the sheet map.
#[must_use]
pub fn count(template: &Template, paper: (f64, f64)) -> u32 {
    Grid::of(&template.scene, paper).count()
}

/// The numbers of the sheets that are blank and not printed.
#[must_use]
pub fn blank(template: &Template, paper: (f64, f64)) -> Vec<u32> {
    Grid::of(&template.scene, paper).blank()
}

/// One sheet: its part of the template and what stands around it.
struct Tile {
    left: f64,
    top: f64,
    part: Scene,
    around: Scene,
}

/// A window on the template.
struct Window {
    column: u32,
    row: u32,
    left: f64,
    top: f64,
}

/// How a template is cut.
struct Grid {
    /// Width and height of the paper as it lies.
    paper: (f64, f64),
    columns: u32,
    rows: u32,
    /// The sheets that are printed, row by row.
    prints: Vec<bool>,
}

impl Grid {
    /// Upright or turned, whichever takes fewer sheets.
    fn of(scene: &Scene, (short, long): (f64, f64)) -> Self {
        let cut = |paper: (f64, f64)| {
            let (w, h) = room(paper);
            let (columns, rows) = (pieces(scene.width, w), pieces(scene.height, h));
            let mut grid = Self { paper, columns, rows, prints: Vec::new() };
            let ink: Vec<bool> =
                grid.windows().map(|w| inked(&scene.items, grid.shows(&w))).collect();
            grid.prints = ink::printed(&ink, usize::try_from(columns).unwrap_or(1));
            grid
        };
        let (upright, turned) = (cut((short, long)), cut((long, short)));
        if turned.count() < upright.count() { turned } else { upright }
    }

    /// Sheets that are printed.
    fn count(&self) -> u32 {
        u32::try_from(self.prints.iter().filter(|p| **p).count()).unwrap_or(u32::MAX)
    }

    fn prints(&self, column: u32, row: u32) -> bool {
        let n = usize::try_from(self.number(column, row).saturating_sub(1)).unwrap_or(usize::MAX);
        column < self.columns && row < self.rows && self.prints.get(n) == Some(&true)
    }

    fn printed(&self) -> impl Iterator<Item = Window> + '_ {
        self.windows().filter(|w| self.prints(w.column, w.row))
    }

    fn blank(&self) -> Vec<u32> {
        let blank = self.windows().filter(|w| !self.prints(w.column, w.row));
        blank.map(|w| self.number(w.column, w.row)).collect()
    }

    /// What a sheet shows of the template.
    fn shows(&self, window: &Window) -> Bounds {
        let (w, h) = room(self.paper);
        [window.left, window.top, window.left + w, window.top + h]
    }

    /// Where the template shows on a sheet.
    fn window(&self) -> Area {
        let (width, height) = room(self.paper);
        Area { corner: at(EDGE, EDGE), width, height }
    }

    fn step(&self) -> (f64, f64) {
        let (w, h) = room(self.paper);
        (w - OVERLAP, h - OVERLAP)
    }

    fn windows(&self) -> impl Iterator<Item = Window> + '_ {
        let (across, down) = self.step();
        (0..self.rows).flat_map(move |row| {
            (0..self.columns).map(move |column| Window {
                column,
                row,
                left: f64::from(column) * across,
                top: f64::from(row) * down,
            })
        })
    }

    const fn number(&self, column: u32, row: u32) -> u32 {
        row * self.columns + column + 1
    }

    fn tile(&self, template: &Template, window: &Window, heading: &str) -> Tile {
        let scene = &template.scene;
        let on = self.shows(window);
        let printed: Vec<Bounds> = self.printed().map(|w| self.shows(&w)).collect();
        let mut taken = around_holes(&scene.items);
        taken.extend(scene.labels().iter().map(|l| l.corners()).filter(|c| holds(on, c.bounds())));
        let mut words = Words::new(on, &printed, taken);
        let part = Scene { items: words.kept(&scene.items), ..scene.clone() };
        Tile { left: window.left, top: window.top, part, around: self.around(window, heading) }
    }

    /// Frame, bar and words of one sheet.
    fn around(&self, window: &Window, heading: &str) -> Scene {
        let Area { corner, width, height } = self.window();
        let stroke = Some(Stroke::solid(Tone::Pencil, line::HAIR));
        let frame = Rect { corner, width, height, round: 0.0, stroke, fill: Fill::Open };
        let own = self.number(window.column, window.row);
        let of = self.columns * self.rows;
        let mut lines = vec![format!("sheet {own} of {of}")];
        let mut beside = Vec::new();
        if self.prints(window.column + 1, window.row) {
            beside.push(format!("right: sheet {}", own + 1));
        }
        if self.prints(window.column, window.row + 1) {
            beside.push(format!("below: sheet {}", own + self.columns));
        }
        if !beside.is_empty() {
            lines.push(beside.join(", "));
        }
        let mut items: Vec<Item> = vec![frame.into()];
        items.extend(foot(self.paper, heading, &lines));
        page_scene(self.paper, format!("sheet-{own}"), heading, items)
    }

    /// Marks that neighbours share, in the place of the template.
    fn register(&self, scene: &Scene) -> Scene {
        let ((w, h), (across, down)) = (room(self.paper), self.step());
        let mut words: Vec<Corners> = scene.labels().iter().map(|l| l.corners()).collect();
        words.extend(around_holes(&scene.items));
        let free = |place: &Point| {
            let wide = around(*place, 13.0, 11.0);
            words.iter().all(|word| !word.overlaps(&wide, 0.0))
        };
        let mut places: Vec<Point> = Vec::new();
        // A mark moves along the joint until no word and no hole of the template lies under it.
        let mut add = |from: Point, dx: f64, dy: f64| {
            let steps = (0..12_u8).map(|n| from.moved(dx * f64::from(n), dy * f64::from(n)));
            places.push(steps.clone().find(free).unwrap_or(from));
        };
        for window in self.printed() {
            let (left, top) = (window.left, window.top);
            if self.prints(window.column + 1, window.row) {
                let x = left + across + OVERLAP / 2.0;
                add(at(x, top + INSET), 0.0, 6.0);
                add(at(x, top + h - INSET), 0.0, -6.0);
            }
            if self.prints(window.column, window.row + 1) {
                let y = top + down + OVERLAP / 2.0;
                add(at(left + INSET, y), 6.0, 0.0);
                add(at(left + w - INSET, y), -6.0, 0.0);
            }
        }
        let mut items: Vec<Item> = Vec::new();
        for (n, place) in places.into_iter().enumerate() {
            items.push(mark(place, &letter(n)).into());
        }
        Scene { id: "register".to_owned(), items, ..scene.clone() }
    }

    /// The sheet map, and more pages of words where one is too small for them.
    fn map(&self, template: &Template, heading: &str) -> Vec<Scene> {
        let (width, height) = self.paper;
        let inner = width - 2.0 * EDGE;
        let mut items: Vec<Item> = Vec::new();
        let mut y = EDGE + size::TITLE;
        let title = shortened(heading, inner * 0.92, size::TITLE);
        items.push(Label::new(at(EDGE, y), &title, size::TITLE).bold().into());
        y += size::TITLE * 0.6;
        let room = (inner, (height * 0.36).min(height - STRIP - 120.0).max(60.0));
        let (drawn, high) = self.miniature(&template.scene, at(EDGE, y), room);
        items.extend(drawn);
        y += high + 6.0;
        let mut lines = Vec::new();
        let blank = blank_says(&self.blank());
        for note in
            template.notes.iter().map(String::as_str).chain(blank.as_deref()).chain([STANDING])
        {
            lines.extend(wrapped(note, inner, size::LABEL, Weight::Regular));
            lines.push(String::new());
        }
        let mut pages = Vec::new();
        let low = height - EDGE - STRIP - 4.0;
        let sheets = self.count();
        let plural = if sheets == 1 { "one sheet" } else { "sheets" };
        let says = if sheets == 1 {
            format!("sheet map: {plural}")
        } else {
            format!("sheet map: {sheets} {plural}")
        };
        let end = |items: Vec<Item>, n: usize| {
            let mut items = items;
            items.extend(foot(self.paper, heading, std::slice::from_ref(&says)));
            page_scene(self.paper, format!("map-{n}"), heading, items)
        };
        for text in lines {
            if low < y + size::LABEL * LEADING {
                pages.push(end(std::mem::take(&mut items), pages.len() + 1));
                y = EDGE;
            }
            // Half a line of air between two notes.
            y += size::LABEL * if text.is_empty() { 0.5 } else { LEADING };
            if !text.is_empty() {
                items.push(Label::new(at(EDGE, y), &text, size::LABEL).into());
            }
        }
        pages.push(end(items, pages.len() + 1));
        pages
    }

    /// The template small, with the sheets laid over it; also its height.
    fn miniature(
        &self,
        scene: &Scene,
        corner: Point,
        (wide, high): (f64, f64),
    ) -> (Vec<Item>, f64) {
        let ((w, h), (across, down)) = (room(self.paper), self.step());
        let last = |count: u32, step: f64, one: f64| f64::from(count - 1) * step + one;
        let (all_w, all_h) = (last(self.columns, across, w), last(self.rows, down, h));
        let scale = (wide / all_w).min(high / all_h).min(1.0);
        let view = View { scale, origin: corner };
        let mut items = shrunk(&scene.items, view);
        for window in self.windows() {
            let corner = view.place(window.left, window.top);
            let stroke = Some(Stroke::dashed(Tone::Pencil, line::NORMAL, 2.0));
            let (width, height) = (view.length(w), view.length(h));
            let rect = Rect { corner, width, height, round: 0.0, stroke, fill: Fill::Open };
            items.push(rect.into());
        }
        for window in self.windows() {
            let middle = view.place(window.left + w / 2.0, window.top + h / 2.0);
            let number = self.number(window.column, window.row).to_string();
            if self.prints(window.column, window.row) {
                items.push(crate::marks::lead::ring(middle, &number, Tone::Ink).into());
            } else {
                let label = Label::new(middle, &format!("{number}: blank"), size::SMALL);
                let label = label.tone(Tone::Pencil).anchored(Anchor::Middle).levelled();
                items.push(label.rimmed(Tone::Paper).into());
            }
        }
        (items, view.length(all_h))
    }
}

/// The sentence that ends the notes of every map.
const STANDING: &str = "Print at 100 %, \"actual size\", never \"fit to page\". Measure the bar on every sheet \
     before the paper touches the part. Lay register marks with the same letter on one another and \
     tape them. Where it says \"decide\", choose the place yourself and mark it \
     before you drill. Local code and the makers' sheets win over this sheet.";

/// Which sheets of the map are not printed.
fn blank_says(blank: &[u32]) -> Option<String> {
    let numbers: Vec<String> = blank.iter().map(u32::to_string).collect();
    match numbers.as_slice() {
        [] => None,
        [one] => Some(format!(
            "Sheet {one} of the map is blank and not printed: nothing is cut, drilled or marked there."
        )),
        [first @ .., last] => Some(format!(
            "Sheets {} and {last} of the map are blank and not printed: nothing is cut, drilled or \
             marked there.",
            first.join(", ")
        )),
    }
}

/// What a sheet leaves for the template.
fn room((width, height): (f64, f64)) -> (f64, f64) {
    (width - 2.0 * EDGE, height - 2.0 * EDGE - STRIP)
}

/// Windows over a length.
fn pieces(length: f64, window: f64) -> u32 {
    (1..=200_u32)
        .find(|n| length <= f64::from(*n) * (window - OVERLAP) + OVERLAP + 1e-9)
        .unwrap_or(200)
}

/// The strip at the foot: the bar, and words to its right.
fn foot((width, height): (f64, f64), heading: &str, lines: &[String]) -> Vec<Item> {
    let top = height - EDGE - BAR_HEIGHT;
    let mut items: Vec<Item> = vec![check_bar(at(EDGE + 2.0, top)).into()];
    let room = width - 2.0 * EDGE - 122.0;
    let mut y = top + 2.0;
    let words = std::iter::once((heading, Weight::Bold));
    for (text, weight) in words.chain(lines.iter().map(|l| (l.as_str(), Weight::Regular))) {
        let text = shortened(text, room * 0.92, size::SMALL);
        let mut label = Label::new(at(width - EDGE, y), &text, size::SMALL).anchored(Anchor::End);
        label.weight = weight;
        items.push(label.into());
        y += size::SMALL * LEADING;
    }
    items
}

fn page_scene((width, height): (f64, f64), id: String, title: &str, items: Vec<Item>) -> Scene {
    let (title, description) = (title.to_owned(), String::new());
    Scene { id, title, description, width, height, view: None, items }
}

/// The boxes around round holes. Groups nest a few deep.
fn around_holes(items: &[Item]) -> Vec<Corners> {
    let one = |item: &Item| match item {
        Item::Circle(c) => vec![around(c.centre, 2.0 * c.radius, 2.0 * c.radius)],
        Item::Group(group) => around_holes(&group.items),
        _ => Vec::new(),
    };
    items.iter().flat_map(one).collect()
}

/// A register mark: a cross in a ring, and its letter.
fn mark(place: Point, letter: &str) -> Group {
    let stroke = Stroke::solid(Tone::Ink, line::THIN);
    let arm = |dx: f64, dy: f64| -> Item {
        Path::line(&[place.moved(-dx, -dy), place.moved(dx, dy)], stroke).into()
    };
    let ring = Circle { centre: place, radius: 2.5, stroke: Some(stroke), fill: Fill::Open };
    let label = Label::new(place.moved(3.2, 3.4), letter, size::SMALL).rimmed(Tone::Light);
    Group::of("register", vec![ring.into(), arm(4.0, 0.0), arm(0.0, 4.0), label.into()])
}

/// The name of a mark: a, b, ... z, aa, ab.
fn letter(n: usize) -> String {
    let sign = |n: usize| char::from(b'a' + u8::try_from(n % 26).unwrap_or(0));
    if n < 26 { sign(n).to_string() } else { format!("{}{}", sign(n / 26 - 1), sign(n)) }
}

/// The items at another scale, without their lettering.
fn shrunk(items: &[Item], view: View) -> Vec<Item> {
    let place = |p: Point| view.place(p.x, p.y);
    // What is broken at true size is a fine whole line here; dashes would be longer than the part.
    let fine = |s: Option<Stroke>| s.map(|s| Stroke::solid(s.tone, line::THIN));
    let one = |item: &Item| -> Option<Item> {
        Some(match item {
            Item::Label(_) => return None,
            Item::Group(g) if g.class.as_deref() == Some("dimension") => return None,
            Item::Group(g) => Group { items: shrunk(&g.items, view), ..g.clone() }.into(),
            Item::Path(p) => {
                let points = p.points.iter().map(|p| place(*p)).collect();
                let stroke = fine(p.stroke);
                Path { points, stroke, corner: view.length(p.corner), ..p.clone() }.into()
            }
            Item::Circle(c) => {
                let (centre, radius) = (place(c.centre), view.length(c.radius));
                Circle { centre, radius, stroke: fine(c.stroke), fill: c.fill }.into()
            }
            Item::Rect(r) => Rect {
                corner: place(r.corner),
                width: view.length(r.width),
                height: view.length(r.height),
                round: view.length(r.round),
                stroke: fine(r.stroke),
                fill: r.fill,
            }
            .into(),
            Item::Arc(a) => {
                let mut arc = a.clone();
                arc.centre = place(a.centre);
                arc.radius = view.length(a.radius);
                arc.stroke = Stroke::solid(a.stroke.tone, line::THIN);
                arc.into()
            }
        })
    };
    items.iter().filter_map(one).collect()
}

/// Faults of lettering on every page of a template, as [`crate::check::faults`] tells them.
#[must_use]
pub fn faults(template: &Template, paper: (f64, f64)) -> Vec<String> {
    let grid = Grid::of(&template.scene, paper);
    let mut pages = grid.map(template, &template.title);
    pages.extend(grid.printed().map(|w| grid.around(&w, &template.title)));
    pages.push(template.scene.clone());
    let mut found: Vec<String> = pages.iter().flat_map(crate::check::faults).collect();
    for window in grid.printed() {
        let number = grid.number(window.column, window.row);
        let part = grid.tile(template, &window, "").part;
        let labels = part.labels();
        for (n, label) in labels.iter().enumerate() {
            let corners = label.corners();
            if !holds(grid.shows(&window), corners.bounds()) {
                found.push(format!("sheet {number}: {} is cut at a joint", label.text));
            }
            if labels[..n].iter().any(|other| other.corners().overlaps(&corners, 0.2)) {
                found.push(format!("sheet {number}: {} lies over another word", label.text));
            }
        }
    }
    // A word that reaches into a printed sheet and stands whole on none is lost. One that lies on blank
    // paper alone names nothing that is cut or drilled.
    let tiles: Vec<Scene> = grid.printed().map(|w| grid.tile(template, &w, "").part).collect();
    for label in template.scene.labels() {
        let bounds = label.corners().bounds();
        let reached = grid.printed().any(|w| words::reached(grid.shows(&w), bounds));
        if reached && !tiles.iter().any(|t| t.labels().iter().any(|l| l.text == label.text)) {
            found.push(format!("{} stands on no sheet", label.text));
        }
    }
    // A register mark over a word would hide it.
    let marks = grid.register(&template.scene);
    for (mark, words) in marks
        .labels()
        .iter()
        .flat_map(|m| template.scene.labels().into_iter().map(move |w| (*m, w)))
    {
        if mark.corners().overlaps(&words.corners(), 0.2) {
            found.push(format!("mark {} lies over {}", mark.text, words.text));
        }
    }
    found
}
