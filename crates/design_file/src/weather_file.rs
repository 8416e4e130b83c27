//! The owner's own weather: an hourly year from an EPW file, a TMY3 file or a plain CSV.
//!
//! **EPW**: eight lines of header, the first beginning `LOCATION`, then one line an hour. Used are
//! month, day, hour (columns 2 to 4), air temperature (7), global and diffuse light (14 and 16).
//!
//! **TMY3**: a first line of the station, a second of column names, then one line an hour. Used are
//! the date and time, the columns `GHI`, `DHI` and `Dry-bulb`.
//!
//! **Plain CSV**: a first line of names, then 8760 lines, in any order. `hour` counts from 0 at the
//! first hour of 1 January, or `time` is an ISO time such as `2019-06-01T13:00`, the hour it begins.
//! `ghi_w_m2` is the mean light of the hour on a flat plane. `air_c`, and `dhi_w_m2` for the light of
//! the sky alone, may follow. Hours are taken as local solar time; a fixed clock is close enough.
//!
//! A leap day is left out. Every hour that is missing, doubled or impossible is a fault with its line.

mod hours;
mod layout;

use crate::fault::{Fault, Severity};
use engine::sim::recorded::{RecordedYear, YEAR_HOURS};
use hours::{Hour, Hours};
use layout::Layout;

/// Faults told one by one; a file with more has one reason for all.
const FAULTS_MAX: usize = 20;

/// A year as it stands in a file.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherFile {
    /// The hours, moved to local solar time where the file says its clock.
    pub year: RecordedYear,
    /// What kind of file it is, as an owner would say.
    pub kind: &'static str,
    /// Where it was recorded: latitude and longitude in degrees, where the file says so.
    pub recorded_at: Option<(f64, f64)>,
    /// What was filled in or left out, in short sentences.
    pub notes: Vec<String>,
}

/// Reads a weather file.
///
/// # Errors
/// Every fault with its line and what was meant. A file with a fault gives no year: a hole in the
/// weather would pass for a dark day.
pub fn read_weather(text: &str) -> Result<WeatherFile, Vec<Fault>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let layout = Layout::of(text).map_err(|fault| vec![*fault])?;
    let mut faults = Vec::new();
    let mut hours = Hours::new();
    let mut leap_hours = 0;
    for (index, line) in text.lines().enumerate().skip(layout.header_lines) {
        if line.trim().is_empty() {
            continue;
        }
        match layout.hour(index + 1, line) {
            Ok(Some(hour)) => faults.extend(hours.put(index + 1, hour)),
            Ok(None) => leap_hours += 1,
            Err(fault) => faults.push(*fault),
        }
    }
    faults.extend(hours.missing());
    if !faults.is_empty() {
        return Err(shortened(faults));
    }
    let mut notes = Vec::new();
    if 0 < leap_hours {
        notes.push(format!("29 February was left out ({leap_hours} hours)."));
    }
    let year = year_of(&hours, layout.site, &mut notes)
        .ok_or_else(|| vec![*fault(0, "the file has not the hours of a year.", "")])?;
    let later = layout.site.map_or(0.0, |s| s.longitude_deg / 15.0 - s.clock_h);
    let moved = if later.abs() < 1e-9 { year } else { year.moved(later) };
    Ok(WeatherFile {
        year: moved,
        kind: layout.kind.says(),
        recorded_at: layout.site.map(|s| (s.latitude_deg, s.longitude_deg)),
        notes,
    })
}

/// Where and by which clock a file was recorded.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Recorded {
    latitude_deg: f64,
    longitude_deg: f64,
    /// Hours the clock is ahead of Greenwich.
    clock_h: f64,
}

fn year_of(hours: &Hours, site: Option<Recorded>, notes: &mut Vec<String>) -> Option<RecordedYear> {
    let column = |of: fn(&Hour) -> Option<f64>| -> Option<Vec<f64>> { hours.column(of) };
    let ghi = column(|h| Some(h.ghi))?;
    let diffuse = column(|h| h.dhi);
    let air = column(|h| h.air);
    if diffuse.is_none() {
        notes.push("The light of the sky is worked out from the whole light.".to_owned());
    }
    if air.is_none() {
        notes.push("It has no air temperature; the mean of the season is used.".to_owned());
    }
    if site.is_none() {
        notes.push("Its hours are taken as solar time.".to_owned());
    }
    RecordedYear::new(ghi, diffuse, air)
}

/// A fault at a line.
fn fault(line: usize, says: &str, write: &str) -> Box<Fault> {
    Box::new(Fault {
        severity: Severity::Error,
        path: "place.weather".to_owned(),
        span: 0..0,
        line,
        column: usize::from(0 < line),
        says: says.to_owned(),
        write: write.to_owned(),
        meant: None,
    })
}

/// The first faults, and how many more there are.
fn shortened(mut faults: Vec<Fault>) -> Vec<Fault> {
    if FAULTS_MAX < faults.len() {
        let more = faults.len() - FAULTS_MAX;
        faults.truncate(FAULTS_MAX);
        faults.push(*fault(0, &format!("{more} more of the {YEAR_HOURS} hours have faults."), ""));
    }
    faults
}

#[cfg(test)]
mod tests;
