//! The form of every file of `data/`: columns, units, sources, statuses, rows, and the order of its numbers.

use engine::cite::Status;
use engine::tables::files::{FILES, SOURCES};
use engine::tables::sheet::Sheet;
use engine::tables::sources::Sources;
use std::collections::BTreeSet;
use std::path::Path;

fn sheet(file: &str) -> Sheet {
    let (name, text) = FILES.iter().find(|f| f.0 == file).expect("the file is in the program");
    Sheet::read(name, text).unwrap_or_else(|e| panic!("{e}"))
}

/// The numbers of a column, rows without one left out.
fn column(sheet: &Sheet, name: &str) -> Vec<f64> {
    let cell =
        |r: engine::tables::sheet::Row<'_>| r.optional(name).unwrap_or_else(|e| panic!("{e}"));
    sheet.rows().filter_map(cell).collect()
}

/// What a column name may end in: a unit, or a word that says there is none.
const UNITS: [&str; 44] = [
    "_days",
    "_mm",
    "_in",
    "_mm2",
    "_c",
    "_f",
    "_a",
    "_v",
    "_g",
    "_w",
    "_s",
    "_ah",
    "_lb",
    "_lbf",
    "_mv",
    "_uohm",
    "_mohm",
    "_lb_in",
    "_nm",
    "_ohm_per_km",
    "_ohm_per_kft",
    "_kg_per_km",
    "_lb_per_kft",
    "_v_per_cell",
    "_ma_per_ah",
    "_h_per_day",
    "_mv_per_c_per_cell",
    "_percent",
    "_of_rating",
    "_of_c20",
    "_of_gross",
    "_per_10f",
    "_per_c",
    "_per_w",
    "_per_day",
    "_mils",
    "_mils_min",
    "factor",
    "_number",
    "_diameter",
    "_h",
    "_low",
    "_high",
    "_per_mm2",
];
/// Columns that hold words, and pure numbers whose name is their meaning.
const WORDS: [&str; 51] = [
    "season",
    "awg",
    "name",
    "family",
    "mounting",
    "trade",
    "insulation",
    "stud",
    "spanner",
    "hole",
    "care",
    "terminal",
    "posts",
    "joint",
    "domain",
    "positive",
    "negative",
    "bond",
    "group",
    "terminals",
    "scheme",
    "table",
    "chemistry",
    "stage",
    "block",
    "rule",
    "kind",
    "cell_type",
    "charger",
    "screw",
    "fastener",
    "bolt",
    "gauge",
    "region",
    "load",
    "inverter",
    "id",
    "unit",
    "practice",
    "what",
    "choice",
    "cable_smallest_awg",
    "cable_largest_awg",
    "source_key",
    "figure",
    "layer",
    "terms",
    "sheets",
    "rules",
    "who",
    "applies",
];
/// Numbers of a list of single figures, whose unit stands in the row, and specific gravity.
const BARE: [&str; 10] = [
    "value",
    "gravity",
    "conductors_low",
    "conductors_high",
    "insulation_mm_max",
    "diameter_mm_max",
    "open_min_s",
    "open_max_s",
    "gravity_low",
    "gravity_high",
];

#[test]
fn every_file_has_the_form_it_promises() {
    let sources = Sources::parse(SOURCES).unwrap_or_else(|e| panic!("{e}"));
    for (name, text) in FILES {
        let sheet = Sheet::read(name, text).unwrap_or_else(|e| panic!("{e}"));
        let columns: Vec<&str> = sheet.columns().collect();
        let last = columns.len() - 4;
        assert_eq!(columns[last..], ["source", "where", "status", "note"], "{name}: last columns");
        assert!(0 < sheet.rows().count(), "{name} is empty");
        for row in sheet.rows() {
            let cite = row.cite(&sources).unwrap_or_else(|e| panic!("{e}"));
            assert!(!cite.place.is_empty(), "{name} line {}: where does it stand?", row.line());
            let recalled_source = cite.key == "memory" && cite.status != Status::Recalled;
            assert!(!recalled_source, "{name} line {}: memory is never read", row.line());
            let habit = cite.key == "practice" && cite.status != Status::Practice;
            assert!(!habit, "{name} line {}: practice has no better status", row.line());
        }
        for column in &columns[..last] {
            if WORDS.contains(column) && *column != "figure" {
                continue;
            }
            let named = BARE.contains(column)
                || column.starts_with("factor_")
                || *column == "figure"
                || UNITS.iter().any(|u| column.ends_with(u));
            assert!(named, "{name}: the column {column} does not end in a unit");
            for row in sheet.rows() {
                row.optional(column).unwrap_or_else(|e| panic!("{e}"));
            }
        }
    }
}

#[test]
fn every_file_on_disk_is_in_the_program_and_every_source_is_used() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data");
    let folders = [
        "ampacity",
        "battery",
        "charging",
        "climate",
        "conductor",
        "enclosure",
        "load",
        "overcurrent",
        "rules",
        "termination",
        "vehicle",
    ];
    let mut on_disk = BTreeSet::new();
    for folder in folders {
        for entry in std::fs::read_dir(root.join(folder)).expect("the folder is there") {
            let file = entry.expect("a readable entry").file_name();
            // The climate of the world is no table; it is read by its own reader.
            if !file.to_string_lossy().ends_with(".csv") {
                continue;
            }
            on_disk.insert(format!("{folder}/{}", file.to_string_lossy()));
        }
    }
    let here: BTreeSet<String> = FILES.iter().map(|f| f.0.to_owned()).collect();
    assert_eq!(on_disk, here, "data/ and the program list the same files");

    let oracles = [
        include_str!("../../../data/oracles/wiring.csv"),
        include_str!("../../../data/oracles/vehicle.csv"),
        include_str!("../../../data/oracles/ampacity_105c_bundled.csv"),
        include_str!("../../../data/oracles/climate_stations.csv"),
        include_str!("../../../data/oracles/sky.csv"),
        include_str!("../../../data/oracles/battery.csv"),
        include_str!("../../../data/oracles/enclosure.csv"),
    ];
    let mut used: BTreeSet<String> = BTreeSet::from(["physics".to_owned()]);
    for text in FILES.iter().map(|f| f.1).chain(oracles) {
        let sheet = Sheet::read("a data file", text).unwrap_or_else(|e| panic!("{e}"));
        used.extend(sheet.rows().filter_map(|r| r.text("source").ok().map(str::to_owned)));
    }
    used.extend(cited_by_rules());
    used.extend(cited_by_formulas());
    let sources = Sources::parse(SOURCES).unwrap_or_else(|e| panic!("{e}"));
    let listed: BTreeSet<String> = sources.iter().map(|(k, _)| k.to_owned()).collect();
    let idle: Vec<&String> = listed.difference(&used).collect();
    assert!(idle.is_empty(), "no row and no rule names these sources: {idle:?}");
}

/// Keys that a rule cites for a text without a number in it.
#[expect(clippy::disallowed_methods, reason = "a test reads the rules from the tree")]
fn cited_by_rules() -> BTreeSet<String> {
    let rules = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/checks");
    let mut keys = BTreeSet::new();
    for entry in std::fs::read_dir(rules).expect("the folder is there") {
        let text = std::fs::read_to_string(entry.expect("a readable entry").path())
            .expect("a readable file");
        for cite in text.split("Cite::new(").skip(1) {
            keys.extend(cite.split('"').nth(1).map(str::to_owned));
        }
    }
    keys
}

/// Keys that a formula without a published number cites first.
#[expect(clippy::disallowed_methods, reason = "a test reads the formulas from the tree")]
fn cited_by_formulas() -> BTreeSet<String> {
    let formulas = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/calc");
    let mut keys = BTreeSet::new();
    for entry in std::fs::read_dir(formulas).expect("the folder is there") {
        let text = std::fs::read_to_string(entry.expect("a readable entry").path())
            .expect("a readable file");
        for source in text.split("/// # Source\n/// ").skip(1) {
            keys.extend(source.split(',').next().map(str::to_owned));
        }
    }
    keys
}

#[test]
fn tables_have_the_rows_of_their_sources() {
    for (file, rows) in [
        ("conductor/awg_law.csv", 15),
        ("conductor/sae_areas.csv", 13),
        ("conductor/iec_60228_class5.csv", 19),
        ("conductor/nec_ch9_t8_stranded.csv", 15),
        ("conductor/faa_t11_9_tinned.csv", 17),
        ("ampacity/cfr_33_183_425_t5.csv", 15),
        ("ampacity/nec_2014_310_16.csv", 15),
        ("ampacity/iso_10133_2012.csv", 15),
        ("ampacity/nec_ambient_30c.csv", 16),
        ("battery/lfp_ocv.csv", 26),
        ("battery/ieee_485_temperature.csv", 21),
        ("enclosure/screw_pull_out.csv", 31),
    ] {
        assert_eq!(sheet(file).rows().count(), rows, "{file}");
    }
}

#[test]
fn columns_rise_or_fall_where_physics_says_so() {
    for (file, name, rises) in [
        ("conductor/awg_law.csv", "area_mm2", true),
        ("conductor/awg_law.csv", "resistance_20c_ohm_per_km", false),
        ("conductor/awg_public_resistance.csv", "resistance_20c_ohm_per_km", false),
        ("conductor/awg_copper_weight.csv", "copper_lb_per_kft", true),
        ("conductor/sae_areas.csv", "circular_mils_min", true),
        ("conductor/iec_60228_class5.csv", "resistance_20c_plain_ohm_per_km", false),
        ("conductor/iec_60228_class5.csv", "resistance_20c_tinned_ohm_per_km", false),
        ("conductor/nec_ch9_t8_stranded.csv", "resistance_75c_ohm_per_kft", false),
        ("conductor/faa_t11_9_tinned.csv", "resistance_20c_ohm_per_kft", false),
        ("conductor/flexible_cable_diameter.csv", "diameter_in", true),
        ("conductor/nec_2008_ch9_t5_diameter.csv", "xhhw_diameter_in", true),
        ("conductor/sgt_cable_weight.csv", "weight_lb_per_kft", true),
        ("ampacity/iso_10133_2012.csv", "ampacity_70c_a", true),
        ("ampacity/faa_t11_9_bundle.csv", "ampacity_105c_a", true),
        ("ampacity/ul_1426_bundle.csv", "factor", false),
        ("ampacity/nec_2014_bundle.csv", "factor", false),
        ("ampacity/nec_ambient_30c.csv", "factor_90c", false),
        ("battery/lfp_ocv.csv", "open_circuit_v_per_cell", false),
        ("battery/rest_agm_vehicle.csv", "rest_voltage_12v_v", false),
        ("battery/rest_flooded_trade.csv", "rest_voltage_12v_v", false),
        ("battery/ieee_485_temperature.csv", "size_factor", false),
        ("battery/freezing.csv", "freeze_f", false),
        ("battery/rate_gc2_225.csv", "capacity_ah", false),
        ("overcurrent/cold_resistance.csv", "resistance_mohm", false),
    ] {
        let values = column(&sheet(file), name);
        let sorted = values.windows(2).all(|p| if rises { p[0] < p[1] } else { p[1] < p[0] });
        assert!(sorted, "{file} {name} is not in order: {values:?}");
    }
    for file in ["cfr_33_183_425_t5", "nec_2014_310_16", "nec_310_17"] {
        let sheet = sheet(&format!("ampacity/{file}.csv"));
        let columns: Vec<&str> = sheet.columns().filter(|c| c.starts_with("ampacity")).collect();
        for row in sheet.rows() {
            let amps: Vec<f64> = columns.iter().filter_map(|c| row.optional(c).ok()?).collect();
            let line = row.line();
            assert!(amps.windows(2).all(|p| p[0] <= p[1]), "{file} line {line}: {amps:?}");
        }
        for name in columns {
            let amps = column(&sheet, name);
            // Table 5 prints 10 A for 18 and 15 A for 16 AWG at 60 and at 75 C alike; sizes never tie.
            assert!(amps.windows(2).all(|p| p[0] < p[1]), "{file} {name}: {amps:?}");
        }
    }
}
