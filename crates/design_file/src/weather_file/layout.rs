//! Which kind of weather file it is, and how one of its lines becomes an hour.

use super::hours::{Hour, hour_of_year};
use super::{Recorded, fault};
use crate::fault::Fault;
use crate::nearest;

/// Marks in an EPW file for "not recorded": light and air.
const EPW_NO_LIGHT: f64 = 9999.0;
const EPW_NO_AIR: f64 = 99.9;
/// Names a plain CSV may have.
const NAMES: [&str; 5] = ["hour", "time", "ghi_w_m2", "dhi_w_m2", "air_c"];

/// The kinds of files.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Epw,
    Tmy3,
    Plain,
}

impl Kind {
    pub(super) const fn says(self) -> &'static str {
        match self {
            Self::Epw => "EPW",
            Self::Tmy3 => "TMY3",
            Self::Plain => "plain CSV",
        }
    }
}

/// Where the time of a line stands.
#[derive(Clone, Copy, Debug)]
enum When {
    /// Month, day, hour that ends.
    Parts(usize, usize, usize),
    /// Month/day/year and the time of the end.
    Ends(usize, usize),
    /// Hour of the year.
    Hour(usize),
    /// ISO time of the beginning.
    Iso(usize),
}

/// What stands where in a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Layout {
    pub(super) kind: Kind,
    pub(super) header_lines: usize,
    pub(super) site: Option<Recorded>,
    when: When,
    ghi: usize,
    dhi: Option<usize>,
    air: Option<usize>,
}

impl Layout {
    /// Tells the kind of a file by its first lines.
    pub(super) fn of(text: &str) -> Result<Self, Box<Fault>> {
        let mut lines = text.lines();
        let first = lines.next().unwrap_or_default();
        if first.trim().is_empty() {
            return Err(fault(1, "the file is empty.", "Name an EPW, a TMY3 or a plain CSV file."));
        }
        let second = cells(lines.next().unwrap_or_default());
        if first.starts_with("LOCATION") {
            return Self::epw(&cells(first));
        }
        if second.first().is_some_and(|name| name.starts_with("Date (")) {
            return Self::tmy3(&cells(first), &second);
        }
        Self::plain(&cells(first))
    }

    fn epw(location: &[String]) -> Result<Self, Box<Fault>> {
        Ok(Self {
            kind: Kind::Epw,
            header_lines: 8,
            site: Some(recorded(location, [6, 7, 8])?),
            when: When::Parts(1, 2, 3),
            ghi: 13,
            dhi: Some(15),
            air: Some(6),
        })
    }

    fn tmy3(station: &[String], names: &[String]) -> Result<Self, Box<Fault>> {
        let column = |start: &str| names.iter().position(|n| n.starts_with(start));
        let ghi = column("GHI (").ok_or_else(|| {
            fault(2, "no column is named \"GHI (W/m^2)\".", "Use the file as it was published.")
        })?;
        Ok(Self {
            kind: Kind::Tmy3,
            header_lines: 2,
            site: Some(recorded(station, [4, 5, 3])?),
            when: When::Ends(0, 1),
            ghi,
            dhi: column("DHI ("),
            air: column("Dry-bulb ("),
        })
    }

    fn plain(names: &[String]) -> Result<Self, Box<Fault>> {
        let column = |name: &str| names.iter().position(|n| n.eq_ignore_ascii_case(name));
        for name in names {
            let known = NAMES.iter().any(|n| name.eq_ignore_ascii_case(n));
            if !known {
                let meant = nearest::word(name, NAMES);
                let write = meant.as_ref().map_or_else(
                    || format!("A plain file has the columns {}.", NAMES.join(", ")),
                    |word| format!("Did you mean {word}?"),
                );
                let says = format!("the column \"{name}\" is not known.");
                let unknown = fault(1, &says, &write);
                return Err(Box::new(Fault { meant, ..*unknown }));
            }
        }
        let when = column("hour").map(When::Hour).or_else(|| column("time").map(When::Iso));
        let when = when.ok_or_else(|| {
            fault(1, "no column is named hour or time.", "Begin with hour,ghi_w_m2,air_c.")
        })?;
        let ghi = column("ghi_w_m2").ok_or_else(|| {
            fault(1, "no column is named ghi_w_m2.", "Begin with hour,ghi_w_m2,air_c.")
        })?;
        Ok(Self {
            kind: Kind::Plain,
            header_lines: 1,
            site: None,
            when,
            ghi,
            dhi: column("dhi_w_m2"),
            air: column("air_c"),
        })
    }

    /// The hour on a line; nothing for an hour of a leap day.
    pub(super) fn hour(&self, line: usize, text: &str) -> Result<Option<Hour>, Box<Fault>> {
        let cells = cells(text);
        let Some(at) = self.time(line, &cells)? else {
            return Ok(None);
        };
        let wanted = |column: usize| number(line, &cells, column);
        let light_gap = |v: &f64| self.kind != Kind::Epw || *v < EPW_NO_LIGHT;
        let air_gap = |v: &f64| self.kind != Kind::Epw || *v < EPW_NO_AIR;
        let dhi = self.dhi.map(wanted).transpose()?.filter(light_gap);
        let air = self.air.map(wanted).transpose()?.filter(air_gap);
        Ok(Some(Hour { at, ghi: wanted(self.ghi)?, dhi, air }))
    }

    fn time(&self, line: usize, cells: &[String]) -> Result<Option<usize>, Box<Fault>> {
        let text = |column: usize| cells.get(column).map_or("", |c| c.trim());
        let whole = |text: &str| text.trim().parse::<usize>().ok();
        let unread = |text: &str, as_in: &str| {
            let says = format!("\"{text}\" is not a time.");
            fault(line, &says, &format!("Write it as {as_in}."))
        };
        let at = |month, day, hour| {
            hour_of_year(month, day, hour)
                .map_err(|says| fault(line, &says, "Correct the date or leave the line out."))
        };
        match self.when {
            When::Hour(column) => {
                let hour = whole(text(column));
                hour.map(Some).ok_or_else(|| unread(text(column), "0 to 8759"))
            }
            When::Parts(month, day, hour) => {
                let parts = [month, day, hour].map(|c| whole(text(c)));
                let [Some(month), Some(day), Some(hour)] = parts else {
                    return Err(unread(&cells.join(","), "year,month,day,hour"));
                };
                at(month, day, hour.wrapping_sub(1))
            }
            When::Ends(date, time) => {
                let parts: Vec<Option<usize>> = text(date).split('/').map(whole).collect();
                let hour = text(time).split(':').next().and_then(whole);
                let ([Some(month), Some(day), Some(_)], Some(hour)) = (parts.as_slice(), hour)
                else {
                    let found = format!("{} {}", text(date), text(time));
                    return Err(unread(&found, "01/31/2019,13:00"));
                };
                at(*month, *day, hour.wrapping_sub(1))
            }
            When::Iso(column) => {
                let found = text(column);
                let (month, day, hour) =
                    iso(found).ok_or_else(|| unread(found, "2019-01-31T13:00, on the hour"))?;
                at(month, day, hour)
            }
        }
    }
}

/// Month, day and hour of an ISO time on the hour; a zone at its end is left alone.
fn iso(text: &str) -> Option<(usize, usize, usize)> {
    let (date, time) = text.split_once(['T', ' '])?;
    let mut parts = date.split('-').map(|p| p.parse::<usize>().ok());
    let (_, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let mut parts = time.split(':');
    let hour = parts.next()?.trim_end_matches('Z').parse::<usize>().ok()?;
    let on_the_hour = parts.next().is_none_or(|minutes| minutes.starts_with("00"));
    on_the_hour.then_some((month, day, hour))
}

fn number(line: usize, cells: &[String], column: usize) -> Result<f64, Box<Fault>> {
    let text = cells.get(column).map_or("", |c| c.trim());
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ if text.is_empty() => {
            let says = format!("column {} is empty.", column + 1);
            Err(fault(line, &says, "Write the number of that hour."))
        }
        _ => {
            let says = format!("column {} is not a number: \"{text}\".", column + 1);
            Err(fault(line, &says, "Write it with a point, such as 12.5."))
        }
    }
}

/// Latitude, longitude and clock of the first line.
fn recorded(first: &[String], columns: [usize; 3]) -> Result<Recorded, Box<Fault>> {
    let [latitude, longitude, clock] = columns.map(|c| number(1, first, c));
    let found = Recorded { latitude_deg: latitude?, longitude_deg: longitude?, clock_h: clock? };
    let on_earth = found.latitude_deg.abs() <= 90.0
        && found.longitude_deg.abs() <= 180.0
        && found.clock_h.abs() <= 14.0;
    if on_earth {
        return Ok(found);
    }
    let says = "the first line's latitude, longitude or clock is none that there is.";
    Err(fault(1, says, "Use the file as it was published."))
}

/// The cells of a line; a comma inside quotes parts nothing.
fn cells(line: &str) -> Vec<String> {
    let mut found = vec![String::new()];
    let mut quoted = false;
    for letter in line.trim_end().chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => found.push(String::new()),
            _ => {
                if let Some(last) = found.last_mut() {
                    last.push(letter);
                }
            }
        }
    }
    found.iter_mut().for_each(|cell| *cell = cell.trim().to_owned());
    found
}
