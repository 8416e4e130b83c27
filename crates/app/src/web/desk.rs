//! What lies on the desk: a design, or the choice of one.

use super::session::Session;
use super::store::Store;
use crate::command::start;
use crate::failure::Failure;
use crate::files;
use engine::evidence::Evidence;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Names tried for a new design.
const NAMES_TRIED: u32 = 1000;
/// The longest name of a new file.
const NAME_LONGEST: usize = 40;

/// A demo rig, built into the program.
#[derive(Debug)]
pub(crate) struct Demo {
    /// The stem of its file.
    pub(crate) name: &'static str,
    /// What it is called.
    pub(crate) title: &'static str,
    /// What it is.
    pub(crate) says: &'static str,
    text: &'static str,
}

#[cfg(test)]
impl Demo {
    /// Its design file.
    pub(crate) const fn text(&self) -> &'static str {
        self.text
    }
}

/// The demo rigs.
pub(crate) const DEMOS: [Demo; 3] = [
    Demo {
        name: "alder-fen",
        title: "Alder Fen",
        says: "a survey trailer: six flooded 6 V blocks, 12 V, five stages",
        text: include_str!("../../../../examples/alder-fen.toml"),
    },
    Demo {
        name: "withy-reach",
        title: "Withy Reach",
        says: "a canal boat workshop: twelve 2 V AGM blocks, 24 V",
        text: include_str!("../../../../examples/withy-reach.toml"),
    },
    Demo {
        name: "rime-hollow",
        title: "Rime Hollow",
        says: "a hill cabin: two 51.2 V LFP modules, 48 V",
        text: include_str!("../../../../examples/rime-hollow.toml"),
    },
];

/// The desk.
#[derive(Debug)]
pub(crate) enum Desk {
    /// Nothing yet: what is chosen is written into this folder.
    Empty {
        /// Where a new design is written.
        folder: PathBuf,
        /// Nothing is written at all.
        read_only: bool,
    },
    /// A design.
    Sheet(Box<Session>),
}

/// How a design is begun.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
enum Begin {
    /// With a demo.
    Demo { name: String },
    /// With the answers of the interview, by the name of each question.
    Start { answers: BTreeMap<String, String> },
}

impl Desk {
    /// Begins a design as asked; afterwards it lies on the desk.
    pub(super) fn begin(&mut self, body: &[u8]) -> Result<(), String> {
        let Self::Empty { folder, read_only } = self else {
            return Err("A design lies on the desk already.".to_owned());
        };
        let begin: Begin =
            serde_json::from_slice(body).map_err(|e| format!("That begins nothing: {e}."))?;
        let (stem, text) = match begin {
            Begin::Demo { name } => {
                let demo = DEMOS.iter().find(|d| d.name == name);
                let demo = demo.ok_or_else(|| "There is no such demo.".to_owned())?;
                (demo.name.to_owned(), demo.text.to_owned())
            }
            Begin::Start { answers } => {
                let text = start::text_of(&answers)
                    .map_err(|f| f.one_line().trim_start_matches('-').to_owned())?;
                (stem(answers.get("name").map_or("", String::as_str)), text)
            }
        };
        let session = if *read_only {
            let store = Store::in_hand(&folder.join(format!("{stem}.toml")), &text);
            Session::on(store, None, Evidence::default())
        } else {
            written(folder, &stem, &text).and_then(|path| Session::open(&path, false))
        };
        *self = Self::Sheet(Box::new(session.map_err(|f| f.one_line())?));
        Ok(())
    }
}

/// Writes a new design under the first name that is free.
fn written(folder: &Path, stem: &str, text: &str) -> Result<PathBuf, Failure> {
    let mut last = None;
    for number in 1..=NAMES_TRIED {
        let number = if number == 1 { String::new() } else { format!("-{number}") };
        let path = folder.join(format!("{stem}{number}.toml"));
        match files::write_whole(&path, text.as_bytes(), false) {
            Ok(()) => return Ok(path),
            Err(failure) if failure.is_already_there() => last = Some(failure),
            Err(failure) => return Err(failure),
        }
    }
    Err(last.unwrap_or_else(|| Failure::already_there(folder)))
}

/// A file name from the name of a rig: small letters, figures and dashes.
pub(super) fn stem(name: &str) -> String {
    let mut stem = String::new();
    for c in name.to_lowercase().chars().take(NAME_LONGEST) {
        match c {
            c if c.is_ascii_alphanumeric() => stem.push(c),
            _ if !stem.is_empty() && !stem.ends_with('-') => stem.push('-'),
            _ => {}
        }
    }
    let stem = stem.trim_end_matches('-');
    if stem.is_empty() { "my-rig".to_owned() } else { stem.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::{DEMOS, Desk, stem};
    use tempfile::TempDir;

    fn empty(read_only: bool) -> (TempDir, Desk) {
        let folder = TempDir::new().expect("a folder");
        let desk = Desk::Empty { folder: folder.path().to_owned(), read_only };
        (folder, desk)
    }

    fn names(folder: &TempDir) -> Vec<String> {
        let all = std::fs::read_dir(folder.path()).expect("it can be listed");
        let mut names: Vec<String> =
            all.filter_map(|e| Some(e.ok()?.file_name().to_string_lossy().into_owned())).collect();
        names.sort();
        names
    }

    #[test]
    fn each_demo_opens_as_a_file_of_its_own() {
        for demo in DEMOS {
            let (folder, mut desk) = empty(false);
            let body = format!(r#"{{"do":"demo","name":"{}"}}"#, demo.name);
            desk.begin(body.as_bytes()).expect("it begins");
            assert!(matches!(desk, Desk::Sheet(_)), "it lies on the desk");
            assert_eq!(names(&folder), [format!("{}.toml", demo.name)], "one file");
            let mut again = Desk::Empty { folder: folder.path().to_owned(), read_only: false };
            again.begin(body.as_bytes()).expect("a second one");
            assert_eq!(names(&folder).len(), 2, "never over the first");
        }
    }

    #[test]
    fn answers_make_a_design_and_bad_ones_are_told() {
        let (folder, mut desk) = empty(false);
        let body = r#"{"do":"start","answers":{"name":"Oak Barge!","kind":"boat","block":"12 V, 110 Ah"}}"#;
        let refused = desk.begin(body.as_bytes()).expect_err("no hours on the label");
        assert!(refused.contains("over how many hours"), "{refused}");
        assert!(names(&folder).is_empty(), "nothing was written");
        let body = r#"{"do":"start","answers":{"name":"Oak Barge!","kind":"boat","block":"12 V, 110 Ah at 20 h","case":""}}"#;
        desk.begin(body.as_bytes()).expect("it begins");
        assert_eq!(names(&folder), ["oak-barge.toml"], "named after the rig");
    }

    #[test]
    fn a_page_that_only_reads_writes_no_new_design() {
        let (folder, mut desk) = empty(true);
        desk.begin(br#"{"do":"demo","name":"alder-fen"}"#).expect("it begins");
        assert!(matches!(desk, Desk::Sheet(_)), "it lies on the desk");
        assert!(names(&folder).is_empty(), "and on no disk");
        assert!(desk.begin(b"{}").is_err(), "nothing is begun twice");
    }

    #[test]
    fn any_name_makes_a_file_name() {
        for (name, want) in [
            ("Alder Fen", "alder-fen"),
            ("../../etc/passwd", "etc-passwd"),
            ("", "my-rig"),
            ("åß", "my-rig"),
            ("  A--B  ", "a-b"),
        ] {
            assert_eq!(stem(name), want, "{name}");
        }
    }
}
