//! What the page hands out, and the readings that come back.

use super::{DEMO, Page, node, own, rig, source};
use crate::json::{self, leads::Leads};
use crate::out::PHONE;
use crate::web::desk::DEMOS;
use crate::web::intent::READINGS_LARGEST;
use crate::web::wire::{Request, Response};
use engine::plan::cut_list;
use serde_json::{Value, json};

/// A GET of the page itself.
fn get(page: &mut Page, path: &str) -> Response {
    let request = Request {
        method: "GET".to_owned(),
        origin: None,
        content_type: None,
        ..own(path, Vec::new())
    };
    page.through(&request)
}

/// Every file that the open strip names.
fn offered(page: &mut Page) -> Vec<String> {
    let answer = page.done(&json!({ "do": "strip", "name": "take-away", "open": true }));
    let html = node(&answer, "take-away");
    let links = html.split("href=\"/out/").skip(1);
    links.filter_map(|l| l.split('"').next()).map(str::to_owned).collect()
}

fn header<'a>(response: &'a Response, name: &str) -> &'a str {
    response.headers.iter().find(|h| h.0 == name).map_or("", |h| h.1.as_str())
}

#[test]
fn every_file_that_is_offered_is_what_book_writes_and_nothing_is_written() {
    for demo in DEMOS {
        let mut page = Page::of(demo.text(), true);
        let before = page.files();
        let rig = rig(page.path());
        let report = rig.report().expect("the tables are sound");
        let source = source(&rig, &report);
        let all = source.all().expect("a book");
        let mut offered = offered(&mut page);
        // One of each kind and the phone copy; the books take their time in a build for tests.
        let mut kinds = std::collections::BTreeSet::new();
        for piece in all.iter().filter(|p| p.name == PHONE || kinds.insert(p.kind)) {
            let response = get(&mut page, &format!("/out/{}", piece.name));
            assert_eq!(response.status, 200, "{}", piece.name);
            assert!(response.body == piece.bytes, "{}: other bytes than those of book", piece.name);
            assert_eq!(response.content_type, piece.kind, "{}", piece.name);
            let kept = header(&response, "content-disposition");
            let base = piece.name.rsplit('/').next().unwrap_or_default();
            assert!(kept.starts_with(&format!("attachment; filename=\"{}-", demo.name)), "{kept}");
            assert!(kept.ends_with(&format!("-{base}\"")), "{kept}");
        }
        let mut written: Vec<String> = all.into_iter().map(|p| p.name).collect();
        offered.sort();
        written.sort();
        assert_eq!(offered, written, "{}: the strip offers what book writes", demo.name);
        assert_eq!(page.files(), before, "nothing was written");
    }
}

#[test]
fn what_is_not_saved_is_handed_out_as_not_saved() {
    let mut page = Page::of(DEMO, false);
    let plan = |page: &mut Page| get(page, "/out/plan.svg").body;
    let book = |page: &mut Page| {
        let body = get(page, "/out/book-letter.html").body;
        String::from_utf8(body).expect("text")
    };
    let before = plan(&mut page);
    assert!(!book(&mut page).contains("not saved"), "it is saved");
    let answer = page.done(&json!({ "do": "strip", "name": "take-away", "open": true }));
    assert!(node(&answer, "take-away").contains("as saved in rig.toml"), "it says so");
    let answer = page.done(&json!({ "do": "turn", "block": "C2" }));
    assert!(node(&answer, "take-away").contains("not saved"), "the strip says what it is");
    assert_ne!(plan(&mut page), before, "it is made from what is on the sheet");
    assert!(book(&mut page).contains("not saved"), "and the paper says so");
    let answer = page.done(&json!({ "do": "save" }));
    assert!(node(&answer, "take-away").contains("as saved in rig.toml"), "now it is");
    assert!(!book(&mut page).contains("not saved"), "on paper too");
}

#[test]
fn the_cut_list_adds_up_to_what_leads_says() {
    for demo in DEMOS {
        let mut page = Page::of(demo.text(), true);
        let text = String::from_utf8(get(&mut page, "/out/cut-list.csv").body).expect("text");
        let rig = rig(page.path());
        let report = rig.report().expect("the tables are sound");
        let groups = cut_list::cut_list(&report.study.design, &report.study.leads);
        let leads = Leads::of(&rig, &report, &groups, cut_list::totals(&groups));
        let told: Value = serde_json::from_str(&json::text(&leads)).expect("JSON");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let names = reader.headers().expect("a line of names").clone();
        let column = |name: &str| names.iter().position(|n| n == name).expect("a column");
        let [what, lead, count, length] = ["what", "lead", "count", "length_mm"].map(column);
        let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
        let sum = |kind: &str| -> u64 {
            let of = rows.iter().filter(|r| &r[what] == kind);
            let figure = |r: &csv::StringRecord, n: usize| r[n].parse::<u64>().expect("a figure");
            of.map(|r| figure(r, count) * figure(r, length)).sum()
        };
        assert_eq!(told["cutting"]["bought_mm"], sum("buy"), "{}: bought", demo.name);
        assert_eq!(told["cutting"]["waste_mm"], sum("left"), "{}: left", demo.name);
        let pieces = told["cutting"]["pieces"].as_array().expect("pieces");
        let lengths: u64 = pieces.iter().filter_map(|p| p["length_mm"].as_u64()).sum();
        assert_eq!(lengths, sum("piece"), "{}: pieces", demo.name);
        let leads = told["leads"].as_array().expect("leads");
        for one in leads {
            let named = rows.iter().filter(|r| one["id"] == r[lead]).count();
            assert_eq!(named, 1, "{}: lead {} stands once", demo.name, one["id"]);
        }
    }
}

#[test]
fn what_is_not_there_is_refused_in_words() {
    let mut page = Page::of(DEMO, false);
    let before = page.files();
    for name in [
        "",
        "book",
        "book-a5.html",
        "rig.toml",
        "templates",
        "templates/",
        "templates/floor",
        "templates/floor.svg.svg",
        "plan.svg/",
        "cut-list",
    ] {
        let response = get(&mut page, &format!("/out/{name}"));
        assert_eq!(response.status, 404, "{name}");
        assert!(header(&response, "content-disposition").is_empty(), "{name}: nothing to keep");
    }
    assert_eq!(page.through(&own("/out/plan.svg", b"{}".to_vec())).status, 404, "no POST");
    let stranger =
        Request { method: "GET".to_owned(), cookie: None, ..own("/out/plan.svg", vec![]) };
    assert_eq!(page.through(&stranger).status, 403, "without the key");
    assert_eq!(page.files(), before, "nothing was written");
}

#[test]
fn a_design_that_is_not_understood_gives_nothing() {
    let mut page = Page::of("[rig\n", false);
    let response = get(&mut page, "/out/book-letter.html");
    assert_eq!(response.status, 409, "first it is mended");
    let says = json!({ "do": "readings", "name": "r.toml", "text": "A1 = \"6.3 V\"" });
    let (say, refused, _) = page.wish(&says);
    assert!(refused && say.contains("understood"), "{say}");
}

/// Readings as the copy for the driveway hands them back.
const READINGS: &str = r#"# Alder Fen, stage bank, revision B: what was read and done.

[day]
date = "2026-05-03"
by = "R. Alder"
ticks = ["1.1 Lay out the blocks", "1.2 Measure each"]
notes = ["C2 had a wet lid"]

[read]
A1 = "6.31 V"
A2 = "6.32 V"
C2 = { value = "4.20 V" }

[post."A1 +"]
torque = "11 N m"
"#;

fn bring(text: &str) -> Value {
    json!({ "do": "readings", "name": "alder-fen-readings.toml", "text": text })
}

fn proved(page: &mut Page) -> String {
    let answer = page.done(&json!({ "do": "strip", "name": "proved", "open": true }));
    node(&answer, "proved").to_owned()
}

#[test]
fn readings_are_judged_kept_beside_the_design_and_put_away() {
    let mut page = Page::of(DEMO, false);
    assert!(proved(&mut page).contains("No reading was read in yet"), "nothing yet");
    let (say, refused, answer) = page.wish(&bring(READINGS));
    assert!(!refused, "{say}");
    for part in ["3 readings", "1 post with torque or stack", "2 ticks", "1 note"] {
        assert!(say.contains(part), "{part}: {say}");
    }
    let html = node(&answer, "proved");
    let want = ["STOP", "C2", "4.20", "Read next", "11\u{a0}N", "1.2 Measure each", "wet lid"];
    for part in want {
        assert!(html.contains(part), "{part} is not in {html}");
    }
    assert_eq!(page.files().len(), 1, "nothing is written before it is asked for");
    let answer = page.done(&json!({ "do": "keep-readings" }));
    assert!(node(&answer, "proved").contains("rig.readings.toml"), "it says where");
    page.done(&json!({ "do": "keep-readings" }));
    let kept: Vec<(String, String)> =
        page.files().into_iter().filter(|f| f.0.contains("readings")).collect();
    assert_eq!(kept, [("rig.readings.toml".to_owned(), READINGS.to_owned())], "once, as it was");
    page.done(&json!({ "do": "drop-readings" }));
    assert!(proved(&mut page).contains("No reading was read in yet"), "put away");
}

/// Volts of every block, string and gap of the demo's bank.
const ALL_VOLTS: &str = "A1 = \"6.31 V\"\nA2 = \"6.32 V\"\nB1 = \"6.31 V\"\nB2 = \"6.30 V\"\nC1 = \"6.32 V\"\n\
     C2 = \"6.31 V\"\n\"string A\" = \"12.63 V\"\n\"string B\" = \"12.61 V\"\n\"string C\" = \"12.63 V\"\n\
     \"gap 6\" = \"0.01 V\"\n\"gap 7\" = \"0.02 V\"\n";

#[test]
fn what_was_read_in_clears_what_the_checks_ask_for_also_when_opened_again() {
    let mut page = Page::of(DEMO, false);
    let notes = |page: &mut Page| node(&page.done(&json!({ "do": "look" })), "notes").to_owned();
    let asked = "Not measured yet: each of the 6 blocks";
    assert!(notes(&mut page).contains(asked), "{}", notes(&mut page));
    page.done(&bring(ALL_VOLTS));
    let read = notes(&mut page);
    assert!(!read.contains("R06"), "nothing is left to measure: {read}");
    assert!(read.contains("With the readings of alder-fen-readings.toml"), "it says so: {read}");
    let reversed = ALL_VOLTS.replace("A1 = \"6.31 V\"", "A1 = \"-6.31 V\"");
    page.done(&bring(&reversed));
    let wrong = notes(&mut page);
    assert!(wrong.contains("A1: expected") && wrong.contains("got -6.31"), "{wrong}");
    page.done(&bring(ALL_VOLTS));
    page.done(&json!({ "do": "keep-readings" }));
    page.reopen(false);
    let again = notes(&mut page);
    assert_eq!(again.replace("rig.readings.toml", "alder-fen-readings.toml"), read, "as it was");
    assert!(proved(&mut page).contains("Kept as"), "the strip has them");
    page.done(&json!({ "do": "drop-readings" }));
    assert!(notes(&mut page).contains(asked), "put away, they are asked for again");
}

#[test]
fn other_readings_never_take_the_place_of_kept_ones() {
    let mut page = Page::of(DEMO, false);
    page.done(&bring(READINGS));
    page.done(&json!({ "do": "keep-readings" }));
    page.done(&bring("A1 = \"6.33 V\""));
    page.done(&json!({ "do": "keep-readings" }));
    let csv = json!({ "do": "readings", "name": "Sheet.CSV", "text": "A1,6.33,V" });
    page.done(&csv);
    page.done(&json!({ "do": "keep-readings" }));
    let names: Vec<String> = page.files().into_iter().map(|f| f.0).collect();
    let want = ["rig.readings-2.toml", "rig.readings.csv", "rig.readings.toml", "rig.toml"];
    assert_eq!(names, want, "each beside the others");
    let mut page = Page::of(DEMO, true);
    page.done(&bring(READINGS));
    let (say, refused, _) = page.wish(&json!({ "do": "keep-readings" }));
    assert!(refused && say.contains("read only"), "{say}");
    assert_eq!(page.files().len(), 1, "a page that only reads writes nothing");
}

#[test]
fn what_cannot_be_readings_is_refused_and_leaves_what_was_there() {
    let mut page = Page::of(DEMO, false);
    page.done(&bring(READINGS));
    let there = proved(&mut page);
    let noise: String = "\u{0}\u{1}{[=,;\"'\n".repeat(2000);
    let many = "zz = \"1 V\"\n".repeat(READINGS_LARGEST / 12);
    for text in ["", "{}", "hello", "[day]\n", DEMO, "\u{feff}", &noise, &many] {
        let (say, refused, answer) = page.wish(&bring(text));
        let head: String = text.chars().take(20).collect();
        assert!(refused, "{head:?}: {say}");
        assert!(say.contains("nothing was changed"), "{head:?}: {say}");
        assert_eq!(node(&answer, "proved"), there, "{head:?}: what was there stays");
    }
    let large = "#".repeat(READINGS_LARGEST + 1);
    let body = json!({ "seq": 1, "intent": bring(&large) }).to_string().into_bytes();
    assert_eq!(page.through(&own("/do", body)).status, 400, "too large to be meant");
    let body = b"{\"seq\":1,\"intent\":{\"do\":\"readings\",\"name\":\"a\",\"text\":\"\xff\"}}";
    assert_eq!(page.through(&own("/do", body.to_vec())).status, 400, "no text at all");
    assert_eq!(proved(&mut page), there, "it is all still there");
    assert_eq!(page.files().len(), 1, "nothing was written");
}

#[test]
fn the_script_counts_as_the_program_does() {
    let paper = include_str!("../assets/paper.js");
    let per_mm = format!("PIXELS_PER_MM = {};", drawing::pictures::Setting::PIXELS_PER_MM);
    assert!(paper.contains(&per_mm), "{per_mm} is not in the script");
    let readings = include_str!("../assets/readings.js");
    let largest = format!("LARGEST = {} * 1024;", READINGS_LARGEST / 1024);
    assert!(readings.contains(&largest), "{largest} is not in the script");
}

#[test]
fn a_line_that_is_not_understood_is_told_with_its_number() {
    let mut page = Page::of(DEMO, false);
    proved(&mut page);
    let (say, refused, answer) = page.wish(&bring("A1 = \"6.3 V\"\nA9 = \"6.3 V\"\n"));
    assert!(!refused && say.contains("One line was not understood"), "{say}");
    assert!(node(&answer, "proved").contains("line 2: "), "where it stands");
}
