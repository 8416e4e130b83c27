//! Prints the specimen as PDF: `cargo run -p drawing --example specimen_pdf > specimen.pdf`.

#[path = "../tests/specimen_scene/mod.rs"]
mod specimen_scene;

use std::io::Write;

fn main() -> std::io::Result<()> {
    std::io::stdout().write_all(&drawing::pdf::single(&specimen_scene::specimen()))
}
