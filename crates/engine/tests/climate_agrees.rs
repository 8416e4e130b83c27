//! The climate file, read against a second reader of the same file, and the weather made from it.

use engine::model::rig::Place;
use engine::sim::place::{Site, SiteError};
use engine::tables::Tables;
use engine::tables::climate::Climate;
use engine::tables::sheet::Sheet;
use engine::units::Length;

const VECTORS: &str = include_str!("../../../data/oracles/climate_vectors.csv");

fn tables() -> Tables {
    Tables::load().unwrap_or_else(|e| panic!("{e}"))
}

fn climate() -> Climate<'static> {
    Climate::embedded().unwrap_or_else(|e| panic!("{e}"))
}

fn place(latitude: f64, longitude: f64, altitude_m: Option<f64>) -> Place {
    Place {
        name: None,
        latitude_deg: Some(latitude),
        longitude_deg: Some(longitude),
        altitude: altitude_m.map(Length::m),
        horizon_deg: Vec::new(),
        weather: None,
        coldest: None,
        warmest: None,
        sun_hours: Vec::new(),
    }
}

/// One quantity of one place as the second reader prints it.
struct Vector {
    name: String,
    at: (f64, f64, f64),
    quantity: String,
    values: Vec<f64>,
    /// Half of the last digit printed, and a rounding of the machine.
    half_digit: f64,
}

fn vectors() -> Vec<Vector> {
    let sheet =
        Sheet::read("oracles/climate_vectors.csv", VECTORS).unwrap_or_else(|e| panic!("{e}"));
    let row = |row: engine::tables::sheet::Row<'_>| {
        let number = |column| row.number(column).unwrap_or_else(|e| panic!("{e}"));
        let text = row.text("values").unwrap_or_else(|e| panic!("{e}"));
        let quantity = row.text("quantity").unwrap_or_else(|e| panic!("{e}")).to_owned();
        let digits = match quantity.as_str() {
            "levels_january" => 5,
            "weights" => 6,
            "linke" | "index_month" => 4,
            "sun_month" | "land" | "phi" => 3,
            "clear_day_1" | "clear_day_172" | "air_month" | "air_sd" | "air_range" => 2,
            _ => 1,
        };
        Vector {
            name: row.text("place").unwrap_or_else(|e| panic!("{e}")).to_owned(),
            at: (number("latitude_deg"), number("longitude_deg"), number("altitude_m")),
            values: text.split(' ').map(|v| v.parse().expect("a number")).collect(),
            half_digit: 0.5 * 10.0_f64.powi(-digits) + 1e-9,
            quantity,
        }
    };
    sheet.rows().map(row).collect()
}

/// A site at a vector's place. The one in the open sea is read with figures of its own, which the
/// compared quantities of the map do not touch.
fn found(vector: &Vector, climate: &Climate<'_>, tables: &Tables) -> Option<Vec<f64>> {
    let (latitude, longitude, altitude) = vector.at;
    let map = climate.at(latitude, longitude);
    let of_map = match vector.quantity.as_str() {
        "map_altitude" => vec![map.altitude_m],
        "cells" => map.cells.iter().map(|c| f64::from(u32::try_from(c.0).unwrap_or(0))).collect(),
        "weights" => map.cells.iter().map(|c| c.1).collect(),
        "nearest" => vec![map.nearest_km],
        "levels_january" => map.index[0].to_vec(),
        "linke" => map.linke.to_vec(),
        "extremes" => vec![map.lowest_c, map.highest_c],
        "land" => vec![map.land_share],
        _ => Vec::new(),
    };
    if !of_map.is_empty() {
        return Some(of_map);
    }
    let site = match Site::of(&place(latitude, longitude, Some(altitude)), climate, tables) {
        Ok(site) => site,
        Err(SiteError::TooFar { .. }) => return None,
        Err(e) => panic!("{}: {e}", vector.name),
    };
    Some(match vector.quantity.as_str() {
        "index_month" => site.index_month.to_vec(),
        "clear_day_1" => vec![site.calendar.clear_day_w_m2(0)],
        "clear_day_172" => vec![site.calendar.clear_day_w_m2(171)],
        "sun_month" => site.sun_kwh_m2_day.to_vec(),
        "air_month" => site.air_c.to_vec(),
        "air_sd" => site.air_sd_c.to_vec(),
        "air_range" => site.air_range_c.to_vec(),
        "phi" => vec![site.phi],
        other => panic!("no such quantity: {other}"),
    })
}

#[test]
fn every_place_is_decoded_to_the_printed_digits() {
    let (climate, tables) = (climate(), tables());
    let (mut compared, mut at_sea) = (0, 0);
    for vector in vectors() {
        let Some(values) = found(&vector, &climate, &tables) else {
            at_sea += 1;
            continue;
        };
        let (name, quantity) = (&vector.name, &vector.quantity);
        assert_eq!(values.len(), vector.values.len(), "{name} {quantity}");
        for (value, want) in values.iter().zip(&vector.values) {
            let apart = (value - want).abs();
            assert!(apart <= vector.half_digit, "{name} {quantity}: {value} instead of {want}");
        }
        compared += 1;
    }
    // Eight places of sixteen quantities; the place in the open sea has eight that need figures.
    assert_eq!((compared, at_sea), (120, 8), "quantities compared, and left for want of land");
}

#[test]
fn a_place_far_from_land_asks_for_figures_and_works_with_them() {
    let (climate, tables) = (climate(), tables());
    let far = place(35.0, -40.0, Some(0.0));
    let says = Site::of(&far, &climate, &tables).expect_err("open sea").to_string();
    assert!(says.contains("1452 km") && says.contains("place.sun_hours"), "{says}");
    let figures = [2.2, 3.0, 4.2, 5.4, 6.1, 6.6, 6.7, 6.0, 4.9, 3.6, 2.4, 1.9];
    let site = Site::of(&Place { sun_hours: figures.to_vec(), ..far }, &climate, &tables)
        .unwrap_or_else(|e| panic!("{e}"));
    // The blend from month to month reaches each figure: the mean of the days is compared.
    for (month, figure) in figures.iter().enumerate() {
        let got = month_by_days(&site, month);
        assert!((got / figure - 1.0).abs() < 0.005, "month {month}: {got} for {figure}");
    }
}

/// Mean energy of a month, day by day, from the blend of the monthly index.
fn month_by_days(site: &Site, month: usize) -> f64 {
    use engine::sim::calendar::{Blend, Calendar};
    let day = |d| Blend::of(d).mix(&site.index_month) * site.calendar.clear_day_w_m2(d) * 0.024;
    Calendar::month_mean(month, day)
}

#[test]
fn what_a_place_cannot_be_is_said() {
    let (climate, tables) = (climate(), tables());
    let home = place(45.5, -122.7, None);
    let says = |place: Place| {
        Site::of(&place, &climate, &tables).map(|_| ()).expect_err("refused").to_string()
    };
    for (place, word) in [
        (Place { latitude_deg: None, ..home.clone() }, "no latitude"),
        (Place { latitude_deg: Some(91.0), ..home.clone() }, "latitude is 91"),
        (Place { longitude_deg: Some(400.0), ..home.clone() }, "longitude is 400"),
        (Place { latitude_deg: Some(f64::NAN), ..home.clone() }, "latitude is NaN"),
        (Place { sun_hours: vec![3.0; 11], ..home.clone() }, "11 figures"),
        (Place { sun_hours: vec![4.0; 12], ..home }, "flat plane, not for a tilted one"),
    ] {
        assert!(says(place.clone()).contains(word), "{word}: {}", says(place));
    }
}

#[test]
fn the_freeze_level_lies_under_a_typical_low() {
    let (climate, tables) = (climate(), tables());
    let site = Site::of(&place(45.07, -83.57, Some(210.0)), &climate, &tables)
        .unwrap_or_else(|e| panic!("{e}"));
    let cold = site.extremes;
    let coldest = site.air_c.iter().copied().fold(f64::INFINITY, f64::min);
    // Hand worked from the published line: -17.3 + 1.31 x coldest month.
    assert!((cold.lowest_typical_c - (-17.3 + 1.31 * coldest)).abs() < 1e-9, "{cold:?}");
    assert!(cold.freeze_warning_c <= cold.lowest_typical_c - 5.0, "{cold:?}");
    assert!(cold.freeze_warning_c <= cold.lowest_nine_years_c, "{cold:?}");
}
