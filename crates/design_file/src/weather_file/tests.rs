//! Weather files as owners have them, whole and with holes.

use super::read_weather;

/// A light with a morning, so that a shift in time shows.
fn light(hour: usize) -> usize {
    match hour {
        8..=11 => 300,
        12..=16 => 600,
        _ => 0,
    }
}

const DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Month, day and hour of each hour of a year.
fn year() -> impl Iterator<Item = (usize, usize, usize)> {
    let days = DAYS.into_iter().enumerate().flat_map(|(m, n)| (1..=n).map(move |d| (m + 1, d)));
    days.flat_map(|(m, d)| (0..24).map(move |h| (m, d, h)))
}

fn plain() -> Vec<String> {
    let hours = (0..8760).map(|h| format!("{h},{},{}", light(h % 24), h % 24));
    ["hour,ghi_w_m2,air_c".to_owned()].into_iter().chain(hours).collect()
}

fn epw(longitude: &str) -> Vec<String> {
    let first = format!("LOCATION,Somewhere,-,ABC,TEST,000000,45.0,{longitude},-8.0,100.0");
    let header = [first].into_iter().chain((0..7).map(|n| format!("HEADER {n},0")));
    let hours = year().map(|(m, d, h)| {
        let (ghi, hour) = (light(h), h + 1);
        format!("2001,{m},{d},{hour},60,?9,{h}.0,1,50,101325,0,0,300,{ghi},0,{},0", ghi / 4)
    });
    header.chain(hours).collect()
}

fn tmy3() -> Vec<String> {
    let header = [
        "700000,\"SOMEWHERE, UPPER\",WA,-8.0,45.000,-120.000,100".to_owned(),
        "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),GHI (W/m^2),GHI source,DHI (W/m^2),Dry-bulb (C)"
            .to_owned(),
    ];
    let hours = year().map(|(m, d, h)| {
        let (ghi, hour) = (light(h), h + 1);
        format!("{m:02}/{d:02}/1999,{hour:02}:00,0,{ghi},2,{},{h}.5", ghi / 4)
    });
    header.into_iter().chain(hours).collect()
}

/// Hand worked: 4 h of 300 and 5 h of 600 W/m2 are 4.2 kWh/m2 a day.
const DAY_KWH: f64 = 4.2;

#[test]
fn each_kind_is_read_and_keeps_its_energy() {
    for (lines, kind, at) in [
        (plain(), "plain CSV", None),
        (epw("-120.0"), "EPW", Some((45.0, -120.0))),
        (tmy3(), "TMY3", Some((45.0, -120.0))),
    ] {
        let file = read_weather(&lines.join("\n")).unwrap_or_else(|e| panic!("{kind}: {e:?}"));
        assert_eq!((file.kind, file.recorded_at), (kind, at), "kind and place");
        assert!((file.year.mean_kwh_m2_day() - DAY_KWH).abs() < 1e-9, "{kind}");
        assert!(file.year.has_air(), "{kind} has air");
    }
    // On the clock's own meridian both kinds say the same year, hour for hour.
    let (epw, plain) = (read_weather(&epw("-120.0").join("\n")), plain());
    let iso: Vec<String> = ["time,ghi_w_m2,dhi_w_m2,air_c".to_owned()]
        .into_iter()
        .chain(year().map(|(m, d, h)| {
            format!("2023-{m:02}-{d:02}T{h:02}:00,{},{},{h}", light(h), light(h) / 4)
        }))
        .collect();
    let iso = read_weather(&iso.join("\r\n")).expect("a whole year");
    assert_eq!(epw.expect("a whole year").year, iso.year, "EPW and ISO times");
    assert!(read_weather(&plain.join("\n")).expect("a whole year").notes.len() == 2, "notes");
}

#[test]
fn a_clock_is_moved_to_solar_time() {
    // Hand worked: 7.5 degrees west of the clock's meridian the sun is half an hour late.
    let there = read_weather(&epw("-127.5").join("\n")).expect("a whole year");
    let here = read_weather(&epw("-120.0").join("\n")).expect("a whole year");
    assert_eq!(there.year, here.year.moved(-0.5), "half an hour");
}

#[test]
fn every_fault_has_its_line_and_says_what_was_meant() {
    let faults = |change: &dyn Fn(&mut Vec<String>)| -> Vec<String> {
        let mut lines = plain();
        change(&mut lines);
        let faults = read_weather(&lines.join("\n")).expect_err("a fault");
        faults.iter().map(crate::fault::Fault::one_line).collect()
    };
    type Change<'a> = &'a dyn Fn(&mut Vec<String>);
    let cases: [(Change<'_>, &str); 9] = [
        (
            &|l| l[0] = "hour,gih_w_m2,air_c".to_owned(),
            "line 1: the column \"gih_w_m2\" is not known. Did you mean ghi_w_m2?",
        ),
        (&|l| l[0] = "hour,dhi_w_m2,air_c".to_owned(), "line 1: no column is named ghi_w_m2."),
        (&|l| l[13] = "12,-4,20".to_owned(), "line 14: the light is -4 W/m2, less than nothing."),
        (
            &|l| l[13] = "12,1501,20".to_owned(),
            "line 14: the light is 1501 W/m2, more than the sun",
        ),
        (&|l| l[13] = "12,much,20".to_owned(), "line 14: column 2 is not a number: \"much\"."),
        (&|l| l[13] = "12,,20".to_owned(), "line 14: column 2 is empty."),
        (
            &|l| l[13] = "11,500,20".to_owned(),
            "line 14: month 1 day 1 hour 11 stands here again; it was on line 13.",
        ),
        (
            &|l| drop(l.drain(25..49)),
            "line 25: 24 hours are missing, from month 1 day 2 hour 0 on.",
        ),
        (&|l| l[13] = "12,500,-99".to_owned(), "line 14: the air is -99 °C"),
    ];
    for (change, says) in cases {
        let found = faults(change);
        assert!(found.iter().any(|f| f.contains(says)), "{says}: {found:?}");
    }
    assert!(faults(&|l| l.clear())[0].contains("the file is empty"), "empty");
    let many = faults(&|l| l.truncate(1));
    assert_eq!(many.len(), 1, "one hole is one fault: {many:?}");
    let nonsense = faults(&|l| l[1..].iter_mut().for_each(|h| *h = "x".to_owned()));
    assert!(nonsense.last().is_some_and(|f| f.contains("more of the 8760 hours")), "{nonsense:?}");
}

#[test]
fn a_leap_day_is_left_out_and_said() {
    let mut lines = vec!["time,ghi_w_m2".to_owned()];
    lines.extend(year().map(|(m, d, h)| format!("2024-{m:02}-{d:02} {h:02}:00:00,{}", light(h))));
    lines.extend((0..24).map(|h| format!("2024-02-29T{h:02}:00Z,{}", light(h))));
    let file = read_weather(&lines.join("\n")).expect("a whole year");
    assert!(file.notes.iter().any(|n| n.contains("29 February")), "{:?}", file.notes);
    assert!(!file.year.has_air(), "no air in the file");
}
