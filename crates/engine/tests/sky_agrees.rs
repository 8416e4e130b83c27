//! The formulas from the sun to a panel give what an open library of such formulas gives.
//!
//! Ten thousand random cases a formula come from `xtask/oracles/sky_cases.py` with the library's
//! answers. The models are the same, so what is allowed is what rounding, the library's own searches
//! and a last digit of a constant leave open: 0.1 %. A formula misread in both would pass; the
//! hand-worked cases beside each formula are there for that.

#![expect(clippy::print_stdout, reason = "the worst distances are worth reading")]
#![expect(clippy::disallowed_methods, reason = "this test runs another program")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use engine::calc::air_mass::{pressure_share, relative_air_mass};
use engine::calc::cell_temperature::{Mounting, cell_c, rise_per_light};
use engine::calc::clear_sky::{ClearSkyAt, SkyLight, clear_sky};
use engine::calc::diffuse_split::split_light;
use engine::calc::incidence::{
    cos_incidence, diffuse_modifier, glass_modifier, plane_normal, short_modifier,
};
use engine::calc::single_diode::{
    Datasheet, Diode, amps_at, best_point, diode_at, diode_of, open_volts,
};
use engine::calc::sky_geometry::{
    declination_rad, direction, equation_of_time_min, extraterrestrial_w_m2, hour_angle_rad,
    sun_direction, zenith_deg,
};
use engine::calc::solar_position::{Moment, Observer, sun_position};
use engine::calc::transposition::{Facing, PlaneLight, bright_round_sun, even_sky};
use engine::number::cos;
use engine::tables::Tables;
use engine::tables::sky::SkyTables;

/// Cases of each formula.
const CASES: usize = 10_000;
/// Allowed distance from the library's answer.
const SHARE: f64 = 0.001;

/// A Python with the library: the plain one, or the one that `cargo xtask test` sets up.
fn python() -> Option<PathBuf> {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent()?;
    let inside = if cfg!(windows) { "venv/Scripts/python.exe" } else { "venv/bin/python" };
    let works = |python: &PathBuf| {
        let mut line = Command::new(python);
        let quiet = line.args(["-c", "import pvlib"]).stdout(Stdio::null()).stderr(Stdio::null());
        quiet.status().is_ok_and(|status| status.success())
    };
    let found = [PathBuf::from("python3"), target.join(inside)].into_iter().find(works);
    if found.is_none() {
        println!("skipped: no Python with pvlib; `cargo xtask test` sets one up");
        assert!(
            std::env::var("CI").is_err(),
            "CI runs this test, so Python and pvlib must be there"
        );
    }
    found
}

/// A table of cases; the names of answers begin with `=`.
struct Cases {
    columns: BTreeMap<String, usize>,
    rows: Vec<Vec<f64>>,
}

/// One case.
#[derive(Clone, Copy)]
struct Case<'a> {
    columns: &'a BTreeMap<String, usize>,
    cells: &'a [f64],
}

impl Case<'_> {
    fn get(&self, name: &str) -> f64 {
        let at = self.columns.get(name).unwrap_or_else(|| panic!("the script prints no {name}"));
        self.cells[*at]
    }

    /// A whole number, such as a year.
    fn whole(&self, name: &str) -> i32 {
        format!("{:.0}", self.get(name)).parse().expect("a small whole number")
    }
}

impl Cases {
    /// Runs the script; nothing where there is no library and there need not be one.
    fn of(words: &[&str]) -> Option<Self> {
        let python = python()?;
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../xtask/oracles/sky_cases.py");
        let output = Command::new(python).arg(script).args(words).output().expect("Python starts");
        let errors = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "the script speaks: {errors}");
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        let mut lines = text.lines();
        let header = lines.next().expect("a header");
        let columns = header.split(',').enumerate().map(|(n, name)| (name.to_owned(), n));
        let number = |cell: &str| cell.parse().unwrap_or_else(|_| panic!("no number: {cell}"));
        let rows = lines.map(|line| line.split(',').map(number).collect()).collect();
        Some(Self { columns: columns.collect(), rows })
    }

    fn each(&self) -> impl Iterator<Item = Case<'_>> {
        self.rows.iter().map(|cells| Case { columns: &self.columns, cells })
    }
}

/// Compares answers by name. `floor` is the size under which a distance counts against the floor
/// and not against the answer: 0.1 % of a milliwatt is nothing.
fn check(formula: &str, count: usize, ours: impl Fn(&SkyTables, Case<'_>) -> Vec<Answer>) {
    let Some(cases) = Cases::of(&[formula, "20261125", &count.to_string()]) else {
        return;
    };
    assert_eq!(cases.rows.len(), count, "cases of {formula}");
    let sky = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky;
    let mut worst: BTreeMap<&str, f64> = BTreeMap::new();
    for case in cases.each() {
        for (name, found, floor) in ours(&sky, case) {
            let want = case.get(&format!("={name}"));
            let apart = (found - want).abs() / want.abs().max(floor);
            assert!(
                apart <= SHARE,
                "{formula} {name}: {found}, the library {want}: {:?}",
                case.cells
            );
            let most = worst.entry(name).or_insert(0.0);
            *most = most.max(apart);
        }
    }
    for (name, apart) in worst {
        println!("{formula} {name}: {apart:.1e} apart at most in {count} cases");
    }
}

/// Name of an answer, our value, and the floor its distance is measured against.
type Answer = (&'static str, f64, f64);

/// Where the sun stands, by the clock.
fn position_of(case: Case<'_>) -> (f64, f64) {
    let part = |name| u32::try_from(case.whole(name)).expect("a part of a date");
    let moment = Moment {
        year: case.whole("year"),
        month: part("month"),
        day: part("day"),
        hour: case.get("hour"),
    };
    let observer = Observer {
        latitude_deg: case.get("latitude_deg"),
        longitude_deg: case.get("longitude_deg"),
        altitude_m: case.get("altitude_m"),
    };
    let sun = sun_position(&moment, None, &observer, None).expect("a real date and place");
    (sun.zenith_deg, sun.azimuth_deg)
}

#[test]
fn the_sun_stands_within_a_hundredth_of_a_degree() {
    let Some(cases) = Cases::of(&["position", "20261125", &CASES.to_string()]) else {
        return;
    };
    assert_eq!(cases.rows.len(), CASES, "cases");
    let mut worst: f64 = 0.0;
    for case in cases.each() {
        let (zenith, azimuth) = position_of(case);
        // The chord between the two directions: near the zenith an azimuth alone says little.
        let (a, b) = (
            direction(zenith, azimuth),
            direction(case.get("=zenith_deg"), case.get("=azimuth_deg")),
        );
        let square = |x: f64| x * x;
        let chord = square(a.east - b.east) + square(a.north - b.north) + square(a.up - b.up);
        let apart = chord.sqrt().to_degrees();
        assert!(apart <= 0.01, "{apart} deg apart: {:?}", case.cells);
        worst = worst.max(apart);
    }
    println!("position: {worst:.1e} deg apart at most in {CASES} cases");
}

#[test]
fn series_of_the_day() {
    check("geometry", CASES, |sky, case| {
        let day = case.get("day");
        let declination = declination_rad(day, &sky.geometry);
        let turn = hour_angle_rad(case.get("hour"));
        let sun = sun_direction(case.get("latitude_deg"), declination, turn);
        vec![
            ("declination_rad", declination, 1e-3),
            ("time_min", equation_of_time_min(day, &sky.geometry), 0.1),
            ("extra_w_m2", extraterrestrial_w_m2(day, &sky.geometry), 1.0),
            ("zenith_deg", zenith_deg(sun.up), 0.1),
        ]
    });
}

#[test]
fn air_mass_and_pressure() {
    check("air", CASES, |sky, case| {
        let up = cos(case.get("zenith_deg").to_radians());
        vec![
            ("mass", relative_air_mass(up, &sky.air), 1.0),
            ("pressure", pressure_share(case.get("altitude_m"), &sky.air), 0.1),
        ]
    });
}

#[test]
fn clear_skies() {
    check("clear", CASES, |sky, case| {
        let at = ClearSkyAt {
            cos_zenith: cos(case.get("zenith_deg").to_radians()),
            air_mass: case.get("air_mass"),
            extraterrestrial_w_m2: case.get("extra_w_m2"),
            linke: case.get("linke"),
            altitude_m: case.get("altitude_m"),
        };
        let light = clear_sky(&at, &sky.clear);
        vec![
            ("global", light.global_w_m2, 0.01),
            ("beam", light.beam_w_m2, 0.01),
            ("diffuse", light.diffuse_w_m2, 0.01),
        ]
    });
}

#[test]
fn diffuse_part() {
    check("split", CASES, |sky, case| {
        let up = cos(case.get("zenith_deg").to_radians());
        let light = split_light(case.get("global"), up, case.get("extra_w_m2"), &sky.diffuse);
        vec![("beam", light.beam_w_m2, 0.01), ("diffuse", light.diffuse_w_m2, 0.01)]
    });
}

/// Light of a case on its plane, by both skies, and the cosine of incidence.
fn on_plane(
    sky: &SkyTables,
    case: Case<'_>,
    sun: (f64, f64),
    albedo: f64,
) -> (PlaneLight, PlaneLight, f64) {
    let (tilt, facing) = (case.get("tilt_deg"), case.get("facing_deg"));
    let place = direction(sun.0, sun.1);
    let light = SkyLight {
        global_w_m2: case.get("global"),
        beam_w_m2: case.get("beam"),
        diffuse_w_m2: case.get("diffuse"),
    };
    let outside = case.columns.contains_key("extra_w_m2").then(|| case.get("extra_w_m2"));
    let facing = Facing {
        cos_tilt: cos(tilt.to_radians()),
        cos_incidence: cos_incidence(place, plane_normal(tilt, facing)),
        cos_zenith: place.up,
        extraterrestrial_w_m2: outside
            .unwrap_or_else(|| extraterrestrial_w_m2(case.get("of_year"), &sky.geometry)),
        cosine_min: sky.tilt_cosine_min,
    };
    let both = (even_sky(&light, &facing, albedo), bright_round_sun(&light, &facing, albedo));
    (both.0, both.1, facing.cos_incidence)
}

#[test]
fn light_on_a_tilted_plane() {
    check("plane", CASES, |sky, case| {
        let sun = (case.get("zenith_deg"), case.get("azimuth_deg"));
        let (even, bright, _) = on_plane(sky, case, sun, case.get("albedo"));
        vec![
            ("even", even.total_w_m2(), 0.01),
            ("bright", bright.total_w_m2(), 0.01),
            ("direct", bright.beam_w_m2, 0.01),
            ("ground", bright.ground_w_m2, 0.01),
        ]
    });
}

#[test]
fn incidence_and_glass() {
    check("incidence", CASES, |sky, case| {
        let sun = direction(case.get("zenith_deg"), case.get("azimuth_deg"));
        let cosine = cos_incidence(sun, plane_normal(case.get("tilt_deg"), case.get("facing_deg")));
        vec![
            ("cosine", cosine, 1e-3),
            ("glass", glass_modifier(cosine, &sky.glass), 1e-3),
            ("short", short_modifier(cosine, &sky.glass), 1e-3),
        ]
    });
}

#[test]
fn glass_under_a_whole_sky() {
    // The library sums half-degree patches; the sliver of ground that a nearly flat panel sees is no
    // more than a few rows of them, so the ground is compared from 20 deg up.
    check("sky", 40, |sky, case| {
        let tilt = case.get("tilt_deg");
        let found = diffuse_modifier(tilt, &sky.glass);
        let mut answers = vec![("sky", found.sky, 0.1)];
        if 20.0 < tilt {
            answers.push(("ground", found.ground, 0.1));
        }
        answers
    });
}

#[test]
fn heat_of_the_cells() {
    check("cell", CASES, |sky, case| {
        let mounting = Mounting {
            noct_c: case.get("noct_c"),
            efficiency: case.get("efficiency"),
            air_behind_in: case.get("gap_in"),
            wind_m_s: case.get("wind_m_s"),
        };
        let rise = rise_per_light(&mounting, &sky.heat);
        vec![("cell_c", cell_c(case.get("air_c"), case.get("light_w_m2"), rise), 0.1)]
    });
}

/// The curve of a case from the numbers its panel was made of.
fn made(case: Case<'_>) -> Diode {
    Diode {
        light_a: case.get("light_a"),
        saturation_a: case.get("saturation_a"),
        series_ohm: case.get("series_ohm"),
        shunt_s: 1.0 / case.get("shunt_ohm"),
        slope_v: case.get("slope_v"),
    }
}

/// The curve of a case from the sheet its panel would print.
fn found_from_sheet(sky: &SkyTables, case: Case<'_>) -> Diode {
    let sheet = Datasheet {
        open_v: case.get("open_v"),
        short_a: case.get("short_a"),
        working_v: case.get("working_v"),
        working_a: case.get("working_a"),
        open_v_per_k: case.get("open_v_per_k"),
        short_a_per_k: case.get("short_a_per_k"),
    };
    diode_of(&sheet, &sky.silicon).expect("a panel was made of it").diode
}

/// A curve in the light and heat of a case.
fn there(standard: &Diode, sky: &SkyTables, case: Case<'_>) -> Diode {
    let (light, cell) = (case.get("light_w_m2"), case.get("cell_c"));
    diode_at(standard, case.get("short_a_per_k"), light, cell, &sky.silicon)
}

#[test]
fn one_diode() {
    check("diode", CASES, |sky, case| {
        let curve = there(&made(case), sky, case);
        let best = best_point(&curve);
        vec![
            ("open_v", open_volts(&curve), 0.01),
            ("working_v", best.volts, 0.01),
            ("power_w", best.volts * best.amps, 0.01),
            ("held_a", amps_at(&curve, case.get("held_v")), 0.01),
        ]
    });
}

#[test]
fn one_diode_from_a_sheet() {
    // A tenth of the cases: each is two searches, one inside the other.
    check("diode", CASES / 10, |sky, case| {
        let curve = there(&found_from_sheet(sky, case), sky, case);
        let best = best_point(&curve);
        vec![("open_v", open_volts(&curve), 0.01), ("power_w", best.volts * best.amps, 0.01)]
    });
}

/// A typical year through our chain and the library's, month by month, in kWh of one panel.
fn year(kind: &str) {
    let Some(cases) = Cases::of(&["year", kind]) else {
        return;
    };
    assert_eq!(cases.rows.len(), 8760, "hours of {kind}");
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    let sky = &tables.sky;
    // The panel of the script.
    let sheet = Datasheet {
        open_v: 38.3,
        short_a: 9.43,
        working_v: 31.0,
        working_a: 8.71,
        open_v_per_k: -0.0036 * 38.3,
        short_a_per_k: 0.0006 * 9.43,
    };
    let fitted = diode_of(&sheet, &sky.silicon).expect("a panel");
    assert!(fitted.exact, "the sheet has a curve");
    let mounting = Mounting { noct_c: 45.0, efficiency: 0.2, air_behind_in: 1.0, wind_m_s: 1.0 };
    let rise = rise_per_light(&mounting, &sky.heat);
    let albedo = tables.generator.number("albedo");
    let mut months = [(0.0, 0.0); 12];
    let even = diffuse_modifier(cases.rows[0][cases.columns["tilt_deg"]], &sky.glass);
    for case in cases.each() {
        let sun = position_of(case);
        let (_, light, incidence) = on_plane(sky, case, sun, albedo);
        let mut ours = 0.0;
        if sun.0 < 90.0 {
            let straight = light.beam_w_m2 + light.round_sun_w_m2;
            let effective = straight * glass_modifier(incidence, &sky.glass)
                + light.sky_w_m2 * even.sky
                + light.ground_w_m2 * even.ground;
            let cell = cell_c(case.get("air_c"), light.total_w_m2(), rise);
            let curve = diode_at(&fitted.diode, sheet.short_a_per_k, effective, cell, &sky.silicon);
            let best = best_point(&curve);
            ours = best.volts * best.amps;
        }
        let month = usize::try_from(case.whole("own_month") - 1).expect("a month");
        months[month].0 += ours / 1000.0;
        months[month].1 += case.get("=power_w") / 1000.0;
    }
    for (month, (ours, theirs)) in months.iter().enumerate() {
        println!("{kind} month {}: {ours:.3} kWh, the library {theirs:.3}", month + 1);
    }
    let (ours, theirs) = months.iter().fold((0.0, 0.0), |s, m| (s.0 + m.0, s.1 + m.1));
    println!(
        "{kind} year: {ours:.2} kWh, the library {theirs:.2}, {:.1e} apart",
        ours / theirs - 1.0
    );
    assert!((ours / theirs - 1.0).abs() < 0.01, "{kind}: {ours} and {theirs} kWh");
}

#[test]
fn a_typical_year_in_the_tropics() {
    year("tm2");
}

#[test]
fn a_typical_year_in_the_north() {
    year("tmy3");
}
