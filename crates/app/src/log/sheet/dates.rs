//! Dates as people write them.

use jiff::civil::{Date, Time};

/// Which figure comes first in `03/05/2026`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    /// 3 May.
    DayFirst,
    /// 5 March.
    MonthFirst,
}

/// Beginnings of the names of months in English, German, French and Spanish.
const MONTHS: [&[&str]; 12] = [
    &["jan", "jän", "ene"],
    &["feb", "fév", "fev"],
    &["mar", "mär", "mrz"],
    &["apr", "avr", "abr"],
    &["may", "mai"],
    &["jun", "juin"],
    &["jul", "juil"],
    &["aug", "aoû", "aou", "ago"],
    &["sep"],
    &["oct", "okt"],
    &["nov"],
    &["dec", "dez", "déc", "dic"],
];

/// Days from the first day of spreadsheets to 1970: they count from 30 December 1899.
const SHEET_TO_1970: i64 = 25_569;

/// The day in a text, where it is written so that only one can be meant, or by the order given.
pub(crate) fn date(text: &str, order: Order) -> Option<Date> {
    let text = text.trim();
    let text = text.split_once('T').filter(|(d, _)| d.len() == 10).map_or(text, |(d, _)| d);
    if let Ok(serial) = text.parse::<f64>() {
        return of_sheet(serial);
    }
    let parts: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || "./-,".contains(c))
        .filter(|p| !p.is_empty())
        .collect();
    let named = parts.iter().take(3).position(|p| month(p).is_some());
    if let Some(at) = named {
        let rest: Vec<&str> =
            parts.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, p)| *p).take(2).collect();
        let [first, second] = rest.as_slice() else { return None };
        let (day, year) = if first.len() == 4 { (second, first) } else { (first, second) };
        return made(year, month(parts[at])?, number(day)?);
    }
    let [first, second, third, ..] = parts.as_slice() else { return None };
    if first.len() == 4 {
        return made(first, number(second)?, number(third)?);
    }
    match order {
        Order::DayFirst => made(third, number(second)?, number(first)?),
        Order::MonthFirst => made(third, number(first)?, number(second)?),
    }
}

/// The time of day behind a date, or by itself.
pub(crate) fn time(text: &str) -> Option<Time> {
    let clock = text.split([' ', 'T']).find(|p| p.contains(':'))?;
    let clock = clock.trim_end_matches('Z').split('+').next()?;
    let mut parts = clock.split(':');
    let mut next = || parts.next().map_or(Some(0), |p| p.parse::<i8>().ok());
    let (hour, minute, second) = (next()?, next()?, next()?);
    let lower = text.to_lowercase();
    let hour = match (hour, lower.ends_with("pm"), lower.ends_with("am")) {
        (12, _, true) => 0,
        (h, true, _) if h < 12 => h + 12,
        (h, ..) => h,
    };
    Time::new(hour, minute, second, 0).ok()
}

/// What a whole column says of its order: a thirteenth month cannot be. `None` where both could be,
/// and an error where rows disagree.
pub(crate) fn order<'a>(column: impl Iterator<Item = &'a str>) -> Result<Option<Order>, ()> {
    let (mut day_first, mut month_first, mut dots) = (false, false, false);
    for text in column {
        let head = text.split_whitespace().next().unwrap_or("");
        let parts: Vec<&str> = head.split(['.', '/', '-']).collect();
        let [first, second, third] = parts.as_slice() else { continue };
        let (Some(first), Some(second)) = (number(first), number(second)) else { continue };
        if third.is_empty() || 31 < first {
            continue;
        }
        day_first |= 12 < first;
        month_first |= 12 < second;
        dots |= head.contains('.');
    }
    match (day_first, month_first) {
        (true, true) => Err(()),
        (true, false) => Ok(Some(Order::DayFirst)),
        (false, true) => Ok(Some(Order::MonthFirst)),
        // Points between figures are written where the day comes first.
        (false, false) => Ok(dots.then_some(Order::DayFirst)),
    }
}

fn month(word: &str) -> Option<i8> {
    let word = word.to_lowercase();
    let at = MONTHS.iter().position(|names| names.iter().any(|n| word.starts_with(n)))?;
    i8::try_from(at + 1).ok()
}

fn number(text: &str) -> Option<i8> {
    text.parse().ok()
}

fn made(year: &str, month: i8, day: i8) -> Option<Date> {
    let written: i16 = year.parse().ok()?;
    let year = match (year.len(), written) {
        (4, year) => year,
        (2, year) if year < 70 => 2000 + year,
        (2, year) => 1900 + year,
        _ => return None,
    };
    Date::new(year, month, day).ok()
}

/// A day by the number that a spreadsheet keeps it under.
fn of_sheet(serial: f64) -> Option<Date> {
    // 1982 to 2064: other numbers are something else.
    let days = (30_000.0..60_000.0).contains(&serial).then(|| format!("{:.0}", serial.floor()))?;
    let days: i64 = days.parse().ok()?;
    let start = Date::new(1970, 1, 1).ok()?;
    start.checked_add(jiff::Span::new().try_days(days - SHEET_TO_1970).ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::{Order, date, order, time};

    #[test]
    fn days_as_people_write_them() {
        for text in [
            "2026-05-03",
            "2026/5/3",
            "3.5.2026",
            "03.05.26",
            "3/5/2026",
            "3 May 2026",
            "May 3, 2026",
            "3. Mai 2026",
            "3 mai 2026",
            "3-May-26",
            "2026-05-03 09:30",
            "2026-05-03T09:30:00",
            "03.05.2026 09:30",
            // The number under which spreadsheets keep that day: 46145 days after 30 December 1899,
            // hand worked: 126 years of 365 days, 31 leap days, 124 days and the one from the count.
            "46145",
        ] {
            let got = date(text, Order::DayFirst).map(|d| d.to_string());
            assert_eq!(got.as_deref(), Some("2026-05-03"), "{text}");
        }
        let american = date("5/3/2026", Order::MonthFirst).map(|d| d.to_string());
        assert_eq!(american.as_deref(), Some("2026-05-03"), "the month first");
        for text in ["", "May", "31.2.2026", "1.265", "13/13/2026", "yesterday", "3/5"] {
            assert_eq!(date(text, Order::DayFirst), None, "{text}");
        }
    }

    #[test]
    fn a_column_tells_its_order() {
        let told = |column: &[&str]| order(column.iter().copied());
        assert_eq!(told(&["03/05/2026", "25/05/2026"]), Ok(Some(Order::DayFirst)), "a 25th month");
        assert_eq!(told(&["05/03/2026", "05/25/2026"]), Ok(Some(Order::MonthFirst)), "a 25th day");
        assert_eq!(told(&["03/05/2026", "04/05/2026"]), Ok(None), "either");
        assert_eq!(told(&["3.5.2026"]), Ok(Some(Order::DayFirst)), "points");
        assert_eq!(told(&["2026-05-03"]), Ok(None), "the year first needs none");
        assert_eq!(told(&["25/05/2026", "05/25/2026"]), Err(()), "both at once");
    }

    #[test]
    fn times_are_read() {
        for (text, want) in
            [("9:30", "09:30:00"), ("03.05.2026 18:05", "18:05:00"), ("6:05 PM", "18:05:00")]
        {
            assert_eq!(time(text).map(|t| t.to_string()).as_deref(), Some(want), "{text}");
        }
        assert_eq!(time("noon"), None, "a word");
        assert_eq!(time("25:00"), None, "no such hour");
    }
}
