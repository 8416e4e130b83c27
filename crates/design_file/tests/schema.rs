//! Every key of the schema is explained on the reference page, accepted with the example given
//! there, carried into the design, and leaves everything else as it was.

use design_file::edit::{remove, set};
use design_file::read::read;
use design_file::reference::reference_markdown;
use design_file::render::render;
use design_file::schema::{Field, Kind, Names, Table, bank_side, rig_side, tables};
use engine::model::bank::TakeOff;
use engine::model::block::Chemistry;
use engine::model::device::DeviceKind;
use engine::model::rig::{Practice, RigKind};

const GOOD: &str = include_str!("good.toml");

/// The example of a key as the reference page shows it.
fn documented(page: &str, table: &Table, field: &Field) -> String {
    let heading = match table.path {
        "" => "## Top of the file".to_owned(),
        path => format!("## `[{}]`", path.replace('*', "NAME")),
    };
    let section = page.split(&heading).nth(1).expect("every table has a section");
    let section = section.split("\n## ").next().unwrap_or(section);
    let key = if field.key == "*" { "NAME" } else { field.key };
    let row = section
        .lines()
        .find(|l| l.starts_with(&format!("| `{key}` |")))
        .unwrap_or_else(|| panic!("{}.{} has a row", table.path, field.key));
    assert!(row.contains(field.meaning), "the row of {} says what it means", field.key);
    row.split(" | ").nth(2).expect("an example").trim_matches('`').to_owned()
}

/// A path of the good file that ends at a key of a table.
fn path(table: &Table, field: &Field) -> String {
    let table = match table.path {
        "stage.*" => "stage.sun",
        "block.*" => "block.gc6",
        "bank.*" => "bank.A1",
        "lead.*" => "lead.plus",
        "joint.*" => "joint.3",
        "device.*" => "device.new",
        "hold.*" => "hold.bolts",
        "array.*" => "array.roof",
        "load.*" => "load.fridge",
        "trip.*" => "trip.october",
        "mains.circuit.*" => "mains.circuit.galley",
        "vehicle.out.*" => "vehicle.out.rack",
        "stock.cable.*" => "stock.cable.red",
        "stock.sold.*" => "stock.sold.black",
        "as_built.post.*" => "as_built.post.B2 -",
        single => single,
    };
    let key = if field.key == "*" { "B1" } else { field.key };
    if table.is_empty() { key.to_owned() } else { format!("{table}.{key}") }
}

/// The example, with names that stand in the good file and that are not those there already.
fn value(field: &Field, bank: bool, example: &str) -> String {
    match (field.key, field.kind) {
        ("stage", _) if bank => "sun".to_owned(),
        ("until", _) => "later".to_owned(),
        (_, Kind::Name(Names::Stage)) => "found".to_owned(),
        (_, Kind::Name(Names::Block)) => "old12".to_owned(),
        (_, Kind::Name(Names::Controller)) => "second".to_owned(),
        (_, Kind::Name(Names::Device)) => "meter".to_owned(),
        (_, Kind::Loads) => "[\"lamp\"]".to_owned(),
        ("from", Kind::Terminal) => "B1 +".to_owned(),
        (_, Kind::TakeOff) => "same end".to_owned(),
        (_, Kind::Word(known)) => known.last().map_or(String::new(), |w| (*w).to_owned()),
        (_, Kind::Words(known)) => format!("[\"{}\"]", known.last().unwrap_or(&"")),
        _ => example.to_owned(),
    }
}

/// The good file with the parts that some keys need beside them.
fn ground(field: &Field) -> String {
    let kind = field.only.first().map_or("fuse", |k| k.word());
    let kind = if field.key == "kind" { "fuse" } else { kind };
    format!(
        "{GOOD}\n[obstacle.\"*\"]\nat = [\"400 mm\", \"0 mm\"]\nsize = [\"90 mm\", \"80 mm\"]\n\n[device.new]\nkind = \"{kind}\"\n\n[device.second]\nkind = \"solar controller\"\n\n\
         [load.lamp]\n\n[stage.later]\n\n[stock.sold.black]\nsize = \"2 AWG\"\nlength = \"1 ft\"\n"
    )
}

#[test]
fn every_key_is_documented_accepted_and_carried_into_the_design() {
    let page = reference_markdown();
    let mut count = 0;
    for table in tables() {
        for field in table.all_fields() {
            count += 1;
            let (path, example) = (path(table, field), documented(&page, table, field));
            let value = value(field, table.path == "bank", &example);
            let before = ground(field);
            let edited = set(&before, &path, &value, None)
                .unwrap_or_else(|f| panic!("{path} = {value}: {}", f.one_line()));
            let got = read(&edited);
            assert!(got.faults.is_empty(), "{path}: {}", render(&edited, "x", &got.faults));
            let ground = read(&before);
            let was = ground.design;
            // Where the example is what stands there already, another value must move the design.
            let moves = |text: &str| read(text).design != was;
            let other = [
                "false",
                "1",
                "3",
                "115 min RC",
                "2 AWG",
                "4 AWG",
                "-0.2 %",
                "4 %",
                "2 m",
                "9 mm",
                "180 deg",
                "1 h",
                "5 C",
                "60 C",
                "70 A",
                "2 in2",
                "[\"x\"]",
                "another",
                "7 Nm",
                "4 mohm",
            ];
            let moved = got.design != was
                || other.iter().any(|v| set(&before, &path, v, None).is_ok_and(|t| moves(&t)));
            // Only the version of the layout is not part of a design.
            assert_eq!(moved, field.key != "format", "{path} = {value} reaches the design");
            if ground.spans.get(&path).is_none() && !path.starts_with("bank") {
                let back = remove(&edited, &path, None).expect("it was just put there");
                let left = read(&back).design;
                let new_table = [
                    "joint.3",
                    "mains.circuit.galley",
                    "as_built.post.B2 -",
                    "storage.",
                    "vehicle.axle.",
                ];
                let alone = left != was && new_table.iter().any(|t| path.starts_with(t));
                // What is left of a new table is its bare header.
                assert!(alone || left == was, "{path}: every other value is as it was");
            }
        }
    }
    assert!(count > 200, "{count} keys were tried");
}

#[test]
fn the_words_of_the_schema_are_those_of_the_engine() {
    let kinds: Vec<&str> = DeviceKind::WORDS.iter().map(|w| w.0).collect();
    assert_eq!(bank_side::DEVICE_KINDS[..], kinds, "device kinds");
    let words: Vec<&str> = Chemistry::ALL.iter().map(|c| c.word()).collect();
    assert_eq!(bank_side::CHEMISTRIES[..], words, "chemistries");
    let words: Vec<&str> = RigKind::ALL.iter().map(|k| k.word()).collect();
    assert_eq!(rig_side::RIG_KINDS[..], words, "rig kinds");
    let words: Vec<&str> = Practice::ALL.iter().map(|p| p.word()).collect();
    assert_eq!(rig_side::PRACTICES[..], words, "practices");
}

#[test]
fn two_busbars_are_told_from_two_posts() {
    let bars =
        "\n[device.\"plus bar\"]\nkind = \"busbar\"\n[device.\"minus bar\"]\nkind = \"busbar\"\n";
    let text = format!("{GOOD}{bars}");
    for (takeoff, want) in [
        (
            "{ plus = \"plus bar\", minus = \"minus bar\" }",
            TakeOff::Busbars { plus: "plus bar".to_owned(), minus: "minus bar".to_owned() },
        ),
        (
            "{ plus = \"A1 +\", minus = \"B2 -\" }",
            TakeOff::Posts {
                plus: engine::model::lead::Terminal::from_text("A1 +").expect("a post"),
                minus: engine::model::lead::Terminal::from_text("B2 -").expect("a post"),
            },
        ),
    ] {
        let edited = set(&text, "bank.takeoff", takeoff, None).expect("possible");
        let got = read(&edited);
        assert!(got.faults.is_empty(), "{}", render(&edited, "x", &got.faults));
        assert_eq!(got.design.expect("a design").banks[1].takeoff, want, "{takeoff}");
    }
}
