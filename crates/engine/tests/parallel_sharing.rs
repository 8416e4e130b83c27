//! The current share of twenty ladders against figures computed twice by other means.
//!
//! The oracle gives six decimals, so the tolerance is one part in a million of the load, or one
//! microampere where there is none. These ladders cannot detect a slip in ordering or scaling that
//! shows only in networks with meshes of another shape; the random networks do that.

mod ladder;

use ladder::Ladder;

const TABLE: &str = include_str!("../../../data/oracles/parallel_sharing.csv");

/// The numbers of one cell, as they stand.
fn numbers(cell: &str) -> Vec<f64> {
    cell.split_whitespace().map(|word| word.parse().expect("the cell holds numbers")).collect()
}

/// The string a take-off sits at, from zero; on a busbar every post is the same point.
fn takeoff(cell: &str) -> usize {
    if cell == "bus" { 0 } else { cell.parse::<usize>().expect("a string number") - 1 }
}

/// One row of the table as a ladder.
fn read(cell: &dyn Fn(&str) -> String) -> Ladder {
    let strings = numbers(&cell("emf_v")).len();
    let links = |name: &str| {
        let links: Vec<f64> = numbers(&cell(name)).iter().map(|mohm| mohm * 1e-3).collect();
        assert!(links.is_empty() || links.len() == strings - 1, "a link per gap: {}", cell("id"));
        links
    };
    Ladder {
        emf_v: numbers(&cell("emf_v")),
        string_ohm: numbers(&cell("string_mohm")).iter().map(|mohm| mohm * 1e-3).collect(),
        pos_links_ohm: links("pos_links_mohm"),
        neg_links_ohm: links("neg_links_mohm"),
        plus_at: takeoff(&cell("plus_takeoff_at")),
        minus_at: takeoff(&cell("minus_takeoff_at")),
        load_a: cell("load_a").parse().expect("a load"),
    }
}

#[test]
fn every_ladder_of_the_table_shares_as_computed_elsewhere() {
    let mut table = csv::Reader::from_reader(TABLE.as_bytes());
    let heads = table.headers().expect("a header").clone();
    let mut rows = 0;
    for record in table.records() {
        let record = record.expect("a whole row");
        let cell = |name: &str| {
            let column = heads.iter().position(|head| head == name).expect("the column is there");
            record[column].to_owned()
        };
        let ladder = read(&cell);
        let bank = ladder.build();
        let solution = bank.network.solve().expect("the ladder has a solution");
        let tolerance_a = 1e-6 * ladder.load_a.abs().max(1.0);
        let wanted = numbers(&cell("currents_a"));
        assert_eq!(wanted.len(), bank.sources.len(), "{}: a current per string", cell("id"));
        for (&source, want_a) in bank.sources.iter().zip(wanted) {
            let got_a = solution.current_a(source);
            assert!((got_a - want_a).abs() <= tolerance_a, "{}: {got_a}, {want_a}", cell("id"));
        }
        let want_v: f64 = cell("bank_terminal_v").parse().expect("volts");
        let got_v = solution.volts_between(bank.at).expect("one island");
        // Six decimals are printed, so half of the last one.
        assert!((got_v - want_v).abs() <= 0.51e-6, "{}: {got_v} V, {want_v} V", cell("id"));
        assert!(solution.balance_residual() <= 1e-12, "{}: balance", cell("id"));
        assert!(solution.power().residual_w().abs() <= 1e-9, "{}: power", cell("id"));
        rows += 1;
    }
    assert_eq!(rows, 20, "every ladder of the table was tried");
}

#[test]
fn published_share_of_four_strings_is_rounded_and_still_right() {
    // Oracles O31 and O32 of data/oracles/wiring.csv: a widely copied article, recalled, prints the share
    // of four strings of 20 mohm with 1.5 mohm links at 100 A. Its figures are off by up to 0.2 A.
    let text = include_str!("../../../data/oracles/wiring.csv");
    let table = engine::tables::sheet::Sheet::read("oracles/wiring.csv", text).expect("a table");
    let mut rows = 0;
    for (id, minus_at) in [("O31", 0), ("O32", 3)] {
        let ladder = Ladder {
            emf_v: vec![12.7; 4],
            string_ohm: vec![0.020; 4],
            pos_links_ohm: vec![0.001_5; 3],
            neg_links_ohm: vec![0.001_5; 3],
            plus_at: 0,
            minus_at,
            load_a: 100.0,
        };
        let bank = ladder.build();
        let solution = bank.network.solve().expect("the ladder has a solution");
        for row in table.rows().filter(|r| r.text("id") == Ok(id)) {
            let quantity = row.text("quantity").expect("a column");
            let string: usize =
                quantity.trim_start_matches("string_").parse().expect("a string number");
            let got_a = solution.current_a(bank.sources[string - 1]);
            let exact_a = row.number("expected_value").expect("a figure");
            let printed_a = row.number("printed_value").expect("a figure");
            assert!((got_a - exact_a).abs() < 1e-6, "{id} {quantity}: {got_a} A, {exact_a} A");
            assert!((got_a - printed_a).abs() < 0.2, "{id} {quantity}: {got_a} A, {printed_a} A");
            rows += 1;
        }
    }
    assert_eq!(rows, 8, "four strings of two banks");
}
