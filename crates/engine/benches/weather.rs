//! How long the weather of a thousand years takes, hours and air included.
//!
//! A whole answer, weather and bank, has 0.3 s on two cores; the weather should leave a third of it.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use divan::{Bencher, black_box};
use engine::model::rig::Place;
use engine::sim::place::Site;
use engine::sim::sun::{Plane, PlaneSetting};
use engine::sim::weather::{DayWeather, WeatherLanes};
use engine::tables::Tables;
use engine::tables::climate::Climate;
use rayon::prelude::{IntoParallelIterator, ParallelIterator};

/// Years of the budget.
const YEARS: u64 = 1000;

fn main() {
    let year = site();
    println!("1000 years x 8760 hours at {} N; phi {:.2}", year.latitude_deg, year.phi);
    divan::main();
}

fn tables() -> Tables {
    Tables::load().unwrap_or_else(|e| panic!("{e}"))
}

fn place() -> Place {
    Place::at(45.5, -122.7)
}

fn site() -> Site {
    let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
    Site::of(&place(), &climate, &tables()).unwrap_or_else(|e| panic!("{e}"))
}

/// The light of a block of years, added up so that none of it can be left out.
fn block<const L: usize>(site: &Site, plane: Option<&Plane>, first_year: u64) -> f64 {
    let mut lanes = WeatherLanes::<L>::new(site, 7, first_year);
    let mut weather = DayWeather::<L>::dark();
    let mut sum = 0.0;
    for day in 0..365 {
        lanes.next_day(day, &mut weather);
        for hour in 0..24 {
            let light = plane.map_or(weather.ghi[hour], |p| p.poa(day, hour, &weather));
            sum += light.iter().sum::<f64>() + weather.air_c[hour][0];
        }
    }
    sum
}

fn all_years<const L: usize>(site: &Site, plane: Option<&Plane>) -> f64 {
    let blocks: Vec<u64> = (0..YEARS).step_by(L).collect();
    blocks.into_par_iter().map(|first| block::<L>(site, plane, first)).sum()
}

/// A thousand years on all cores, by the number of lanes.
#[divan::bench(consts = [1, 4, 8, 16, 32], sample_count = 5, sample_size = 1)]
fn thousand_years<const L: usize>(bencher: Bencher<'_, '_>) {
    let site = site();
    bencher.bench_local(|| all_years::<L>(black_box(&site), None));
}

/// The same with a tilted array's light.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn thousand_years_with_a_plane(bencher: Bencher<'_, '_>) {
    let site = site();
    let setting = PlaneSetting { tilt_deg: 30.0, facing_deg: 180.0, ..PlaneSetting::flat() };
    let plane = Plane::of(&setting, &site, &tables());
    bencher.bench_local(|| all_years::<16>(black_box(&site), Some(&plane)));
}

/// The file, its checksums and the climate of a place.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn a_place(bencher: Bencher<'_, '_>) {
    let tables = tables();
    bencher.bench_local(|| {
        let climate = Climate::embedded().unwrap_or_else(|e| panic!("{e}"));
        Site::of(black_box(&place()), &climate, &tables).map(|s| s.phi)
    });
}
