//! Writes every picture of a rig's fit into a folder as SVG and PDF:
//! `cargo run -p drawing --example fit_pictures RIG.toml STAGE PAPER FOLDER`.

#[path = "../tests/fits/mod.rs"]
mod fits;

use drawing::pictures::Setting;
use drawing::svg::{self, svg};
use engine::facts::Ambient;
use engine::fit::Fit;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

#[expect(clippy::disallowed_methods, reason = "an example reads and writes files")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [rig, stage, paper, folder] = words.as_slice() else {
        return Err("RIG.toml STAGE PAPER FOLDER are wanted".into());
    };
    let read = design_file::read::read(&std::fs::read_to_string(rig)?);
    let design = read.design.ok_or("the rig does not read")?;
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let tables = Tables::load()?;
    let study = Study::of(&design, stage.parse()?, &tables, ambient)?;
    let fit = Fit::of(&study, &design, &tables);
    let paper = if paper == "phone" { Setting::phone } else { Setting::portrait };
    for (name, scene) in fits::pictures(&study, &fit, paper) {
        std::fs::write(format!("{folder}/{name}.svg"), svg(&scene, svg::Setting::Standalone))?;
        std::fs::write(format!("{folder}/{name}.pdf"), drawing::pdf::single(&scene))?;
        for fault in drawing::check::faults(&scene) {
            #[expect(clippy::print_stderr, reason = "what is wrong with it is told")]
            {
                eprintln!("{name}: {fault}");
            }
        }
    }
    Ok(())
}
