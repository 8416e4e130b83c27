//! Every figure on the page is that of the saved file, as the command line has it.

use super::{DEMO, Page, node, rig, source};
use crate::command::nights::recorded;
use crate::json::{self, fit::FitJson, leads::Leads, nights::NightsJson, share::ShareJson};
use crate::rig::Rig;
use engine::draws::judged_paths;
use engine::fit::Fit;
use engine::model::rig::RigKind;
use engine::plan::cut_list;
use engine::report::Report;
use engine::sim::nights::{Ask, Nights};
use engine::tables::climate::Climate;
use engine::units::show::{self, UnitSystem, decimal, fixed};
use engine::units::{Current, Length, Mass, Voltage};
use serde::Serialize;
use serde_json::{Value, json};

const BOAT: &str = include_str!("../../../../../examples/withy-reach.toml");
const CABIN: &str = include_str!("../../../../../examples/rime-hollow.toml");
const LARGE: &str = include_str!("../../../tests/rigs/larch-bower.toml");

fn value(json: &impl Serialize) -> Value {
    serde_json::from_str(&json::text(json)).expect("JSON")
}

/// Plain words of a piece of HTML: no tags, spaces as they are read.
fn plain(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' => inside = false,
            '\u{a0}' if !inside => text.push(' '),
            '−' if !inside => text.push('-'),
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let text = text.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">");
    text.replace("&quot;", "\"").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The rows of a table of the page, cell by cell; a choice shows what is chosen.
fn rows(html: &str, caption: &str) -> Vec<Vec<String>> {
    let from = html.find(&format!("aria-label=\"{caption}\"")).expect("the table is there");
    let body = html[from..].split("<tbody>").nth(1).and_then(|t| t.split("</tbody>").next());
    let chosen = |cell: &str| {
        let option = cell.split("<option").find(|o| o.contains(" selected"));
        let field = cell.split(" value=\"").nth(1).and_then(|v| v.split('"').next());
        match (option, cell.contains("<input")) {
            (Some(option), _) => plain(&format!("<option{option}")),
            (None, true) => field.unwrap_or_default().to_owned(),
            (None, false) => plain(cell),
        }
    };
    let cells = |row: &str| -> Vec<String> {
        let cells = row.split("<th scope=\"row\">").flat_map(|c| c.split("<td"));
        cells
            .skip(1)
            .map(|c| {
                chosen(c.split_once('>').map_or(c, |(head, rest)| {
                    // A cell of figures has a class before its words begin.
                    if head.is_empty() || head.starts_with(" class") { rest } else { c }
                }))
            })
            .collect()
    };
    body.unwrap_or_default().split("<tr>").skip(1).map(cells).collect()
}

fn number(v: &Value) -> f64 {
    v.as_f64().expect("a figure")
}

fn words(v: &Value) -> String {
    v.as_str().expect("words").replace('\u{a0}', " ")
}

fn list(v: &Value) -> &Vec<Value> {
    v.as_array().expect("a list")
}

/// A page on a rig with a strip open and a few changes made, saved; what it shows at rest.
fn saved(text: &str, strips: &[&str], wishes: &[Value]) -> (Page, Value) {
    let mut page = Page::of(text, false);
    for name in strips {
        page.done(&json!({ "do": "strip", "name": name, "open": true }));
    }
    for wish in wishes {
        page.done(wish);
    }
    page.done(&json!({ "do": "save" }));
    let answer = page.done(&json!({ "do": "full" }));
    (page, answer)
}

/// Each rig with changes that move its figures.
fn each(strips: &[&str], check: impl Fn(&Value, &Rig)) {
    let turn = json!({ "do": "turn", "block": "A1" });
    let nudge =
        json!({ "do": "move", "block": "B1", "dx": 3, "dy": -2, "fine": true, "commit": true });
    let slide = json!({ "do": "slide", "by": 130, "commit": true });
    let across = json!({ "do": "slide", "by": -200, "across": true, "commit": true });
    let takeoff = json!({ "do": "end", "from": "C2 -", "to": "B2 -", "commit": true });
    let hours = json!({ "do": "hours", "load": "fridge", "hours": "7.5" });
    let size = json!({ "do": "size", "lead": "plus 2", "size": "4/0 AWG" });
    let away = json!({ "do": "away", "block": "B3" });
    for (text, wishes) in [
        (DEMO, vec![nudge, slide, takeoff, hours.clone(), size]),
        (BOAT, vec![turn, across, hours.clone()]),
        (CABIN, vec![json!({ "do": "hours", "load": "lights", "hours": "4" })]),
        (LARGE, vec![away, hours]),
    ] {
        // A thousand years take their time; a boat and one more cabin add nothing to them.
        if strips == ["nights"] && [BOAT, LARGE].contains(&text) {
            continue;
        }
        let (page, answer) = saved(text, strips, &wishes);
        let rig = rig(page.path());
        check(&answer, &rig);
    }
}

#[test]
fn the_share_is_that_of_the_saved_file() {
    each(&[], |answer, rig| {
        let report = rig.report().expect("the tables are sound");
        let share = report.study.discharge.clone().expect("it has an answer");
        let paths = judged_paths(&report.study, &rig.tables, &share);
        let told = value(&ShareJson::of(rig, &report, &share, &paths));
        let html = node(answer, "share");
        let amps = |v: &Value| fixed(number(&v["amps"]), 2);
        let strings = list(&told["strings"]).iter().map(|s| vec![words(&s["id"]), amps(s)]);
        assert_eq!(rows(html, "Strings"), strings.collect::<Vec<_>>(), "strings");
        let blocks = list(&told["blocks"])
            .iter()
            .map(|b| vec![words(&b["id"]), amps(b), fixed(number(&b["volts"]), 3)]);
        assert_eq!(rows(html, "Blocks"), blocks.collect::<Vec<_>>(), "blocks");
        let within = |p: &Value| match p["within"].as_bool() {
            Some(true) => "within",
            Some(false) => "OVER",
            None => "no limit",
        };
        let shown = rows(html, "Volts lost on the way");
        assert_eq!(shown.len(), list(&told["paths"]).len(), "every path");
        for (row, path) in shown.iter().zip(list(&told["paths"])) {
            let figure = |key: &str, digits| fixed(number(&path[key]), digits);
            let limit = decimal(number(&path["limit_percent"]), 1);
            let want = [
                words(&path["id"]),
                figure("amps", 2),
                figure("drop_mv", 1),
                figure("percent", 2),
                limit,
                within(path).to_owned(),
            ];
            assert_eq!(row[..6], want, "path");
            assert!(row[6].starts_with(&words(&path["governed_by"])), "{row:?}");
        }
        let head = format!(
            "Bank {}, {} in all, spread between strings {} %.",
            show::voltage(Voltage::volts(number(&told["bank_volts"]))),
            show::current(Current::amps(number(&told["total_amps"]))),
            fixed(number(&told["spread_percent"]), 1)
        );
        assert!(plain(html).contains(&head), "{head}: {}", plain(html));
    });
}

#[test]
fn the_leads_and_their_cutting_are_those_of_the_saved_file() {
    each(&["leads"], |answer, rig| {
        let report = rig.report().expect("the tables are sound");
        let groups = cut_list::cut_list(&report.study.design, &report.study.leads);
        let told = value(&Leads::of(rig, &report, &groups, cut_list::totals(&groups)));
        let html = node(answer, "leads");
        let units = rig.design.rig.units;
        let length = |mm: f64| show::length(Length::mm(mm), units);
        let shown = rows(html, "Leads");
        assert_eq!(shown.len(), list(&told["leads"]).len(), "every lead");
        for (row, lead) in shown.iter().zip(list(&told["leads"])) {
            let amps = |key: &str| show::current(Current::amps(number(&lead[key])));
            let size = words(&lead["size"]);
            let decided = lead["decided_by_owner"] == true;
            let want = [
                words(&lead["id"]),
                format!("{} to {}", words(&lead["from"]), words(&lead["to"])),
                if decided { size } else { format!("{size} (the tool's)") },
                length(number(&lead["cut_mm"])),
                amps("design_amps"),
                amps("ampacity_amps"),
            ];
            assert_eq!(row[..6], want, "lead");
        }
        let cutting = plain(html);
        for cable in list(&told["cutting"]["cables"]) {
            for cut in list(&cable["cuts"]) {
                let left = format!("{} left", length(number(&cut["remainder_mm"])));
                assert!(cutting.contains(&left), "{left}: {cutting}");
            }
            for buy in list(&cable["buy"]) {
                let each = show::route(Length::mm(number(&buy["length_mm"])), units);
                let line = format!("{} x {each} {}", buy["count"], words(&buy["label"]));
                assert!(cutting.contains(&line), "{line}: {cutting}");
            }
        }
        for piece in list(&told["cutting"]["pieces"]).iter().filter(|p| !p["cut_from"].is_null()) {
            let line =
                format!("lead {}: {}", words(&piece["id"]), length(number(&piece["length_mm"])));
            assert!(cutting.contains(&line), "{line}: {cutting}");
        }
    });
}

#[test]
fn the_weights_are_those_of_the_saved_file() {
    each(&["weights"], |answer, rig| {
        let report = rig.report().expect("the tables are sound");
        let fit = Fit::of(&report.study, &rig.design, &rig.tables);
        let told = &value(&FitJson::of(rig, &report, &fit))["weight"];
        let html = node(answer, "weights");
        let kg = |v: &Value| {
            v.as_f64().map_or_else(
                || "not known".to_owned(),
                |kg| show::weight(Mass::kg(kg), rig.design.rig.units),
            )
        };
        match rig.design.rig.kind {
            RigKind::Trailer => {
                let mut want: Vec<Vec<String>> = list(&told["stages"])
                    .iter()
                    .map(|s| {
                        let axles = list(&s["axles"]).iter().map(|a| kg(&a["kg"]));
                        let percent = format!("{} %", fixed(number(&s["ball_percent"]), 1));
                        let head = [words(&s["stage"]), kg(&s["ball_kg"]), percent];
                        head.into_iter().chain(axles).chain([kg(&s["gross_kg"])]).collect()
                    })
                    .collect();
                let after = &told["after"];
                let plates = list(&after["axles"]).iter().map(|a| kg(&a["plate_kg"]));
                let head = ["limit".to_owned(), kg(&after["ball_plate_kg"]), String::new()];
                want.push(head.into_iter().chain(plates).chain([kg(&after["plate_kg"])]).collect());
                assert_eq!(rows(html, "Weights by stage"), want, "stages");
            }
            RigKind::Boat => {
                let list = number(&told["after"]["list_kgm"]);
                let line = format!("List: {} kg m to", fixed(list.abs(), 0));
                assert!(plain(html).contains(&line), "{line}: {}", plain(html));
            }
            _ => {}
        }
        for unknown in list(&told["unknown"]) {
            let line = format!("Not known: {}.", words(&unknown["what"]));
            assert!(plain(html).contains(&line), "{line}");
        }
    });
}

#[test]
fn the_nights_are_those_of_the_saved_file() {
    let climate = Climate::embedded().expect("the climate is there");
    each(&["nights"], |answer, rig| {
        let report = rig.report().expect("the tables are sound");
        // As `nights` asks when no option is given.
        let ask =
            Ask { place: None, month: None, years: 1000, seed: 1, recorded: None, progress: None };
        let found = Nights::of(&report.study, &rig.design, &rig.tables, &climate, &ask);
        let told = value(&NightsJson::of(rig, &report, &found.expect("it has an answer")));
        let html = node(answer, "nights");
        let text = plain(html);
        let said = |v: &Value| {
            let nights = number(v);
            let most = rig.tables.limits.value("nights-most").value;
            if most <= nights { format!("{} or more", fixed(most, 0)) } else { fixed(nights, 1) }
        };
        let sure = &told["nights"];
        let line = format!(
            "for {} nights in 90 of 100 years; for {} in half of them, for {} in 95 of 100.",
            said(&sure["sure_90"]),
            said(&sure["sure_50"]),
            said(&sure["sure_95"])
        );
        assert!(text.contains(&line), "{line}: {text}");
        assert!(!text.contains("rough:"), "all years are in it");
        for limit in list(&told["limits"]) {
            assert!(text.contains(&plain(&words(limit))), "{limit}");
        }
        let more = list(&told["one_more"]).iter().map(|m| {
            let gain = number(&m["gain"]);
            let sign = if gain < 0.0 { "" } else { "+" };
            let gain = format!("{sign}{}", fixed(gain, 1));
            vec![words(&m["change"]), said(&m["nights_sure_90"]), gain]
        });
        assert_eq!(rows(html, "One change more"), more.collect::<Vec<_>>(), "one change more");
        for row in rows(html, "Loads") {
            let load = rig.design.loads.iter().find(|l| l.part.name == row[0]).expect("a load");
            let hours = load.daily.map_or(String::new(), |d| decimal(d.as_hours(), 2));
            assert_eq!(row[2], hours, "hours of {}", row[0]);
        }
    });
}

#[test]
fn shopping_and_steps_are_those_of_the_book_of_the_saved_file() {
    each(&["shopping", "steps"], |answer, rig| {
        let report = rig.report().expect("the tables are sound");
        let source = source(rig, &report);
        let book = source.one("book-letter.html").expect("it is written").expect("a book");
        let book = String::from_utf8(book.bytes).expect("text");
        let book = plain(&book.replace("<br>", " "));
        let shopping = node(answer, "shopping");
        let bought = rows(shopping, "Shopping");
        assert!(!bought.is_empty(), "something is bought");
        for row in bought {
            for cell in &row[..2] {
                assert!(book.contains(cell), "{cell} is bought in the book too");
            }
        }
        let steps = node(answer, "steps");
        for title in steps.split("<h3>").skip(1) {
            let title = plain(title.split("</h3>").next().unwrap_or_default());
            let title = title.split_once(". ").map_or("", |t| t.1);
            assert!(book.contains(title), "page {title} is in the book");
        }
        for reading in steps.split("expect <b>").skip(1) {
            let shown = plain(reading.split("</b>").next().unwrap_or_default());
            assert!(book.contains(&shown), "reading {shown} is in the book");
        }
    });
}

#[test]
fn a_figure_of_another_unit_system_is_the_same_figure() {
    let mut page = Page::of(DEMO, false);
    page.done(&json!({ "do": "strip", "name": "leads", "open": true }));
    let metric = page.done(&json!({ "do": "look" }));
    let us = page.done(&json!({ "do": "units" }));
    let cuts = |answer: &Value| -> Vec<String> {
        rows(node(answer, "leads"), "Leads").into_iter().map(|r| r[3].clone()).collect()
    };
    let rig = rig(page.path());
    let report = rig.report().expect("the tables are sound");
    for (answer, units) in [(&metric, UnitSystem::Metric), (&us, UnitSystem::Us)] {
        let want = report.study.leads.iter().map(|l| show::length(l.length.cut, units));
        assert_eq!(cuts(answer), want.collect::<Vec<_>>(), "{units:?}");
    }
}

/// What the picture says of where it lies on its sheet.
fn origin(plan: &str) -> &str {
    plan.split("data-origin=\"").nth(1).and_then(|s| s.split('"').next()).unwrap_or_default()
}

#[test]
fn what_a_resting_hand_is_shown_is_what_is_put_down() {
    let rigs = [(DEMO, "C2"), (DEMO, "B1"), (BOAT, "C4"), (CABIN, "B1"), (LARGE, "B3")];
    let (mut moved, mut about, mut held) = (0, 0, 0);
    for (text, block) in rigs {
        let mut page = Page::of(text, false);
        page.done(&json!({ "do": "strip", "name": "leads", "open": true }));
        for (dx, dy) in [(31, -12), (-64, 40), (118, 5), (-7, -96)] {
            let at = |by: f64, commit: bool| json!({ "do": "move", "block": block, "dx": by * f64::from(dx), "dy": by * f64::from(dy), "commit": commit });
            // A hand passes other places on its way.
            page.wish(&at(0.4, false));
            let (_, refused, tried) = page.wish(&at(1.0, false));
            if refused {
                continue;
            }
            let (_, _, rests) = page.asked(&at(1.0, false), true);
            let down = page.done(&at(1.0, true));
            for piece in ["notes", "share", "leads"] {
                let of = |answer| node(answer, piece).to_owned();
                assert_eq!(of(&rests), of(&down), "{block} by {dx}, {dy}: {piece}");
            }
            let [shown, put] = [&rests, &down].map(|answer| node(answer, "plan").to_owned());
            if origin(&shown) == origin(&put) {
                assert_eq!(shown, put, "{block} by {dx}, {dy}");
                held += 1;
            }
            // At a glance a length is what is put down, or is told to be about that.
            let cuts = |answer: &Value| -> Vec<(String, String)> {
                let all = rows(node(answer, "leads"), "Leads").into_iter();
                all.map(|r| (r[0].clone(), r[3].clone())).collect()
            };
            for (glance, down) in cuts(&tried).into_iter().zip(cuts(&down)) {
                let is_about = glance.1.starts_with("about");
                assert!(is_about || glance == down, "{block} by {dx}, {dy}: {glance:?} {down:?}");
                about += usize::from(is_about);
            }
            assert!(!node(&down, "leads").contains("about\u{a0}"), "nothing is left uncertain");
            moved += 1;
        }
    }
    assert!(10 <= moved && 5 <= held && 0 < about, "{moved} {held} {about}");
}

/// A year of an owner's own: sun from six to six, the brighter the later in the year.
fn own_year(bright: f64) -> String {
    let hour = |n: u32| {
        let day = f64::from(n / 24);
        let light = if (6..18).contains(&(n % 24)) { bright + day } else { 0.0 };
        format!("{n},{light}\n")
    };
    format!("hour,ghi_w_m2\n{}", (0..8760).map(hour).collect::<String>())
}

#[test]
fn the_owners_own_weather_is_read_as_nights_reads_it_and_again_when_it_changes() {
    let text = DEMO.replacen("[place]\n", "[place]\nweather = \"sky.csv\"\n", 1);
    let mut page = Page::of(&text, true);
    let sky = page.folder.path().join("sky.csv");
    let mut said = Vec::new();
    for bright in [20.0, 260.0] {
        std::fs::write(&sky, own_year(bright)).expect("it can be written");
        page.done(&json!({ "do": "stage", "name": "sun" }));
        page.done(&json!({ "do": "strip", "name": "nights", "open": true }));
        let answer = page.done(&json!({ "do": "full" }));
        let told = plain(node(&answer, "nights"));
        let rig = rig(page.path());
        let stage = rig.design.stage_index("sun").expect("it is there");
        let report = Report::with(
            &rig.design,
            stage,
            &rig.tables,
            rig.ambient,
            &engine::evidence::Evidence::default(),
        );
        let year = recorded(&rig.design, &page.path()).expect("it is whole");
        let ask = Ask {
            place: None,
            month: None,
            years: 1000,
            seed: 1,
            recorded: year.as_ref(),
            progress: None,
        };
        let climate = Climate::embedded().expect("the climate is there");
        let study = report.expect("the tables are sound").study;
        let nights = Nights::of(&study, &rig.design, &rig.tables, &climate, &ask);
        let want = plain(&nights.expect("it has an answer").says());
        assert!(told.contains(&want) && told.contains("your recorded year"), "{want}: {told}");
        said.push(want);
    }
    assert_ne!(said[0], said[1], "a brighter year keeps it longer unplugged");
    std::fs::remove_file(&sky).expect("it is there");
    let gone = page.done(&json!({ "do": "full" }));
    assert!(node(&gone, "nights").contains("sky.csv"), "a file that is gone is named");
}
