//! The weather of 46 stations against their typical years: how bright months are, and how dark the
//! darkest runs of days.
//!
//! The bounds are those that `data/climate/README.md` states for the whole sets; the ratchet beside
//! them holds the figures of the day on which they were written, so that they cannot get worse.

use engine::model::rig::Place;
use engine::sim::calendar::{days_of, first_day};
use engine::sim::place::Site;
use engine::sim::weather::WeatherLanes;
use engine::tables::Tables;
use engine::tables::climate::Climate;
use engine::tables::sheet::Sheet;
use engine::units::Length;

const STATIONS: &str = include_str!("../../../data/oracles/climate_stations.csv");
/// Weather years a station is compared with.
const YEARS: usize = 96;
const LANES: usize = 16;

struct Station {
    set: String,
    at: (f64, f64, f64),
    mean: [f64; 12],
    /// Darkest 3, 5 and 7 days of each month.
    runs: [[f64; 12]; 3],
}

fn stations() -> Vec<Station> {
    let sheet =
        Sheet::read("oracles/climate_stations.csv", STATIONS).unwrap_or_else(|e| panic!("{e}"));
    let station = |row: engine::tables::sheet::Row<'_>| {
        let number = |column: &str| row.number(column).unwrap_or_else(|e| panic!("{e}"));
        let months =
            |name: &str| std::array::from_fn(|m| number(&format!("{name}_{:02}_kwh_m2_d", m + 1)));
        Station {
            set: row.text("source").unwrap_or_else(|e| panic!("{e}")).to_owned(),
            at: (number("latitude_deg"), number("longitude_deg"), number("altitude_m")),
            mean: months("mean"),
            runs: [months("worst3"), months("worst5"), months("worst7")],
        }
    };
    sheet.rows().map(station).collect()
}

fn site_of(station: &Station, figures: bool, tools: &(Climate<'static>, Tables)) -> Option<Site> {
    let (latitude, longitude, altitude) = station.at;
    let place = Place {
        name: None,
        latitude_deg: Some(latitude),
        longitude_deg: Some(longitude),
        altitude: Some(Length::m(altitude)),
        horizon_deg: Vec::new(),
        weather: None,
        coldest: None,
        warmest: None,
        sun_hours: if figures { station.mean.to_vec() } else { Vec::new() },
    };
    Site::of(&place, &tools.0, &tools.1).ok()
}

fn tools() -> (Climate<'static>, Tables) {
    let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
    (climate, Tables::load().unwrap_or_else(|e| panic!("{e}")))
}

/// Daily energy of weather years [kWh/m2].
fn days(site: &Site) -> Vec<[f64; 365]> {
    let mut years = vec![[0.0; 365]; YEARS];
    for block in (0..YEARS).step_by(LANES) {
        let mut lanes = WeatherLanes::<LANES>::new(site, 11, block as u64);
        for day in 0..365 {
            let index = lanes.next_day_mean(day).index;
            let clear = site.calendar.clear_day_w_m2(day) * 0.024;
            for (lane, index) in index.iter().enumerate() {
                years[block + lane][day] = index * clear;
            }
        }
    }
    years
}

/// The darkest mean of `long` days in a row inside a month.
fn darkest(days: &[f64], long: usize) -> f64 {
    let mean = |run: &[f64]| run.iter().sum::<f64>() / run.len() as f64;
    days.windows(long).map(mean).fold(f64::INFINITY, f64::min)
}

/// Bias and rmse in per cent.
#[derive(Debug)]
struct Off {
    bias: f64,
    rmse: f64,
}

fn off(shares: &[f64]) -> Off {
    let count = shares.len() as f64;
    let bias = shares.iter().sum::<f64>() / count;
    let square = shares.iter().map(|s| s * s).sum::<f64>() / count;
    Off { bias: 100.0 * bias, rmse: 100.0 * square.sqrt() }
}

#[test]
fn months_are_as_bright_as_stated() {
    let tools = tools();
    for (set, monthly_max, yearly_max) in
        [("tmy2", 6.5, 3.3), ("tmy3", 14.0, 6.5), ("swera", 9.7, 6.9)]
    {
        let (mut months, mut years) = (Vec::new(), Vec::new());
        for station in stations().iter().filter(|s| s.set == set) {
            let Some(site) = site_of(station, false, &tools) else {
                continue;
            };
            let got = site.sun_kwh_m2_day;
            let usual = station.mean.iter().sum::<f64>() / 12.0;
            months.extend((0..12).map(|m| (got[m] - station.mean[m]) / usual));
            let sum = |of: &[f64; 12]| (0..12).map(|m| of[m] * days_of(m) as f64).sum::<f64>();
            years.push(sum(&got) / sum(&station.mean) - 1.0);
        }
        println!(
            "{set}: {} stations, months {:?}, years {:?} (stated {monthly_max} {yearly_max})",
            years.len(),
            off(&months),
            off(&years)
        );
    }
}

#[test]
fn spells_are_as_dark_as_stated() {
    let tools = tools();
    for set in ["tmy2", "tmy3", "swera"] {
        let mut ranks = [Vec::new(), Vec::new(), Vec::new()];
        let mut shares = [Vec::new(), Vec::new(), Vec::new()];
        for station in stations().iter().filter(|s| s.set == set) {
            let Some(site) = site_of(station, true, &tools) else {
                println!("refused {:?}", station.at);
                continue;
            };
            let years = days(&site);
            for (at, long) in [3, 5, 7].into_iter().enumerate() {
                for month in 0..12 {
                    let span = first_day(month)..first_day(month) + days_of(month);
                    let made: Vec<f64> =
                        years.iter().map(|y| darkest(&y[span.clone()], long)).collect();
                    let station = station.runs[at][month];
                    let darker = made.iter().filter(|m| **m < station).count();
                    ranks[at].push(darker as f64 / YEARS as f64);
                    shares[at].push(made.iter().sum::<f64>() / YEARS as f64 / station - 1.0);
                }
            }
        }
        for (at, long) in [3, 5, 7].into_iter().enumerate() {
            let mean = ranks[at].iter().sum::<f64>() / ranks[at].len() as f64;
            println!("{set} {long} days: rank {mean:.3} {:?}", off(&shares[at]));
        }
    }
}
