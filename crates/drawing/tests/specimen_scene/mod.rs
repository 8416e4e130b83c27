//! One sheet with every mark.

use drawing::geometry::{View, at};
use drawing::marks::finding::{MarginNote, finding_mark, margin_note};
use drawing::marks::lead::{Lead, Polarity, Standing, lead, place_along};
use drawing::marks::measure::{arrow, check_bar, dimension, leader, scale_bar};
use drawing::marks::post::{Beside, Block, Lines, Post, block, cap, post};
use drawing::marks::sheet::{Area, frame, ground, squares, tick_box, title_block};
use drawing::scene::{Arc, Fill, Item, Label, Path, Rect, Scene, Stroke};
use drawing::style::{Tone, line, size};
use drawing::text::{post_name, with_unit};
use engine::finding::Severity;

const VIEW: View = View { scale: 0.2, origin: at(30.0, 48.0) };

/// Three blocks of 240 by 190 mm in a row, 20 mm apart, in a box of 820 by 250 mm.
fn blocks(items: &mut Vec<Item>) {
    let case = Rect {
        corner: VIEW.place(0.0, 0.0),
        width: VIEW.length(820.0),
        height: VIEW.length(250.0),
        round: 1.5,
        stroke: Some(Stroke::solid(Tone::Ink, line::HEAVY)),
        fill: Fill::Flat(Tone::Light),
    };
    items.push(case.into());
    for (i, (name, share, wash)) in
        [("A1", "55 A", 0.92), ("B1", "48 A", 0.8), ("C1", "44 A", 0.733)].into_iter().enumerate()
    {
        let left = 30.0 + 260.0 * f64::from(u8::try_from(i).expect("three blocks"));
        items.push(
            block(&Block {
                name: name.to_owned(),
                figure: Some(share.replace(' ', "\u{a0}")),
                corner: VIEW.place(left, 30.0),
                width: VIEW.length(240.0),
                height: VIEW.length(190.0),
                wash: Some(wash),
                words: None,
                lines: Lines::Two,
            })
            .into(),
        );
        items.push(cap(VIEW.place(left + 120.0, 70.0), 2.2).into());
    }
}

fn leads(items: &mut Vec<Item>) {
    let plus = |i: f64| VIEW.place(60.0 + 260.0 * i, 60.0);
    let minus = |i: f64| VIEW.place(240.0 + 260.0 * i, 190.0);
    let mut draw = |number: &str, points: Vec<_>, polarity: Polarity, standing: Standing| {
        // The crossing lead wears its number near its end, clear of the lead it crosses.
        let ring = place_along(&points, if number == "8" { 0.95 } else { 0.4 });
        let (number, width) = (number.to_owned(), 1.8);
        items.push(lead(&Lead { number, points, polarity, width, standing, ring }).into());
    };
    let over = |a: f64, b: f64| {
        let (from, to) = (plus(a), plus(b));
        vec![from, from.moved(6.0, -4.0), to.moved(-6.0, -4.0), to]
    };
    draw("4", over(0.0, 1.0), Polarity::Positive, Standing::Decided);
    draw("5", over(1.0, 2.0), Polarity::Positive, Standing::Wish);
    draw("6", vec![minus(0.0), minus(1.0)], Polarity::Negative, Standing::Decided);
    draw("7", vec![minus(1.0), minus(2.0)], Polarity::Negative, Standing::Wish);
    let out = vec![plus(0.0), plus(0.0).moved(0.0, 12.0), plus(0.0).moved(-26.0, 12.0)];
    draw("12", out, Polarity::Positive, Standing::Decided);
    let (from, to) = (VIEW.place(100.0, 330.0), VIEW.place(330.0, 330.0));
    draw("1", vec![from, to], Polarity::Link, Standing::Decided);
    // One lead over another shows what the casing is for.
    let (top, low) = (VIEW.place(210.0, 300.0), VIEW.place(260.0, 365.0));
    draw("8", vec![top, low], Polarity::Negative, Standing::Decided);
    for (i, name) in [(0.0, "A1"), (1.0, "B1"), (2.0, "C1")] {
        for (polarity, centre, sign) in [
            (Polarity::Positive, plus(i), Beside::Right),
            (Polarity::Negative, minus(i), Beside::Above),
        ] {
            let block = name.to_owned();
            items.push(post(&Post { block, polarity, centre, radius: 1.9, sign }).into());
        }
    }
}

fn measures(items: &mut Vec<Item>) {
    let corner = |x: f64, y: f64| VIEW.place(x, y);
    items
        .push(dimension(corner(0.0, 0.0), corner(820.0, 0.0), 9.0, &with_unit("820", "mm")).into());
    items.push(
        dimension(corner(820.0, 0.0), corner(820.0, 250.0), 8.0, &with_unit("250", "mm")).into(),
    );
    items.push(
        dimension(corner(270.0, 220.0), corner(290.0, 220.0), -12.0, &with_unit("20", "mm")).into(),
    );
    let words = [post_name("B1", "+"), "torque from its sheet".to_owned()];
    let lines: Vec<&str> = words.iter().map(String::as_str).collect();
    items.push(leader(corner(320.0, 60.0), corner(348.0, -95.0), &lines).into());
    items.push(leader(corner(40.0, 240.0), corner(-20.0, 290.0), &["floor strap"]).into());
    items.push(
        arrow(corner(700.0, 330.0), corner(500.0, 330.0), "you stand here, hatch side").into(),
    );
    items.push(scale_bar(VIEW, corner(-50.0, 400.0), 200.0, &with_unit("200", "mm")).into());
    items.push(check_bar(at(12.0, 152.0)).into());
}

fn margin(items: &mut Vec<Item>) {
    let mut y = 22.0;
    for (severity, code, what, remedy) in [
        (
            Severity::Stop,
            "R14",
            "The red lead 12 runs 410\u{a0}mm from the battery before anything can stop a short.",
            format!("Fit a fuse within 178\u{a0}mm of post {}.", post_name("A1", "+")),
        ),
        (
            Severity::Fix,
            "R01",
            "Both main leads leave from string A.",
            format!("Move lead 9 from {} to {}.", post_name("A2", "−"), post_name("C2", "−")),
        ),
        (
            Severity::Note,
            "R53",
            "Each block weighs 27\u{a0}kg.",
            "Two people, or a hoist.".to_owned(),
        ),
    ] {
        let note = MarginNote { severity, code: code.to_owned(), what: what.to_owned(), remedy };
        let (group, height) = margin_note(&note, at(216.0, y), 70.0);
        items.push(group.into());
        y += height + 5.0;
    }
    for (i, severity) in [(0.0, Severity::Stop), (1.0, Severity::Fix), (2.0, Severity::Note)] {
        items.push(finding_mark(severity, at(132.7 + 24.0 * i, 146.0), 5.4).into());
    }
    let cells = [
        ("rig", "Alder Fen"),
        ("sheet", "every mark"),
        ("scale", &VIEW.says()),
        ("as seen from", "hatch side"),
        ("stage", "1 bank"),
        ("revision", "4, not saved since noon"),
    ];
    items.push(title_block(at(200.0, 158.0), 86.0, &cells).0.into());
}

fn rest(items: &mut Vec<Item>) {
    items.push(tick_box(at(130.0, 152.0), 5.0));
    items.push(Label::new(at(138.0, 156.2), "1.5 Ω ≤ 2 mΩ ½ → ✓ µ ² ×", size::LABEL).into());
    let stroke = Stroke::solid(Tone::Pencil, line::THIN);
    let hatched = [at(130.0, 162.0), at(160.0, 162.0), at(160.0, 176.0), at(130.0, 176.0)];
    let mut shape = Path::shape(&hatched, Some(stroke), Fill::Hatch(Tone::Pencil, 2.0));
    shape.corner = 3.0;
    items.push(shape.into());
    let stroke = Stroke::dashed(Tone::Pencil, line::NORMAL, 1.5);
    items.push(
        Arc { centre: at(178.0, 169.0), radius: 7.0, start: 180.0, sweep: 270.0, stroke }.into(),
    );
}

/// The sheet, A4 lying.
pub(crate) fn specimen() -> Scene {
    let area = |inset: f64| Area {
        corner: at(inset, inset),
        width: 297.0 - 2.0 * inset,
        height: 210.0 - 2.0 * inset,
    };
    let mut items = vec![ground(area(0.0)), frame(area(5.0))];
    let title = Label::new(at(12.0, 16.0), "Every mark on one sheet", size::TITLE).bold();
    items.push(title.into());
    let board = Area { corner: at(10.0, 22.0), width: 196.0, height: 116.0 };
    items.push(squares(board, 4.0).into());
    blocks(&mut items);
    leads(&mut items);
    measures(&mut items);
    margin(&mut items);
    rest(&mut items);
    Scene {
        id: "specimen".to_owned(),
        title: "Every mark".to_owned(),
        description: "Three blocks with their leads, dimensions and notes.".to_owned(),
        width: 297.0,
        height: 210.0,
        view: Some(VIEW),
        items,
    }
}
