//! What the page asks for: small typed wishes, read from JSON.

use serde::Deserialize;

/// No box is longer than this, so no wish reaches further [mm].
const REACH_MM: f64 = 100_000.0;
/// The paper that a browser window may be, in its own pixels.
const WINDOW: std::ops::RangeInclusive<f64> = 200.0..=6000.0;
/// The longest name or value that the page sends.
const TEXT_LONGEST: usize = 400;
/// The largest file of readings; the script has the same limit [bytes].
pub(super) const READINGS_LARGEST: usize = 256 * 1024;

/// One request of the script.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Asked {
    /// Counted up by the script, so that it can tell a stale answer.
    pub(super) seq: u64,
    /// The sheet that the page shows, as the last answer numbered it.
    #[serde(default)]
    pub(super) on: Option<u64>,
    /// Width and height of the window left for the plan [px].
    #[serde(default)]
    pub(super) window: Option<[f64; 2]>,
    /// The hand rests: what is only tried is worked through as if it were put down.
    #[serde(default)]
    pub(super) rest: bool,
    /// What is wished for.
    pub(super) intent: Intent,
}

/// One wish.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum Intent {
    /// Only show it again, in this window.
    Look {},
    /// Open or close a strip.
    Strip { name: StripName, open: bool },
    /// Show another stage.
    Stage { name: String },
    /// Every weather year, now that nothing moves.
    Full {},
    /// The other unit system.
    Units {},
    /// Nights of this month; 0 is the trip's own or the worst.
    Month { month: u32 },
    /// Tell about a thing.
    Touch { kind: ThingKind, id: String },
    /// Explain a word of the trade.
    Word { word: String },
    /// Tell about nothing any more.
    Leave {},
    /// Move a block by millimetres from where it lies.
    Move {
        block: String,
        dx: f64,
        dy: f64,
        #[serde(default)]
        fine: bool,
        commit: bool,
    },
    /// Turn a block a quarter, anticlockwise.
    Turn { block: String },
    /// One string more, or the last one less.
    Strings { more: bool },
    /// One block more in every string.
    Longer {},
    /// The string of a block away.
    Away { block: String },
    /// The place of a block away from every string.
    Shorter { block: String },
    /// Move the lead end on one post to another.
    End { from: String, to: String, commit: bool },
    /// Move the box along the vehicle by millimetres, backwards positive; or across a boat, to
    /// starboard positive.
    Slide {
        by: f64,
        #[serde(default)]
        across: bool,
        commit: bool,
    },
    /// Make a lead of another size; an empty one leaves it to the tool.
    Size { lead: String, size: String },
    /// Hours a day of a load, as a person writes them.
    Hours { load: String, hours: String },
    /// One step back.
    Undo {},
    /// One step forward again.
    Redo {},
    /// Write the file.
    Save {},
    /// The file has changed on disk: which one goes on.
    Settle { keep: Side },
    /// Work that was not saved: take it up or leave it.
    Restore { take: bool },
    /// Judge a file of readings.
    Readings { name: String, text: String },
    /// Keep that file beside the design.
    KeepReadings {},
    /// Judge it no more.
    DropReadings {},
    /// Keep the rig as it is now to compare with, or stop comparing.
    Copy { keep: bool },
    /// Show the other of the two copies.
    Swap {},
    /// Nothing is wished for any more: what was only tried goes back.
    Drop {},
}

/// A strip below the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum StripName {
    Share,
    Leads,
    Weights,
    Nights,
    Shopping,
    Steps,
    Proved,
    TakeAway,
    Keys,
}

/// What can be touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum ThingKind {
    Block,
    Post,
    Lead,
    Device,
    Finding,
}

/// Whose text goes on after a conflict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Side {
    Mine,
    Theirs,
}

/// Reads what the script sent, or says what cannot be meant.
pub(super) fn read(body: &[u8]) -> Result<Asked, String> {
    let asked: Asked = serde_json::from_slice(body)
        .map_err(|e| format!("That is nothing this page can do: {e}."))?;
    sound(&asked)?;
    Ok(asked)
}

fn sound(asked: &Asked) -> Result<(), String> {
    if let Some(window) = asked.window
        && !window.iter().all(|px| WINDOW.contains(px))
    {
        return Err("No window is that large or small.".to_owned());
    }
    let near = |mm: &f64| mm.is_finite() && mm.abs() <= REACH_MM;
    let (lengths, texts): (Vec<f64>, Vec<&String>) = match &asked.intent {
        Intent::Move { block, dx, dy, .. } => (vec![*dx, *dy], vec![block]),
        Intent::Slide { by, .. } => (vec![*by], vec![]),
        Intent::Turn { block } | Intent::Away { block } | Intent::Shorter { block } => {
            (vec![], vec![block])
        }
        Intent::End { from, to, .. } => (vec![], vec![from, to]),
        Intent::Size { lead, size } => (vec![], vec![lead, size]),
        Intent::Hours { load, hours } => (vec![], vec![load, hours]),
        Intent::Stage { name } => (vec![], vec![name]),
        Intent::Touch { id, .. } => (vec![], vec![id]),
        Intent::Word { word } => (vec![], vec![word]),
        Intent::Readings { text, .. } if READINGS_LARGEST < text.len() => {
            return Err("No file of readings is that large.".to_owned());
        }
        Intent::Readings { name, .. } => (vec![], vec![name]),
        Intent::Month { month } if 12 < *month => {
            return Err("A year has twelve months.".to_owned());
        }
        _ => (vec![], vec![]),
    };
    if !lengths.iter().all(near) {
        return Err("No box is that large.".to_owned());
    }
    if texts.iter().any(|t| TEXT_LONGEST < t.len()) {
        return Err("No name is that long.".to_owned());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{Intent, read};

    #[track_caller]
    fn check(json: &str, want: Intent) {
        let got = read(json.as_bytes()).expect("this can be meant");
        assert_eq!(got.intent, want, "{json}");
    }

    #[test]
    fn wishes_are_read() {
        check(r#"{"seq":1,"intent":{"do":"undo"}}"#, Intent::Undo {});
        check(
            r#"{"seq":2,"window":[940,500],"intent":{"do":"move","block":"A1","dx":10,"dy":-2.5,"commit":false}}"#,
            Intent::Move { block: "A1".to_owned(), dx: 10.0, dy: -2.5, fine: false, commit: false },
        );
        check(r#"{"seq":3,"intent":{"do":"strings","more":true}}"#, Intent::Strings { more: true });
    }

    #[test]
    fn what_cannot_be_meant_is_refused_in_words() {
        for json in [
            "",
            "[]",
            "{",
            r#"{"seq":-1,"intent":{"do":"undo"}}"#,
            r#"{"seq":1,"intent":{"do":"format-disk"}}"#,
            r#"{"seq":1,"intent":{"do":"undo","twice":true}}"#,
            r#"{"seq":1,"intent":{"do":"move","block":"A1","dx":1e300,"dy":0,"commit":true}}"#,
            r#"{"seq":1,"window":[1,1],"intent":{"do":"look"}}"#,
            r#"{"seq":1,"intent":{"do":"month","month":13}}"#,
        ] {
            let refused = read(json.as_bytes()).expect_err("nothing can be meant");
            assert!(refused.ends_with('.'), "{json}: a sentence: {refused}");
        }
    }
}
