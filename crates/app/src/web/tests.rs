//! The page as a browser uses it and as nobody should, without a socket.

mod away;
mod figures;

use super::desk::Desk;
use super::gate::{BODY_LARGEST, Gate};
use super::route::respond;
use super::session::Session;
use super::wire::{Request, Response};
use crate::args::RigArgs;
use crate::out::Source;
use crate::rig::Rig;
use engine::report::Report;
use serde_json::{Value, json};
use std::path::PathBuf;
use tempfile::TempDir;

const DEMO: &str = include_str!("../../../../examples/alder-fen.toml");
const PORT: u16 = 4711;

/// A page on a copy of a design, with its gate already open.
struct Page {
    folder: TempDir,
    desk: Desk,
    gate: Gate,
    seq: u64,
}

impl Page {
    fn of(text: &str, read_only: bool) -> Self {
        let folder = TempDir::new().expect("a folder");
        std::fs::write(folder.path().join("rig.toml"), text).expect("it can be written");
        let mut page = Self {
            desk: Desk::Empty { folder: folder.path().to_owned(), read_only },
            folder,
            gate: Gate::new(PORT, "token".to_owned(), "key".to_owned()),
            seq: 0,
        };
        page.reopen(read_only);
        page
    }

    /// As after a crash: what was in memory is gone.
    fn reopen(&mut self, read_only: bool) {
        let session = Session::open(&self.path(), read_only).expect("the design opens");
        self.desk = Desk::Sheet(Box::new(session));
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("rig.toml")
    }

    fn on_disk(&self) -> String {
        std::fs::read_to_string(self.path()).expect("it is there")
    }

    /// Name and text of everything in the folder.
    fn files(&self) -> Vec<(String, String)> {
        let all = std::fs::read_dir(self.folder.path()).expect("it can be listed");
        let mut all: Vec<(String, String)> = all
            .filter_map(Result::ok)
            .map(|e| {
                let name = e.file_name().to_string_lossy().into_owned();
                (name, std::fs::read_to_string(e.path()).unwrap_or_default())
            })
            .collect();
        all.sort();
        all
    }

    /// A request through gate and route.
    fn through(&mut self, request: &Request) -> Response {
        match self.gate.admit(request) {
            Ok(()) => respond(&mut self.desk, request),
            Err(refused) => *refused,
        }
    }

    /// A wish as the script sends it; what is said, and whether it was refused.
    fn wish(&mut self, intent: &Value) -> (String, bool, Value) {
        self.asked(intent, false)
    }

    /// The same of a hand that rests, or does not.
    fn asked(&mut self, intent: &Value, rest: bool) -> (String, bool, Value) {
        self.seq += 1;
        let body = json!({ "seq": self.seq, "window": [900, 560], "rest": rest, "intent": intent });
        let response = self.through(&own("/do", body.to_string().into_bytes()));
        let told = String::from_utf8_lossy(&response.body).into_owned();
        assert_eq!(response.status, 200, "{intent}: {told}");
        let answer: Value = serde_json::from_str(&told).expect("JSON");
        assert_eq!(answer["seq"], self.seq, "it answers what was asked");
        let say = answer["say"].as_str().unwrap_or_default().to_owned();
        (say, answer["refused"] == true, answer)
    }

    /// A wish that is granted.
    #[track_caller]
    fn done(&mut self, intent: &Value) -> Value {
        let (say, refused, answer) = self.wish(intent);
        assert!(!refused, "{intent}: {say}");
        answer
    }
}

/// A POST of the page itself.
fn own(path: &str, body: Vec<u8>) -> Request {
    Request {
        method: "POST".to_owned(),
        path: path.to_owned(),
        query: None,
        host: Some(format!("127.0.0.1:{PORT}")),
        origin: Some(format!("http://127.0.0.1:{PORT}")),
        cookie: Some(format!("bankwright-{PORT}=key")),
        content_type: Some("application/json".to_owned()),
        fetch_site: Some("same-origin".to_owned()),
        body: Some(body),
    }
}

fn node<'a>(answer: &'a Value, id: &str) -> &'a str {
    let nodes = answer["nodes"].as_array().expect("pieces");
    nodes.iter().find(|n| n["id"] == id).and_then(|n| n["html"].as_str()).unwrap_or_default()
}

#[test]
fn a_block_is_dragged_turned_undone_and_saved_with_comments() {
    let mut page = Page::of(DEMO, false);
    let rest = page.done(&json!({ "do": "look" }));
    let drag = |dx: i32, commit: bool| json!({ "do": "move", "block": "C1", "dx": dx, "dy": 0, "fine": true, "commit": commit });
    let tried = page.done(&drag(4, false));
    assert_ne!(node(&rest, "plan"), node(&tried, "plan"), "the plan follows");
    assert_eq!(page.files().len(), 1, "what is only tried is on no disk");
    page.done(&drag(4, true));
    assert_eq!(page.files().len(), 2, "what is not saved lies beside");
    page.done(&json!({ "do": "turn", "block": "C2" }));
    page.done(&json!({ "do": "undo" }));
    page.done(&json!({ "do": "undo" }));
    assert_eq!(page.files().len(), 1, "nothing is unsaved");
    let (say, refused, _) = page.wish(&json!({ "do": "undo" }));
    assert!(refused && say.contains("nothing to undo"), "{say}");
    page.done(&json!({ "do": "redo" }));
    page.done(&json!({ "do": "save" }));
    let text = page.on_disk();
    assert_ne!(text, DEMO, "it is another design");
    for line in DEMO.lines() {
        assert!(text.contains(line), "this line is gone: {line}");
    }
    assert_eq!(page.files().len(), 1, "nothing is unsaved");
}

#[test]
fn steps_by_keys_are_undone_at_once() {
    let mut page = Page::of(DEMO, false);
    let step =
        json!({ "do": "move", "block": "A1", "dx": 0, "dy": 1, "fine": true, "commit": true });
    for _ in 0..3 {
        page.done(&step);
    }
    page.done(&json!({ "do": "undo" }));
    let (_, refused, _) = page.wish(&json!({ "do": "undo" }));
    assert!(refused, "three steps were one");
}

#[test]
fn work_that_was_not_saved_is_offered_again() {
    let mut page = Page::of(DEMO, false);
    page.done(&json!({ "do": "size", "lead": "plus 2", "size": "4/0 AWG" }));
    page.reopen(false);
    let shown = page.done(&json!({ "do": "look" }));
    assert!(node(&shown, "asks").contains("not saved"), "it is offered");
    let (_, refused, _) = page.wish(&json!({ "do": "turn", "block": "A1" }));
    assert!(refused, "nothing is changed before it is decided");
    page.done(&json!({ "do": "restore", "take": true }));
    page.done(&json!({ "do": "save" }));
    assert!(page.on_disk().contains("4/0 AWG"), "nothing was lost");
    page.done(&json!({ "do": "size", "lead": "plus 2", "size": "3/0 AWG" }));
    page.reopen(false);
    page.done(&json!({ "do": "restore", "take": false }));
    assert_eq!(page.files().len(), 1, "left for good");
}

#[test]
fn a_file_that_somebody_changed_is_kept_beside_ours() {
    for keep in ["mine", "theirs"] {
        let mut page = Page::of(DEMO, false);
        page.done(&json!({ "do": "size", "lead": "plus 2", "size": "4/0 AWG" }));
        let theirs = DEMO.replace("budget = 2400", "budget = 2500");
        std::fs::write(page.path(), &theirs).expect("somebody else");
        let (say, refused, answer) = page.wish(&json!({ "do": "save" }));
        assert!(refused && say.contains("Somebody else"), "{say}");
        assert!(node(&answer, "asks").contains("budget = 2500"), "both are shown");
        assert_eq!(page.on_disk(), theirs, "nothing was written over");
        page.done(&json!({ "do": "settle", "keep": keep }));
        let texts: Vec<String> = page.files().into_iter().map(|f| f.1).collect();
        assert!(texts.contains(&theirs), "{keep}: theirs is kept");
        assert!(texts.iter().any(|t| t.contains("4/0 AWG")), "{keep}: ours is kept");
        let ours_stands = page.on_disk().contains("4/0 AWG");
        assert_eq!(ours_stands, keep == "mine", "{keep} goes on");
    }
}

#[test]
fn a_what_if_shows_only_what_differs() {
    let mut page = Page::of(DEMO, false);
    page.done(&json!({ "do": "copy", "keep": true }));
    let same = page.done(&json!({ "do": "look" }));
    assert!(node(&same, "compare").contains("No figure differs"), "nothing was changed yet");
    let answer = page.done(&json!({ "do": "end", "from": "C2 -", "to": "A2 -", "commit": true }));
    let shown = node(&answer, "compare");
    assert!(shown.contains("spread between strings"), "{shown}");
    assert!(!shown.contains("lead brake feed"), "what is alike is not told");
    page.done(&json!({ "do": "swap" }));
    page.done(&json!({ "do": "save" }));
    assert_eq!(page.on_disk(), DEMO, "the one on the sheet is saved");
}

#[test]
fn a_what_if_is_there_again_after_a_crash() {
    let mut page = Page::of(DEMO, false);
    page.done(&json!({ "do": "copy", "keep": true }));
    page.done(&json!({ "do": "end", "from": "C2 -", "to": "A2 -", "commit": true }));
    let before = node(&page.done(&json!({ "do": "look" })), "compare").to_owned();
    page.reopen(false);
    page.done(&json!({ "do": "restore", "take": true }));
    let after = page.done(&json!({ "do": "look" }));
    assert_eq!(node(&after, "compare"), before, "the same two, side by side");
    page.done(&json!({ "do": "swap" }));
    page.reopen(false);
    let swapped = page.done(&json!({ "do": "look" }));
    assert!(node(&swapped, "compare").contains("spread"), "the other one is on the sheet");
    page.done(&json!({ "do": "copy", "keep": false }));
    assert_eq!(page.files().len(), 1, "nothing is left beside the design");
}

#[test]
fn an_entry_of_the_log_is_seen_while_the_page_is_open() {
    let mut page = Page::of(DEMO, false);
    let first = page.done(&json!({ "do": "look" }));
    let log = page.path().with_extension("log.sqlite");
    let mut store = crate::log::store::Store::open_or_make(&log).expect("a log can be begun");
    let entry =
        design_file::log_text::entry("2026-05-03 09:00, A1.2, gravity, 1.150, fluid 25 C", 1);
    store.add("add", "2026-05-03 09:01", &[entry.expect("an entry")]).expect("it is added");
    drop(store);
    let next = page.done(&json!({ "do": "look" }));
    assert_ne!(node(&first, "notes"), node(&next, "notes"), "what the log says is told");
}

#[test]
fn any_string_or_place_can_go_and_what_is_said_of_the_others_stays_theirs() {
    let text = DEMO.replace(
        "[box]\nstage",
        "[bank.B1]\nage = \"1 year\"\n\n[bank.C2]\nage = \"2 years\" # the newest\n\n[box]\nstage",
    );
    let mut page = Page::of(&text, false);
    page.done(&json!({ "do": "away", "block": "B2" }));
    page.done(&json!({ "do": "save" }));
    let saved = page.on_disk();
    assert!(saved.contains("[bank.B2]\nage = \"2 years\" # the newest"), "C is B now: {saved}");
    assert!(!saved.contains("1 year\""), "what was said of B is gone: {saved}");
    assert!(saved.contains("parallel = 2") && saved.contains("from = \"A1 +\""), "{saved}");
    let (say, refused, _) = page.wish(&json!({ "do": "away", "block": "A1" }));
    let told = say.replace('\u{a0}', " ");
    assert!(!refused && told.contains("lead brake feed is on A1 + now"), "{say}");
    let (say, refused, _) = page.wish(&json!({ "do": "away", "block": "A1" }));
    assert!(refused && say.contains("one string at least"), "{say}");
    page.done(&json!({ "do": "shorter", "block": "A1" }));
    let answer = page.done(&json!({ "do": "longer" }));
    assert!(node(&answer, "head").contains("2 in series"), "shorter and longer again");
    for _ in 0..4 {
        page.done(&json!({ "do": "undo" }));
    }
    page.done(&json!({ "do": "save" }));
    assert_eq!(page.on_disk(), text, "every byte is back");
}

#[test]
fn a_string_more_lies_free_where_blocks_lie_by_hand() {
    let mut page = Page::of(DEMO, false);
    page.done(&json!({ "do": "turn", "block": "C1" }));
    page.done(&json!({ "do": "undo" }));
    page.done(
        &json!({ "do": "move", "block": "C1", "dx": 1, "dy": 0, "fine": true, "commit": true }),
    );
    let (say, refused, answer) = page.wish(&json!({ "do": "strings", "more": true }));
    assert!(!refused && say.contains("D1, D2 lie beside it"), "{say}");
    let notes = node(&answer, "notes");
    assert!(!notes.contains("in one another"), "none lies on another");
    assert!(notes.contains("Block D1 stands outside the box"), "and it is said where: {notes}");
    assert!(!notes.contains("in a wall"), "no wall is as thick as that: {notes}");
}

#[test]
fn no_two_things_on_the_page_have_the_same_id() {
    for demo in super::desk::DEMOS {
        let mut page = Page::of(demo.text(), true);
        for name in ["share", "leads", "weights", "nights", "shopping", "steps", "proved"] {
            page.done(&json!({ "do": "strip", "name": name, "open": true }));
        }
        let mut get = own("/", Vec::new());
        get.method = "GET".to_owned();
        let html = String::from_utf8(page.through(&get).body).expect("text");
        let ids = html.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next());
        let mut seen = std::collections::BTreeSet::new();
        for id in ids {
            assert!(seen.insert(id.to_owned()), "{}: two are called {id}", demo.name);
        }
        assert!(40 < seen.len(), "{}: {} in all", demo.name, seen.len());
    }
}

#[test]
fn a_page_that_only_reads_leaves_the_folder_as_it_was() {
    let mut page = Page::of(DEMO, true);
    let before = page.files();
    page.done(&json!({ "do": "turn", "block": "A1" }));
    let (say, refused, _) = page.wish(&json!({ "do": "save" }));
    assert!(refused && say.contains("read only"), "{say}");
    assert_eq!(page.files(), before, "nothing was written");
}

#[test]
fn every_view_is_drawn_for_every_demo_stage_and_window() {
    for demo in super::desk::DEMOS {
        let folder = TempDir::new().expect("a folder");
        let mut desk = Desk::Empty { folder: folder.path().to_owned(), read_only: true };
        let body = json!({ "do": "demo", "name": demo.name }).to_string().into_bytes();
        assert_eq!(respond(&mut desk, &own("/begin", body)).status, 204, "{} begins", demo.name);
        let look = json!({ "seq": 1, "window": [330, 560], "intent": { "do": "look" } });
        let answer = respond(&mut desk, &own("/do", look.to_string().into_bytes()));
        let html = String::from_utf8(answer.body).expect("text");
        assert!(html.contains("data-block"), "{}: blocks to take hold of", demo.name);
        assert!(
            !html.contains("style=\\\""),
            "{}: the policy lets no style stand in a tag",
            demo.name
        );
        let whole =
            respond(&mut desk, &Request { method: "GET".to_owned(), ..own("/", Vec::new()) });
        let html = String::from_utf8(whole.body).expect("text");
        assert!(!html.contains(" style="), "{}: nor in the page", demo.name);
        assert!(!html.contains("<script>"), "{}: nor any script", demo.name);
    }
}

/// What the command line says of the file as it was saved.
fn rig(path: PathBuf) -> Rig {
    let args = RigArgs {
        rig: path,
        set: Vec::new(),
        stage: None,
        soc: None,
        temperature: None,
        json: true,
        today: None,
    };
    Rig::open(&args).expect("it was saved")
}

/// What the command line writes of a rig.
fn source<'a>(rig: &'a Rig, report: &'a Report) -> Source<'a> {
    Source {
        design: &rig.design,
        report,
        tables: &rig.tables,
        evidence: &rig.evidence,
        recorded: None,
    }
}

/// The same numbers in every run: xorshift with 64 bits (Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below as u64)).unwrap_or(0)
    }

    fn text(&mut self, longest: usize) -> String {
        let signs: Vec<char> = "aZ09 ./\\%\"'{}[]<>&;:=\n\r\t\0ä—𝄞".chars().collect();
        (0..self.next(longest) + 1).map(|_| signs[self.next(signs.len())]).collect()
    }
}

/// A request with one thing wrong with it, and the statuses it may be answered with.
fn malformed(dice: &mut Dice) -> (Request, &'static [u16]) {
    let good = br#"{"seq":1,"intent":{"do":"turn","block":"A1"}}"#.to_vec();
    let mut request = own("/do", good);
    match dice.next(11) {
        0 => {
            request.host = Some(dice.text(30));
            (request, &[421])
        }
        1 => {
            request.origin = Some(dice.text(30));
            (request, &[403])
        }
        2 => {
            request.cookie = Some(dice.text(60));
            (request, &[403])
        }
        3 => {
            request.method = dice.text(8);
            (request, &[405])
        }
        4 => {
            request.path = format!("/{}%{}", dice.text(20), dice.text(20));
            (request, &[400])
        }
        5 => {
            request.path =
                format!("/{}", dice.text(200).replace(|c: char| !c.is_ascii_lowercase(), "q"));
            (request, &[400, 404])
        }
        6 => {
            request.content_type = Some(dice.text(20));
            (request, &[415])
        }
        7 => {
            request.body = None;
            (request, &[413])
        }
        8 => {
            request.body = Some(dice.text(BODY_LARGEST / 64).into_bytes());
            (request, &[400])
        }
        9 => {
            let body = request.body.take().unwrap_or_default();
            let keep = dice.next(body.len());
            request.body = Some(body[..keep].to_vec());
            (request, &[400])
        }
        _ => {
            let intent = json!({ "do": dice.text(12), "block": dice.text(40), "dx": dice.next(9) });
            let body = json!({ "seq": 1, "intent": intent });
            request.body = Some(body.to_string().into_bytes());
            (request, &[400])
        }
    }
}

#[test]
fn ten_thousand_malformed_requests_are_refused_and_nothing_is_written() {
    let mut page = Page::of(DEMO, false);
    let before = page.files();
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    for number in 0..10_000 {
        let (request, statuses) = malformed(&mut dice);
        let response = page.through(&request);
        assert!(
            statuses.contains(&response.status),
            "request {number} is answered with {}: {request:?}",
            response.status
        );
        let says = String::from_utf8(response.body).expect("words");
        assert!(says.trim_end().ends_with('.'), "a sentence: {says}");
    }
    assert_eq!(page.files(), before, "nothing was written");
}

#[test]
fn wishes_that_cannot_be_granted_are_told_and_write_nothing() {
    let mut page = Page::of(DEMO, false);
    let before = page.files();
    for intent in [
        json!({ "do": "move", "block": "Z9", "dx": 1, "dy": 1, "commit": true }),
        json!({ "do": "turn", "block": "" }),
        json!({ "do": "end", "from": "A1 +", "to": "main in", "commit": true }),
        json!({ "do": "end", "from": "B1 -", "to": "C1 -", "commit": true }),
        json!({ "do": "size", "lead": "nobody", "size": "2 AWG" }),
        json!({ "do": "size", "lead": "plus", "size": "\"\n[rig]\nname = \"x" }),
        json!({ "do": "hours", "load": "fridge", "hours": "99 h" }),
        json!({ "do": "hours", "load": "\u{0}", "hours": "1 h" }),
        json!({ "do": "redo" }),
        json!({ "do": "settle", "keep": "mine" }),
        json!({ "do": "restore", "take": true }),
        json!({ "do": "swap" }),
    ] {
        let (say, refused, _) = page.wish(&intent);
        assert!(refused && !say.is_empty(), "{intent}: {say}");
        assert_eq!(page.files(), before, "{intent}: nothing was written");
    }
}
