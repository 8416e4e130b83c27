//! The sizing as a whole, on small rigs written as an owner would write them.

use engine::facts::Ambient;
use engine::sizing::answer::{LeadAnswer, Reuse};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

/// A 12 V block, a fuse, one load, and what the case says about them.
struct Bench {
    practice: &'static str,
    load: String,
    plus: String,
    minus: String,
    fuse: String,
    more: String,
}

impl Bench {
    fn new(amps: f64, length: &str) -> Self {
        Self {
            practice: "us-boat",
            load: format!("kind = \"equipment\"\nrating = \"{amps} A\""),
            plus: format!("length = \"{length}\"\ntemperature = \"24 C\""),
            // So short and thick that the plus lead is the whole run.
            minus: "length = \"10 mm\"\nsize = \"4/0 boat\"".to_owned(),
            fuse: String::new(),
            more: String::new(),
        }
    }

    fn text(&self) -> String {
        let fuse = if self.fuse.is_empty() {
            String::new()
        } else {
            format!("[device.main]\nkind = \"fuse\"\nmounted_on = \"A1 +\"\n{}\n", self.fuse)
        };
        let from = if self.fuse.is_empty() { "bank +" } else { "main out" };
        format!(
            "format = 1\n[rig]\nname = \"bench\"\nkind = \"boat\"\npractice = \"{}\"\n\
             [block.b]\nchemistry = \"AGM\"\nvolts = \"12 V\"\nrating = \"100 Ah at 20 h\"\n\
             resistance = \"6 mohm\"\nshort_circuit = \"900 A\"\nstud = \"8 mm\"\n\
             [bank]\nblock = \"b\"\nseries = 1\nparallel = 1\ntakeoff = \"same end\"\n\
             joint = \"0 ohm\"\n[device.load]\n{}\n{fuse}\
             [lead.plus]\nfrom = \"{from}\"\nto = \"load +\"\n{}\n\
             [lead.minus]\nfrom = \"load -\"\nto = \"bank -\"\n{}\n{}\n",
            self.practice, self.load, self.plus, self.minus, self.more
        )
    }

    fn leads(&self) -> Vec<LeadAnswer> {
        leads(&self.text())
    }

    fn plus(&self) -> LeadAnswer {
        self.leads().into_iter().find(|l| l.id == "plus").expect("the plus lead is answered")
    }
}

fn leads(text: &str) -> Vec<LeadAnswer> {
    let read = design_file::read::read(text);
    assert!(!read.has_errors(), "{:?}\n{text}", read.faults);
    let design = read.design.expect("the bench says enough");
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let mut study = Study::of(&design, 0, &tables, ambient).unwrap_or_else(|e| panic!("{e}"));
    study.compare_practices(&tables).unwrap_or_else(|e| panic!("{e}"));
    study.leads
}

#[test]
fn published_sizes_come_out_of_the_whole_sizing() {
    // Oracles O23 (10 A, 21 ft there and back, 3 % of 12 V: 10 AWG), O24 (10 %: 16 AWG) and O26
    // (100 A, 10 ft, 3 % of 24 V: 6 AWG) of data/oracles/wiring.csv. At 12 V O26 has 6 % of the
    // volts, the same 0.72 V.
    for (amps, feet, share, want) in [
        (10.0, "21 ft", "0.03", "10 AWG boat cable"),
        (10.0, "21 ft", "0.10", "16 AWG boat cable"),
        (100.0, "10 ft", "0.06", "6 AWG boat cable"),
    ] {
        let mut bench = Bench::new(amps, feet);
        bench.plus.push_str("\ncritical = true");
        bench.more = format!("[limit]\ndrop = {share}");
        let lead = bench.plus();
        assert_eq!(lead.size.to_string(), want, "{amps} A over {feet}: {}", lead.why);
    }
}

#[test]
fn published_ampacities_stand_in_the_answer() {
    // Oracles O17, O20, O21 and O22: 105 °C insulation.
    for (size, said, want) in [
        ("2/0 boat", "", 330.0),
        ("6 boat", "engine_space = true", 102.0),
        ("10 boat", "engine_space = true\nbundled = 3", 35.7),
        ("4/0 boat", "bundled = 4", 267.0),
    ] {
        let mut bench = Bench::new(5.0, "1 m");
        bench.plus = format!("length = \"1 m\"\nsize = \"{size}\"\n{said}");
        let amps = bench.plus().ampacity.as_amps();
        assert!((amps - want).abs() < 0.11, "{size} {said}: {amps} instead of {want}");
    }
}

#[test]
fn the_published_fuse_is_chosen() {
    // Oracle O16: 80 A on 4 AWG of 160 A may have 100 to 150 A; the brief takes 125 A.
    let mut bench = Bench::new(80.0, "300 mm");
    bench.plus = "length = \"300 mm\"\nsize = \"4 boat\"".to_owned();
    bench.fuse = "family = \"mega\"".to_owned();
    let fuse = bench.plus().fuse.expect("a plus lead has a device");
    assert!(
        (fuse.rating.as_amps() - 125.0).abs() < 1e-9,
        "{}: {}",
        fuse.rating.as_amps(),
        fuse.why
    );
    assert_eq!(fuse.id, "main", "the device of the design");
    // It sits on the post: no conductor before it.
    assert!(fuse.distance.is_some_and(|d| d.as_mm() < 1e-9), "{:?}", fuse.distance);
}

#[test]
fn an_owners_fuse_makes_the_lead_thicker() {
    // Hand worked: 20 A would go on 16 AWG (25 A). A 100 A fuse at 150 % wants 66.7 A: 8 AWG
    // (80 A), since 10 AWG has 60 A. A short asks less: 600 % for 1 s, 600 / 87.6 = 6.85 mm2.
    let mut bench = Bench::new(20.0, "200 mm");
    bench.fuse = "family = \"mega\"\nrating = \"100 A\"".to_owned();
    let lead = bench.plus();
    assert_eq!(lead.size.to_string(), "8 AWG boat cable", "{}", lead.why);
    assert_eq!(lead.governed_by, "fuse", "{}", lead.why);
}

#[test]
fn a_short_can_ask_for_more_than_the_fuse() {
    // Hand worked: 60 A at 150 % wants 40 A: 12 AWG (45 A). The small strip fuse is open within
    // 1 s at 500 %, so it lets 60 x 5 x sqrt(1) through: 300 / 87.6 = 3.42 mm2, more than the
    // 2.96 mm2 of 12 AWG boat cable; 10 AWG has 4.73 mm2.
    let mut bench = Bench::new(20.0, "200 mm");
    bench.fuse = "family = \"midi\"\nrating = \"60 A\"".to_owned();
    let lead = bench.plus();
    assert_eq!(lead.size.to_string(), "10 AWG boat cable", "{}", lead.why);
    assert_eq!(lead.governed_by, "short circuit", "{}", lead.why);
}

#[test]
fn a_large_inverter_on_short_leads_is_sized_by_its_steady_current() {
    // Hand worked: 1500 W / 0.88 / 10.8 V = 157.8 A; 33 CFR table 5 at 105 °C gives 4 AWG 160 A.
    // 100 mm of 4 AWG SAE (18.9 mm2, 75 °C): 0.11 mohm, 17 mV of the 360 mV allowed.
    let mut bench = Bench::new(0.0, "100 mm");
    bench.load = "kind = \"inverter\"\npower = \"1500 W\"\nefficiency = 0.88\ncut_off = \"10.8 V\""
        .to_owned();
    let lead = bench.plus();
    assert!((lead.design_amps.as_amps() - 157.83).abs() < 0.01, "{}", lead.design_amps.as_amps());
    assert_eq!(lead.size.to_string(), "4 AWG boat cable", "{}", lead.why);
    assert_eq!(lead.governed_by, "continuous current", "{}", lead.why);
    let fuse = lead.fuse.expect("one is proposed");
    assert!(
        fuse.id.is_empty() && fuse.rating.as_amps() >= 197.2,
        "125 % of the load: {}",
        fuse.why
    );
}

#[test]
fn more_amps_and_more_length_never_make_a_lead_thinner() {
    let area = |bench: &Bench| bench.plus().area.as_mm2();
    let mut last = 0.0;
    for amps in [1.0, 5.0, 12.0, 30.0, 55.0, 90.0, 140.0, 200.0] {
        let now = area(&Bench::new(amps, "1.5 m"));
        assert!(last <= now, "{amps} A: {now} mm² after {last} mm²");
        last = now;
    }
    last = 0.0;
    for length in ["0.2 m", "1 m", "3 m", "6 m", "12 m", "25 m"] {
        let now = area(&Bench::new(30.0, length));
        assert!(last <= now, "{length}: {now} mm² after {last} mm²");
        last = now;
    }
}

#[test]
fn a_cabin_reads_the_cooler_column_up_to_100_a() {
    // NEC 310.16, 2014: 55 A wants 6 AWG in the 60 °C column (55 A) though 8 AWG carries 50 A at
    // 75 °C; the fuse at least 68.75 A asks for more: 70 A on 4 AWG (70 A).
    let mut bench = Bench::new(55.0, "100 mm");
    bench.practice = "us-cabin";
    let lead = bench.plus();
    assert_eq!(lead.size.to_string(), "4 AWG", "{}", lead.why);
    let boat = lead.other_practice.iter().find(|o| o.practice.word() == "us-boat");
    let boat = boat.and_then(|o| o.size).expect("the boat table has a size");
    assert_eq!(boat.to_string(), "10 AWG boat cable", "60 A at 105 °C");
    assert_eq!(lead.other_practice.len(), 5, "all the other settings");
}

#[test]
fn links_in_parallel_are_equal_and_no_thinner_than_the_mains() {
    let text = Bench::new(120.0, "2 m").text().replace("parallel = 1", "parallel = 3");
    let all = leads(&text.replace("same end", "opposite corners"));
    let of = |id: &str| all.iter().find(|l| l.id == id).expect("the lead is there");
    let links: Vec<f64> = ["1", "2", "3", "4"].iter().map(|id| of(id).area.as_mm2()).collect();
    let main = of("plus").area.as_mm2();
    for link in &links {
        assert!((link - links[0]).abs() < 1e-9, "links are alike: {links:?}");
        assert!(main <= *link + 1e-9, "{link} mm² beside mains of {main} mm²");
    }
}

#[test]
fn a_lead_in_hand_is_used_only_when_it_holds() {
    let case = |said: &str| {
        let mut bench = Bench::new(30.0, "1 m");
        bench.plus = format!("have = true\n{said}");
        bench.plus().reuse
    };
    let fits = case("length = \"1 m\"\nsize = \"6 boat\"\nlug_from = \"8 mm\"");
    assert!(matches!(fits, Reuse::Fits { .. }), "{fits:?}");
    let thin = case("length = \"1 m\"\nsize = \"18 boat\"");
    assert!(matches!(thin, Reuse::TooThin { .. }), "{thin:?}");
    let lug = case("length = \"1 m\"\nsize = \"6 boat\"\nlug_from = \"6 mm\"");
    assert!(matches!(lug, Reuse::WrongLug { .. }), "{lug:?}");
    let unknown = case("size = \"6 boat\"");
    assert!(matches!(unknown, Reuse::Unmeasured), "{unknown:?}");
}
