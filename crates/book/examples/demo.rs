//! Prints the book of a demo rig: `cargo run -p book --example demo alder-fen 1 letter > book.html`;
//! with `folder` after the paper its hand-over folder.

#[path = "../tests/rigs/mod.rs"]
mod rigs;

use book::book::{write_book, write_hand_over};
use book::paper::Paper;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [rig, stage, paper, what @ ..] = words.as_slice() else { return };
    let Ok(stage) = stage.parse() else { return };
    let paper = if paper == "a4" { Paper::A4 } else { Paper::Letter };
    let all = rigs::Worked::all(&rigs::design(rig));
    let Some(worked) = all.get::<usize>(stage) else { return };
    #[expect(clippy::print_stdout, reason = "the book is what this example is for")]
    {
        let folder = what.first().is_some_and(|w| w == "folder");
        let write = if folder { write_hand_over } else { write_book };
        print!("{}", worked.with(paper, write));
    }
}
