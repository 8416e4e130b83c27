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
