//! Prints the sheet with every mark as SVG: `cargo run -p drawing --example specimen > specimen.svg`.

#[path = "../tests/specimen_scene/mod.rs"]
mod specimen_scene;

use drawing::svg::{Setting, svg};

fn main() {
    #[expect(clippy::print_stdout, reason = "the picture is what this example is for")]
    {
        print!("{}", svg(&specimen_scene::specimen(), Setting::Standalone));
    }
}
