//! Writes every template of a rig into a folder, as SVG, DXF and PDF on both papers:
//! `cargo run -p drawing --example templates RIG.toml 1 FOLDER`.

#[path = "../tests/kits/mod.rs"]
mod kits;

use drawing::dxf::dxf;
use drawing::pictures::Subject;
use drawing::svg::{self, svg};
use drawing::templates::tile;
use engine::facts::Ambient;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

#[expect(clippy::disallowed_methods, reason = "an example reads and writes files")]
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [rig, stage, folder] = words.as_slice() else {
        return Err("RIG.toml STAGE FOLDER are wanted".into());
    };
    let read = design_file::read::read(&std::fs::read_to_string(rig)?);
    let design = read.design.ok_or("the rig does not read")?;
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(&design, stage.parse()?, &Tables::load()?, ambient)?;
    let kit = kits::fitted(Subject::of(&study));
    for template in kit.templates() {
        let path = |end: &str| format!("{folder}/{}{end}", template.name);
        std::fs::write(path(".svg"), svg(&template.scene, svg::Setting::Standalone))?;
        std::fs::write(path(".dxf"), dxf(&template.scene))?;
        for (word, paper) in [("letter", (215.9, 279.4)), ("a4", (210.0, 297.0))] {
            let bytes = tile::tiled(&template, paper, &design.rig.name);
            std::fs::write(path(&format!("-{word}.pdf")), bytes)?;
            for fault in tile::faults(&template, paper) {
                #[expect(clippy::print_stderr, reason = "what is wrong with it is told")]
                {
                    eprintln!("{} on {word}: {fault}", template.name);
                }
            }
        }
    }
    Ok(())
}
