//! What the readings come to: the verdict, the day and the meter, what may be wrong and what to do,
//! and who signs for it.

use super::ProvingSheet;
use crate::lettering::Size;
use crate::part::{Cell, Part, Parts, Piece, Table, words};
use crate::words::{capital, counted, text};
use engine::evidence::readings::Readings;
use engine::prove::{Next, Suspect, Verdict};
use engine::units::show::{self, decimal, fixed};
use maud::{Markup, html};

/// Width of the column with the odds [mm].
const MARGIN: f64 = 26.0;

pub(super) fn parts(input: &ProvingSheet<'_>, width: f64) -> Vec<Part> {
    let mut parts = Parts::new(width);
    parts.push(verdict(input, width));
    parts.push(day(input));
    let proof = input.proof;
    if !proof.suspects.is_empty() {
        parts.heading("What may be wrong, the likeliest first");
        for suspect in shown(&proof.suspects) {
            parts.push(note(suspect, width));
        }
        parts.paragraph(&format!(
            "That nothing is wrong: {} in 100. The odds weigh every reading together with what \
             usually goes wrong; they hold for one thing wrong at a time.",
            fixed(proof.sound * 100.0, 0)
        ));
    }
    if let Some(next) = &proof.next {
        parts.heading("Read this next");
        parts.push(next_reading(next, width));
    }
    parts.heading("Signed");
    parts.push(signatures());
    parts.all
}

/// A suspect below one in a hundred is left to the file.
const LEAST: f64 = 0.01;

fn shown(suspects: &[Suspect]) -> impl Iterator<Item = &Suspect> {
    suspects.iter().filter(|s| LEAST <= s.probability).take(6)
}

fn verdict(input: &ProvingSheet<'_>, width: f64) -> Piece {
    let proof = input.proof;
    let (head, body) = match &proof.verdict {
        Verdict::Good => ("Good", "Every reading of the sheet was taken, and nothing is wrong."),
        Verdict::GoodAsFar { .. } => {
            ("Good as far as read", "Nothing is wrong as far as it was read.")
        }
        Verdict::Remake => (
            "Put right and read again",
            "Do not use it before what stands below is put right and read again.",
        ),
        Verdict::Stop => (
            "STOP",
            "Close nothing, load nothing, charge nothing. Open the isolator and take the main fuse \
             out; then do what stands below.",
        ),
    };
    let count = counted(input.readings.taken.len(), "reading", "readings");
    let of = input.expected.len();
    let read = format!("{count} of {of} written down.");
    let class = if proof.verdict == Verdict::Stop { "hold stops" } else { "hold" };
    let html = html! {
        div class=(class) {
            p.say { (head) }
            p { (body) }
            p.small { (read) }
        }
    };
    let inner = width - 8.0;
    let height = Size::Step.height(head, inner) + Size::Body.height(body, inner);
    Piece::new(html, height + Size::Small.height(&read, inner) + 17.0)
}

/// Who, when, with what, under which test; what nobody wrote leaves room for a hand.
fn day(input: &ProvingSheet<'_>) -> Table {
    let day = input.readings;
    let units = input.design().rig.units;
    let written = |text: Option<String>| text.map_or(Cell::Write, Cell::Text);
    let said = |text: &Option<String>| written(text.clone().filter(|t| !t.trim().is_empty()));
    let mut table = Table::new(vec![
        words("the day", 1.1),
        words("", 1.7),
        words("the test", 1.1),
        words("", 1.7),
    ]);
    let errors = errors(day);
    let load = day.test.map(show::current);
    let charge = day.charge.map(show::current);
    for [left, right] in [
        [("date", written(day.date.map(|d| d.to_string()))), ("test load", written(load))],
        [("read by", said(&day.by)), ("charge", written(charge))],
        [("meter and clamp", said(&day.meter)), ("their errors", errors.into())],
        [
            ("blocks at", written(day.temperature.map(|t| show::temperature(t, units)))),
            ("rested", written(day.rested.map(|d| format!("{} h", decimal(d.as_hours(), 1))))),
        ],
    ] {
        table.row(vec![left.0.into(), left.1, right.0.into(), right.1]);
    }
    table
}

/// The errors of the meters, where the owner gave them.
fn errors(day: &Readings) -> String {
    let e = day.errors;
    let said: Vec<String> = [
        e.volts.map(|v| format!("{} V at 12 V", decimal(v, 3))),
        e.millivolts.map(|v| format!("{} mV", decimal(v, 2))),
        e.clamp_share.map(|v| format!("clamp {} %", decimal(v * 100.0, 1))),
        e.clamp_zero.map(|v| format!("zero of the clamp {} A", decimal(v, 2))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if said.is_empty() { "the usual ones, see the last page".to_owned() } else { said.join(", ") }
}

fn note(suspect: &Suspect, width: f64) -> Piece {
    let column = width - MARGIN;
    let odds = format!("{} in 100", fixed(suspect.probability * 100.0, 0));
    let height = Size::Body.height(&suspect.says, column) + Size::Body.height(&suspect.do_, column);
    let html = html! {
        div.finding {
            div { b { (odds) } br; span.small { (show::sure(suspect.probability)) } br; span.small { (suspect.named()) } br; span.small { (suspect.kind.word()) } }
            div {
                p { (text(&capital(&suspect.says))) }
                p.remedy { (text(&suspect.do_)) }
            }
        }
    };
    Piece::new(html, height.max(19.0) + 5.0)
}

fn next_reading(next: &Next, width: f64) -> Piece {
    let head = format!("{}: {}; {}.", next.id, next.probes, next.range);
    let ifs: Vec<String> = next
        .expect_if
        .iter()
        .map(|e| {
            let digits = next.quantity.digits();
            let shown = fixed(e.value, digits).replace('-', "\u{2212}");
            format!("{shown} {}: {}", next.quantity.unit(), e.says)
        })
        .collect();
    let why = format!("Why: {}.", next.why);
    let height = Size::Body.height(&head, width)
        + Size::Body.height(&why, width)
        + ifs.iter().map(|i| Size::Body.height(i, width)).sum::<f64>();
    let html = html! {
        div {
            p { b { (text(&head)) } " " (text(&why)) }
            @for one in &ifs { div { (text(one)) } }
        }
    };
    Piece::new(html, height + 8.0)
}

fn signatures() -> Piece {
    let line = |words: &str| -> Markup {
        html! { div.signbox style="height:18mm" { (words) } }
    };
    let html = html! {
        div.photo {
            (line("read and put right by: name, date, signature"))
            (line("looked at by a second pair of eyes: name, date, signature"))
        }
    };
    Piece::new(html, 27.0)
}
