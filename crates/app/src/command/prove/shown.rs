//! A proof in words, for a terminal.

use super::Proved;
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{add_part, findings};
use engine::prove::{Expected, Found, Judged, Next, Proof, Suspect, Test, Verdict};
use engine::units::reading::Quantity;
use engine::units::show::{self, decimal, fixed};

/// The whole answer.
pub(super) fn text(proved: &Proved<'_>, files: &[String]) -> String {
    let style = Style::for_output();
    let rig = &proved.rig.design.rig.name;
    let mut text = format!("{}  stage \"{}\"\n", style.bold(rig), proved.report.stage);
    let read = proved.readings.taken.len();
    if read > 0 {
        text.push_str(&style.bold(&hanging("", &verdict(proved.proof))));
    }
    let mut part = |title: &str, body: String| add_part(&mut text, style, title, &body);
    if read > 0 {
        part("Read", judged(proved));
        part("What may be wrong, the likeliest first", suspects(proved));
    } else if !proved.named {
        for test in tests(proved.expected) {
            part(&titled(proved.expected, test), list(proved.expected, test));
        }
    }
    let next_title = if read > 0 { "Read next" } else { "Read first" };
    part(next_title, proved.proof.next.as_ref().map_or_else(String::new, next));
    part("Not judged here", aside(proved));
    if read > 0 {
        part("Rests on", rests(proved));
    }
    text.push('\n');
    for file in files {
        text.push_str(&format!("Wrote {file}\n"));
    }
    text.push_str(&findings::stop_line(proved.report.stops(), &proved.report.stage));
    text
}

/// What it all comes to, in a sentence.
pub(crate) fn verdict(proof: &Proof) -> String {
    let sure = fixed(proof.sound * 100.0, 0);
    match &proof.verdict {
        Verdict::Good => {
            format!("GOOD: every reading was taken; {sure} in 100 that nothing is wrong.")
        }
        Verdict::GoodAsFar { read, of } => format!(
            "GOOD as far as read, {read} of {of} readings; {sure} in 100 that nothing is wrong."
        ),
        Verdict::Remake => "PUT RIGHT and read again before it is used.".to_owned(),
        Verdict::Stop => {
            "STOP: close nothing, load nothing, charge nothing. Isolator open, main fuse out; then \
             do what stands below."
                .to_owned()
        }
    }
}

/// A figure with its unit, or a dash.
pub(crate) fn figure(quantity: Quantity, value: Option<f64>) -> String {
    let shown = |v| format!("{} {}", fixed(v, quantity.digits()), quantity.unit());
    value.map_or_else(|| "-".to_owned(), shown)
}

fn judged(proved: &Proved<'_>) -> String {
    let columns = [
        ("reading", Lean::Left),
        ("expect", Lean::Right),
        ("low", Lean::Right),
        ("high", Lean::Right),
        ("measured", Lean::Right),
        ("", Lean::Left),
    ];
    let row = |j: &Judged| {
        let shown = |value| figure(j.quantity, value);
        vec![
            j.id.clone(),
            shown(j.expected),
            shown(j.low),
            shown(j.high),
            shown(Some(j.measured)),
            j.verdict.word().to_owned(),
        ]
    };
    let readings = &proved.proof.readings;
    let mut text = table(&columns, readings.iter().map(row).collect());
    for j in readings.iter().filter(|j| j.verdict != Found::Within && !j.says.is_empty()) {
        text.push_str(&hanging(&format!("  {}  ", j.id), &j.says));
    }
    match proved.from_design {
        0 => {}
        1 => text.push_str("  One of them stands under as_built in the design file.\n"),
        n => text.push_str(&format!("  {n} of them stand under as_built in the design file.\n")),
    }
    for unknown in &proved.proof.unknown {
        let near =
            unknown.nearest.as_ref().map_or_else(String::new, |n| format!(" Did you mean {n}?"));
        let says = format!("\"{}\" is no reading of this stage.{near}", unknown.what);
        text.push_str(&hanging("  not known  ", &says));
    }
    text
}

/// Under one in a hundred, the JSON tells it.
const LEAST: f64 = 0.01;

fn suspects(proved: &Proved<'_>) -> String {
    let mut text = String::new();
    for suspect in proved.proof.suspects.iter().filter(|s| LEAST <= s.probability).take(6) {
        text.push_str(&one(suspect));
    }
    text
}

fn one(suspect: &Suspect) -> String {
    let head = format!(
        "  {:>3} %  {}, {}: {}.",
        fixed(suspect.probability * 100.0, 0),
        suspect.named(),
        suspect.kind.word(),
        show::sure(suspect.probability)
    );
    let mut text = format!("{head}\n");
    text.push_str(&hanging("         ", &suspect.says));
    text.push_str(&hanging("         do  ", &suspect.do_));
    text
}

fn next(next: &Next) -> String {
    let mut text = hanging("  ", &format!("{}: {}; {}.", next.id, next.probes, next.range));
    if !next.why.is_empty() {
        text.push_str(&hanging("      why  ", &next.why));
    }
    for shows in &next.expect_if {
        let head = format!("      {:>9}  ", figure(next.quantity, Some(shows.value)));
        text.push_str(&hanging(&head, &shows.says));
    }
    text
}

fn aside(proved: &Proved<'_>) -> String {
    let line = |t: &engine::evidence::readings::TakenReading| {
        format!("  {}  {}\n", t.what, figure(t.quantity, Some(t.value)))
    };
    proved.aside.iter().map(line).collect()
}

fn rests(proved: &Proved<'_>) -> String {
    proved.proof.rests_on.iter().map(|line| hanging("  ", line)).collect()
}

/// The tests of a list, in the order of the work.
fn tests(expected: &[Expected]) -> Vec<Test> {
    let mut tests: Vec<Test> = expected.iter().map(|e| e.test).collect();
    tests.sort();
    tests.dedup();
    tests
}

/// A test with what is drawn in it.
pub(super) fn test_title(expected: &Expected) -> String {
    let word = expected.test.word();
    let mut title: String = word.chars().take(1).flat_map(char::to_uppercase).collect();
    title.extend(word.chars().skip(1));
    match &expected.drawn {
        Some(drawn) => {
            let amps = decimal(drawn.amps.abs(), 1);
            let at = drawn.device.as_deref().unwrap_or("the main leads");
            format!("{title}: {amps} A at {at}")
        }
        None => title,
    }
}

fn titled(expected: &[Expected], test: Test) -> String {
    expected.iter().find(|e| e.test == test).map_or_else(String::new, test_title)
}

/// What to expect of a reading: the band, or what there is of it.
pub(crate) fn expectation(expected: &Expected) -> String {
    let shown = |v: f64| fixed(v, expected.quantity.digits());
    let unit = expected.quantity.unit();
    match (expected.expect, expected.low, expected.high) {
        (_, Some(low), Some(high)) => format!("{} to {} {unit}", shown(low), shown(high)),
        (Some(expect), None, Some(high)) => {
            format!("{} {unit}, at most {}", shown(expect), shown(high))
        }
        (Some(expect), _, _) => format!("{} {unit}", shown(expect)),
        (None, ..) => "find out and write".to_owned(),
    }
}

/// Name and band in columns, where the tips go beside them.
fn list(expected: &[Expected], test: Test) -> String {
    let here: Vec<&Expected> = expected.iter().filter(|e| e.test == test).collect();
    let wide = |text: &str| text.chars().count();
    let names = here.iter().map(|e| wide(&e.id)).max().unwrap_or(0);
    let bands = here.iter().map(|e| wide(&expectation(e))).max().unwrap_or(0);
    let mut text = String::new();
    for e in here {
        let head = format!("{:<names$}  {:>bands$}  ", e.id, expectation(e));
        let note = e.note.as_ref().map_or_else(String::new, |n| format!(" ({n})"));
        text.push_str(&hanging(&head, &format!("{}; {}{note}", e.probes, e.range)));
    }
    text
}
