//! The laws that the numbers of `data/` must follow, and published answers that the tables alone give. A
//! slipped row breaks a law.

use engine::cite::Status;
use engine::tables::Tables;
use engine::tables::ampacity::{AmpacityTable, Surroundings};
use engine::tables::conductor::{Family, circular_mil};
use engine::tables::files::FILES;
use engine::tables::sheet::Sheet;
use engine::units::conductor::{ConductorSize, Gauge};
use engine::units::{CellVoltage, Current, Temperature, Voltage};

fn tables() -> Tables {
    Tables::load().unwrap_or_else(|e| panic!("{e}"))
}

fn sheet(file: &str) -> Sheet {
    let (name, text) = FILES.iter().find(|f| f.0 == file).expect("the file is in the program");
    Sheet::read(name, text).unwrap_or_else(|e| panic!("{e}"))
}

fn gauge(text: &str) -> Gauge {
    Gauge::from_text(text).expect("a real gauge")
}

fn near(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{what}: {got} instead of {want} +- {tolerance}");
}

#[test]
fn copper_follows_the_gauge_law() {
    let tables = tables();
    for size in tables.conductor.sizes(Family::Awg) {
        let ConductorSize::Awg(gauge) = size else { panic!("a gauge family holds gauges") };
        // ASTM B258: the area doubles every three gauges to within half a per cent.
        let area = tables.conductor.area(size).expect("a row").value.as_mm2();
        if let Some(thinner) = Gauge::number(gauge.as_number() + 3)
            && let Some(less) = tables.conductor.area(ConductorSize::Awg(thinner))
        {
            near(&format!("{size} over {thinner}"), area / less.value.as_mm2(), 2.0, 0.01);
        }
        // 17.2414 ohm mm2/km is the resistivity the law file states.
        let ohm_per_km = tables.conductor.solid_ohm_per_m_20c(gauge).expect("a row").value * 1000.0;
        near(&format!("{size} area times resistance"), area * ohm_per_km, 17.2414, 0.01 * 17.24);
        // NEC chapter 9 table 8 stranded is the solid law at 75 C times 1.02, within half a per cent.
        let warm = ohm_per_km * (234.5 + 75.0) / (234.5 + 20.0);
        let stranded =
            tables.conductor.stranded_ohm_per_m_75c(gauge).expect("a row").value * 1000.0;
        near(&format!("{size} table 8 over law"), stranded / warm, 1.02, 0.0055);
        let boat = tables.conductor.area(ConductorSize::Boat(gauge));
        if let Some(boat) = boat {
            // ERRATA 2: SAE areas hold 89 to 97 % of the gauge law.
            let share = boat.value.as_mm2() / area;
            assert!((0.89..=0.975).contains(&share), "{size} boat cable holds {share} of the law");
        }
    }
    let public = sheet("conductor/awg_public_resistance.csv");
    for row in public.rows() {
        let gauge = gauge(row.text("awg").expect("a column"));
        let printed = row.number("resistance_20c_ohm_per_km").expect("a number");
        let law = tables.conductor.solid_ohm_per_m_20c(gauge).expect("a row").value * 1000.0;
        near(&format!("public table {gauge}"), law / printed, 1.0, 0.001);
    }
    // A textbook prints 640.5 lb per 1000 ft for 4/0 bare copper; 8.89 g/cm3 gives it within 0.1 %.
    let weight = sheet("conductor/awg_copper_weight.csv");
    for row in weight.rows() {
        let gauge = gauge(row.text("awg").expect("a column"));
        let lb_per_kft = row.number("copper_lb_per_kft").expect("a number");
        let kg_per_m = tables.conductor.copper_kg_per_m(gauge).expect("a row").value;
        near(
            &format!("weight of {gauge}"),
            kg_per_m * 304.8 / 0.453_592_37 / lb_per_kft,
            1.0,
            0.002,
        );
    }
}

#[test]
fn circular_mils_agree_with_areas() {
    let tables = tables();
    for file in ["conductor/awg_law.csv", "conductor/nec_ch9_t8_circular_mils.csv"] {
        for row in sheet(file).rows() {
            let gauge = gauge(row.text("awg").expect("a column"));
            let mils = row.number("circular_mils").expect("a number");
            let area = tables.conductor.area(ConductorSize::Awg(gauge)).expect("a row").value;
            near(
                &format!("{file} {gauge}"),
                mils * circular_mil().as_mm2() / area.as_mm2(),
                1.0,
                0.003,
            );
        }
    }
}

#[test]
fn class_5_is_never_better_than_its_nominal_copper() {
    // IEC 60228 fixes resistance, not area: the copper in it is 86 to 90 % of nominal at 17.241 ohm mm2/km.
    let sheet = sheet("conductor/iec_60228_class5.csv");
    for row in sheet.rows() {
        let area = row.number("area_mm2").expect("a number");
        let plain = row.number("resistance_20c_plain_ohm_per_km").expect("a number");
        let tinned = row.number("resistance_20c_tinned_ohm_per_km").expect("a number");
        let share = 17.241 / plain / area;
        assert!((0.86..=0.91).contains(&share), "{area} mm2 holds {share}");
        let tin = tinned / plain;
        assert!((1.015..=1.032).contains(&tin), "{area} mm2 tinned is {tin} of plain");
    }
}

#[test]
fn temperature_factors_follow_their_square_root() {
    let ambient = sheet("ampacity/nec_ambient_30c.csv");
    for row in ambient.rows() {
        let air = row.number("ambient_high_c").expect("a number");
        for insulation in [60.0, 75.0, 90.0_f64] {
            let name = format!("factor_{insulation:.0}c");
            let Some(factor) = row.optional(&name).expect("a number or nothing") else { continue };
            let law = ((insulation - air) / (insulation - 30.0)).sqrt();
            near(&format!("{insulation} C insulation in {air} C"), factor, law, 0.0101);
        }
    }
    // 33 CFR table 5 note 1 takes an engine space as 50 C; the 200 C factor is 1.00 by the text, not the law.
    let engine = sheet("ampacity/cfr_33_183_425_t5_engine_space.csv");
    for row in engine.rows() {
        let insulation = row.number("insulation_c").expect("a number");
        if insulation < 200.0 {
            let law = ((insulation - 50.0) / (insulation - 30.0)).sqrt();
            near("engine space", row.number("factor").expect("a number"), law, 0.0101);
        }
    }
}

#[test]
fn free_air_columns_equal_the_boat_law_from_6_awg_up() {
    // Two texts of different offices print the same figures there, which vouches for the recalled one.
    let tables = tables();
    for awg in ["6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"] {
        for insulation in [60.0, 75.0] {
            let amps = |table| {
                let size = ConductorSize::Awg(gauge(awg));
                let insulation = Temperature::celsius(insulation);
                let alone = Surroundings::alone_at_30c();
                tables.ampacity(table, size, insulation, &alone).expect("a row").current.value
            };
            let same =
                amps(AmpacityTable::Cfr33).near(amps(AmpacityTable::Nec31017), Current::ZERO);
            assert!(same, "{awg} AWG at {insulation} C");
        }
    }
}

#[test]
fn bundled_boat_cable_agrees_with_the_makers_table() {
    // data/oracles/ampacity_105c_bundled.csv: a cable maker's UL 1426 table, read to 0.1 A.
    let tables = tables();
    let text = include_str!("../../../data/oracles/ampacity_105c_bundled.csv");
    let oracle = Sheet::read("oracles/ampacity_105c_bundled.csv", text).expect("a table");
    assert_eq!(oracle.rows().count(), 60, "15 sizes in four bundles");
    for row in oracle.rows() {
        let size = ConductorSize::Boat(gauge(row.text("awg").expect("a column")));
        for low_or_high in ["conductors_low", "conductors_high"] {
            let conductors = row.text(low_or_high).expect("a column").parse().expect("a count");
            for (engine_space, name) in [(false, "outside_a"), (true, "engine_space_a")] {
                let around =
                    Surroundings { engine_space, conductors, ..Surroundings::alone_at_30c() };
                let insulation = Temperature::celsius(105.0);
                let found = tables.ampacity(AmpacityTable::Cfr33, size, insulation, &around);
                let amps = found.expect("a row").current.value.as_amps();
                let want = row.number(name).expect("a number");
                near(&format!("{size} x {conductors} {name}"), amps, want, 0.1);
            }
        }
    }
}

#[test]
fn flooded_rest_volts_follow_gravity() {
    // DOE-HDBK-1084-95 page 18: open-circuit volts of a cell are gravity + 0.845. The vehicle scheme of
    // TM 5-3820-256-24-4 is one source, the chosen rest curve another; they meet within 25 mV of 12 V.
    let tables = tables();
    let (_, bands) =
        tables.battery.gravity().iter().find(|g| g.0 == "vehicle 1.265").expect("the scheme");
    assert_eq!(bands.len(), 5, "0 to 100 %");
    for band in bands {
        let cell = tables.battery.rest_voltage("flooded", band.charge_percent).expect("a curve");
        let from_gravity = f64::midpoint(band.low, band.high) + 0.845;
        near("rest volts of six cells", 6.0 * cell.value.as_volts(), 6.0 * from_gravity, 0.031);
    }
}

#[test]
fn rest_volts_run_both_ways_for_lead_and_only_one_for_lfp() {
    let tables = tables();
    for chemistry in ["flooded", "AGM", "gel"] {
        for percent in [30.0, 50.0, 87.0, 100.0] {
            let rest = tables.battery.rest_voltage(chemistry, percent).expect("a curve").value;
            let back = tables.battery.charge_at_rest(chemistry, rest).expect("a curve").value;
            near(&format!("{chemistry} there and back"), back, percent, 1e-9);
        }
    }
    let flat = CellVoltage::volts(3.27);
    assert_eq!(tables.battery.charge_at_rest("LFP", flat), None, "LFP rest volts tell nothing");
    // The pack's own summary: 20 mV span 40 to 70 %.
    let at = |percent| tables.battery.rest_voltage("LFP", percent).expect("a curve").value;
    let span = (at(70.0) - at(40.0)).as_volts();
    assert!((0.0..0.022).contains(&span), "40 to 70 % of LFP is {span} V");
}

#[test]
fn published_examples_that_the_tables_alone_answer() {
    let tables = tables();
    // Ordnance course OD1002 page 54: gravity 1.250 freezes at -62 F.
    let frozen = tables.battery.freezing_point(1.250).expect("a curve").value;
    near("freezing point of 1.250", frozen.as_fahrenheit(), -62.0, 1e-9);
    // The older E-11 table: 650 cranking amps ask 1500 A, one more asks 3000 A, over 1100 ask 5000 A.
    for (cranking, main) in [(650.0, 1500.0), (650.5, 3000.0), (1100.0, 3000.0), (1101.0, 5000.0)] {
        let found = tables.overcurrent.interrupt_by_cranking(Current::amps(cranking));
        let (interrupt, _) = found.expect("every current has a row");
        near(&format!("{cranking} A CCA"), interrupt.value.as_amps(), main, 1e-9);
    }
    // A trade size-code page: a GC2 case holds 180 to 225 Ah.
    let gc2 = tables.battery.case_capacity("gc2").expect("a row");
    near("least of a GC2", gc2.low_ah, 180.0, 1e-9);
    near("most of a GC2", gc2.high_ah, 225.0, 1e-9);
    // The trailer text, recalled: 20 A on 12 AWG, nothing for the thick sizes.
    let trailer = |awg| tables.overcurrent.trailer_fuse_max(gauge(awg));
    near("12 AWG", trailer("12").expect("a row").value.as_amps(), 20.0, 1e-9);
    assert_eq!(trailer("2"), None, "the short table ends at 10 AWG");
    // A terminal fuse breaks 10 kA at 14 V (read) and 5 kA at 24 V (recalled), nothing at 60 V.
    let at = |volts| tables.overcurrent.interrupt("terminal", Voltage::volts(volts));
    let low = at(12.8).expect("a row");
    near("terminal fuse at 12.8 V", low.value.as_amps(), 10_000.0, 1e-9);
    assert_eq!(low.cite.status, Status::Read, "the 14 V figure was read");
    let high = at(24.0).expect("a row");
    near("terminal fuse at 24 V", high.value.as_amps(), 5_000.0, 1e-9);
    assert_eq!(high.cite.status, Status::Recalled, "the 32 V figure was not");
    assert_eq!(at(60.0), None, "no terminal fuse for 60 V");
}

#[test]
fn an_ampacity_is_as_good_as_its_weakest_part() {
    let tables = tables();
    let two_aught = ConductorSize::Boat(gauge("2/0"));
    let hot = Temperature::celsius(105.0);
    let alone = Surroundings::alone_at_30c();
    let read = tables.ampacity(AmpacityTable::Cfr33, two_aught, hot, &alone).expect("a row");
    assert_eq!(read.current.cite.status, Status::Read, "the law was read");
    assert!(read.steps.is_empty(), "no factor at 30 C alone");
    let crowd = Surroundings { conductors: 30, ..alone };
    let recalled = tables.ampacity(AmpacityTable::Cfr33, two_aught, hot, &crowd).expect("a row");
    assert_eq!(recalled.current.cite.status, Status::Recalled, "the 25 and more factor was not");
    assert_eq!(recalled.steps.len(), 1, "one step to show");
    // Hand worked: 70 mm2 of IEC cable holds 2/0 AWG copper (67.4 mm2) but not 3/0 (85.0 mm2).
    let metric = engine::units::conductor::MetricSize::mm2(70.0).expect("a real size");
    let borrowed =
        tables.ampacity(AmpacityTable::Cfr33, ConductorSize::Metric(metric), hot, &alone);
    near("70 mm2 by the boat law", borrowed.expect("a row").current.value.as_amps(), 330.0, 1e-9);
    let cool = Temperature::celsius(50.0);
    assert_eq!(
        tables.ampacity(AmpacityTable::Cfr33, two_aught, cool, &alone),
        None,
        "no table has a column for 50 C insulation"
    );
}

#[test]
fn every_practice_is_complete_and_honest() {
    let tables = tables();
    let words: Vec<&str> = tables.practices.all().iter().map(|p| p.word.as_str()).collect();
    let six = ["us-trailer", "us-boat", "us-cabin", "eu-vehicle", "eu-boat", "eu-cabin"];
    assert_eq!(words, six, "six practices in order");
    for settings in tables.practices.all() {
        let word = &settings.word;
        let (bare, sheathed) = (&settings.fuse_distance_bare, &settings.fuse_distance_sheathed);
        assert!(bare.value <= sheathed.value, "{word}: a sheath never shortens the distance");
        assert!(
            settings.drop_critical_percent.value <= settings.drop_other_percent.value,
            "{word}: critical circuits are the stricter"
        );
        let sizes = tables.conductor.sizes(settings.conductor_family.value);
        let alone = Surroundings::alone_at_30c();
        let rated = sizes.iter().filter(|&&size| {
            let table = settings.ampacity_table.value;
            tables.ampacity(table, size, settings.insulation.value, &alone).is_some()
        });
        assert!(10 <= rated.count(), "{word}: its table rates its own family");
    }
    // 33 CFR 183.455: 7 in and 40 in; ABYC E-11: 72 in from the post.
    let boat = tables.practices.of("us-boat").expect("the practice");
    near("7 in", boat.fuse_distance_bare.value.as_inches(), 7.0, 1e-9);
    near("40 in", boat.fuse_distance_sheathed.value.as_inches(), 40.0, 1e-9);
    near("72 in", boat.fuse_distance_post_sheathed.value.as_inches(), 72.0, 1e-9);
    for word in ["eu-vehicle", "eu-cabin"] {
        let settings = tables.practices.of(word).expect("the practice");
        let status = settings.fuse_distance_bare.cite.status;
        assert_eq!(status, Status::Practice, "{word}: nothing published was found, and it says so");
    }
}

#[test]
fn limits_are_found_by_id() {
    let tables = tables();
    near("150 %", tables.limits.value("fuse-over-ampacity-max").value, 1.5, 1e-12);
    assert!(tables.limits.get("no-such-limit").is_none(), "an unknown id is none");
    assert!(150 < tables.limits.iter().count(), "the list was read");
}

#[test]
fn set_points_name_a_source_and_only_flooded_cells_are_equalised() {
    use engine::tables::charging::Stage;
    let charging = tables().charging;
    for chemistry in ["flooded", "AGM", "gel", "LFP"] {
        let absorb = charging.set_point(chemistry, Stage::Absorption).expect("every chemistry");
        assert!(absorb.low.as_volts() <= absorb.high.as_volts(), "{chemistry}: low end first");
        let hold = charging.set_point(chemistry, Stage::Float).expect("every chemistry");
        assert!(hold.high.as_volts() < absorb.high.as_volts(), "{chemistry}: float is lower");
        let equalise = charging.set_point(chemistry, Stage::Equalise).is_some();
        assert_eq!(equalise, chemistry == "flooded", "{chemistry}");
    }
}

#[test]
fn screw_pull_out_follows_its_formula() {
    // AISI S100 E4 as the permit file prints it: 0.85 t d Fu over Omega 3, Fu 45 ksi; the table is in whole
    // pounds, and a printed diameter of 0.19 or 0.216 in is good to half a per cent.
    let enclosure = tables().enclosure;
    for row in sheet("enclosure/screw_pull_out.csv").rows() {
        let diameter = row.number("diameter_in").expect("a number");
        let wall = row.number("wall_in").expect("a number");
        let law = 0.85 * wall * diameter * 45_000.0 / 3.0;
        let found = enclosure.screw_pull_out_lbf(diameter, wall).expect("a row").value;
        near(&format!("{diameter} in screw in {wall} in"), found, law, 1.0);
    }
    let thinner = enclosure.screw_pull_out_lbf(0.216, 0.080).expect("a row").value;
    near("0.080 in is taken as 0.075 in", thinner, 207.0, 1e-9);
    assert!(enclosure.screw_pull_out_lbf(0.216, 0.010).is_none(), "thinner than any row");
    // Sheet of 14 gauge is 0.075 in in the same report.
    near(
        "14 gauge",
        enclosure.sheet_thickness("14").expect("a row").value.as_inches(),
        0.075,
        1e-9,
    );
    // Hand worked: 0.0318 in2 * 85 ksi = 2703 lbf.
    near("1/4-20", enclosure.bolt_proof_lbf("1/4-20 grade 5").expect("a row").value, 2703.0, 1e-9);
    let screw = enclosure.screw_strength("#12").expect("a row");
    assert!(screw.tension_lbf < screw.shear_lbf, "a #12 screw is weaker along than across");
}
