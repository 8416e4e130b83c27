//! `nights`: how long the rig stays unplugged, and how sure.

use crate::args::NightsArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::rig::Rig;
use crate::terminal::style::Style;
use crate::terminal::table::{Lean, table};
use crate::terminal::wrap::hanging;
use crate::terminal::{add_part, findings, say, warn};
use design_file::weather_file::read_weather;
use engine::calc::time_to_full::TimeToFull;
use engine::model::design::Design;
use engine::report::Report;
use engine::sim::calendar::{MONTH_NAMES, month_name};
use engine::sim::compare::beside;
use engine::sim::frost::basis;
use engine::sim::nights::{Ask, Nights};
use engine::sim::recorded::RecordedYear;
use engine::sim::run::Progress;
use engine::tables::climate::Climate;
use engine::units::{Temperature, show};
use std::io::IsTerminal;
use std::path::Path;
use std::process::ExitCode;
use std::time::Instant;

/// Most weather years: enough for the rarest figure told, and still under a minute.
const YEARS_MOST: usize = 100_000;

pub(crate) fn run(args: &NightsArgs) -> Result<ExitCode, Failure> {
    let place = args.place.as_deref().map(place).transpose()?;
    let month = args.month.as_deref().map(month).transpose()?;
    let years = counted("years", &args.years, 1..=YEARS_MOST as u64)?;
    let seed = counted("seed", &args.seed, 0..=u64::MAX)?;
    let rig = Rig::open(&args.rig)?;
    let report = rig.report()?;
    let recorded = if place.is_some() { None } else { recorded(&rig.design, &args.rig.rig)? };
    let told = progress();
    let ask = Ask {
        place,
        month,
        years: usize::try_from(years).unwrap_or(YEARS_MOST),
        seed,
        recorded: recorded.as_ref(),
        progress: Some(Progress(&told)),
    };
    let climate = Climate::embedded().map_err(|e| Failure::table(&e))?;
    let found = Nights::of(&report.study, &rig.design, &rig.tables, &climate, &ask);
    let nights = found.map_err(|e| rig.failed(Failure::no_nights(&e)))?;
    if args.rig.json {
        say(&json::text(&json::nights::NightsJson::of(&rig, &report, &nights)))?;
    } else {
        say(&shown(&rig, &report, &nights))?;
    }
    rig.close()?;
    Ok(ExitCode::SUCCESS)
}

/// Tells a person at a terminal how far the years are, once it takes more than a second.
fn progress() -> impl Fn(usize, usize) + Sync {
    let (start, seen) = (Instant::now(), std::io::stderr().is_terminal());
    move |done, all| {
        if seen && 1.0 < start.elapsed().as_secs_f64() {
            let end = if done == all { "\r                              \r" } else { "" };
            warn(&format!("\r{:3} % of the weather years{end}", 100 * done / all.max(1)));
        }
    }
}

/// The owner's own weather, from the file beside the rig.
pub(crate) fn recorded(design: &Design, path: &Path) -> Result<Option<RecordedYear>, Failure> {
    let Some(name) = design.place.as_ref().and_then(|p| p.weather.as_ref()) else {
        return Ok(None);
    };
    let beside = path.parent().unwrap_or_else(|| Path::new("")).join(name);
    let text = files::read_text(&beside)?;
    let read = read_weather(&text).map_err(|faults| Failure::weather_file(&beside, &faults))?;
    Ok(Some(read.year))
}

fn place(text: &str) -> Result<(f64, f64), Failure> {
    let limits = "latitude and longitude in degrees, such as \"43.4, -89.6\"; latitude from -90 \
                  to 90, longitude from -180 to 180";
    let wrong = || Failure::out_of_range("place", text, limits);
    let (latitude, longitude) = text.split_once(',').ok_or_else(wrong)?;
    let number = |part: &str, most: f64| {
        part.trim().parse::<f64>().ok().filter(|v| v.is_finite() && v.abs() <= most)
    };
    number(latitude, 90.0).zip(number(longitude, 180.0)).ok_or_else(wrong)
}

fn month(text: &str) -> Result<u32, Failure> {
    let plain = text.trim().to_lowercase();
    let by_name = (3 <= plain.len())
        .then(|| MONTH_NAMES.iter().position(|m| m.to_lowercase().starts_with(&plain)))
        .flatten();
    let by_number = plain.parse::<usize>().ok().filter(|m| (1..=12).contains(m)).map(|m| m - 1);
    by_number
        .or(by_name)
        .and_then(|m| u32::try_from(m + 1).ok())
        .ok_or_else(|| Failure::out_of_range("month", text, "a month, 1 to 12 or its name"))
}

fn counted(option: &str, text: &str, range: std::ops::RangeInclusive<u64>) -> Result<u64, Failure> {
    let limits = format!("a whole number from {} to {}", range.start(), range.end());
    let value = text.trim().parse::<u64>().ok().filter(|n| range.contains(n));
    value.ok_or_else(|| Failure::out_of_range(option, text, &limits))
}

fn shown(rig: &Rig, report: &Report, nights: &Nights) -> String {
    let style = Style::for_output();
    let mut text = format!("{}  stage \"{}\"\n", style.bold(&rig.design.rig.name), report.stage);
    text.push_str(&style.bold(&hanging("", &nights.says())));
    let years = if nights.recorded { "starts in your recorded year" } else { "weather years" };
    let place = place_words(rig, nights);
    let run = format!(
        "From a full bank in the evening, {place}; {} {years}, seed {}.",
        nights.years, nights.seed
    );
    text.push_str(&hanging("", &run));
    text.push_str(&rest(rig, nights, style));
    text.push('\n');
    text.push_str(&findings::assumed(&nights.assumed.iter().collect::<Vec<_>>(), style));
    text.push('\n');
    text.push_str(&findings::stop_line(report.stops(), &report.stage));
    text
}

/// Where, by the name of the place or else by its degrees.
fn place_words(rig: &Rig, nights: &Nights) -> String {
    let own = rig.design.place.as_ref().filter(|p| {
        let same = |a: Option<f64>, b: f64| a.is_some_and(|a| (a - b).abs() < 1e-9);
        same(p.latitude_deg, nights.site.latitude_deg)
            && same(p.longitude_deg, nights.site.longitude_deg)
    });
    match own.and_then(|p| p.name.as_deref()) {
        Some(name) => format!("at {name}"),
        None => format!(
            "at latitude {}, longitude {}",
            show::decimal(nights.site.latitude_deg, 2),
            show::decimal(nights.site.longitude_deg, 2)
        ),
    }
}

fn rest(rig: &Rig, nights: &Nights, style: Style) -> String {
    let mut text = String::new();
    let mut part = |title: &str, body: String| add_part(&mut text, style, title, &body);
    let lines = |list: &[String]| list.iter().map(|l| hanging("  ", l)).collect::<String>();
    part("What limits it", lines(&nights.limits));
    part("One change more", more(nights));
    part("Month by month", months(nights));
    part("Night by night", chances(nights));
    part("The bank", lines(&bank(nights)));
    part("Beside the handbooks", lines(&handbooks(nights)));
    part("Charging", lines(&charging(nights)));
    part("Parked", lines(&parked(rig, nights)));
    part("What the climate rests on", lines(&nights.rests_on));
    text
}

fn more(nights: &Nights) -> String {
    let columns =
        [("nights in 90 of 100 years", Lean::Right), ("change", Lean::Right), ("with", Lean::Left)];
    let rows = nights.one_more.iter().map(|m| {
        let sign = if m.gain < 0.0 { "" } else { "+" };
        vec![
            nights.said(m.nights_sure_90),
            format!("{sign}{}", show::fixed(m.gain, 1)),
            m.change.clone(),
        ]
    });
    if nights.one_more.is_empty() { String::new() } else { table(&columns, rows.collect()) }
}

fn months(nights: &Nights) -> String {
    let columns = [
        ("month", Lean::Left),
        ("50 of 100", Lean::Right),
        ("90 of 100", Lean::Right),
        ("95 of 100", Lean::Right),
        ("sun kWh/m2", Lean::Right),
        ("sources Wh", Lean::Right),
        ("loads Wh", Lean::Right),
    ];
    let rows = nights.by_month.iter().map(|m| {
        vec![
            month_name(m.month).to_owned(),
            nights.said(m.sure.in_50),
            nights.said(m.sure.in_90),
            nights.said(m.sure.in_95),
            show::fixed(m.sun_kwh_m2_day, 1),
            show::fixed(m.offered_wh_day, 0),
            show::fixed(m.load_wh_day, 0),
        ]
    });
    table(&columns, rows.collect())
}

/// Most lines of chances: the rest is in the JSON.
const CHANCES: usize = 12;

/// The chance of each night; nights with the same chance stand together.
fn chances(nights: &Nights) -> String {
    let mut runs: Vec<(u32, u32, String)> = Vec::new();
    for chance in &nights.chances {
        let percent = show::fixed(100.0 * chance.p, 0);
        match runs.last_mut() {
            Some(run) if run.2 == percent => run.1 = chance.night,
            _ => runs.push((chance.night, chance.night, percent)),
        }
    }
    let told = runs.iter().take(CHANCES).map(|(from, to, percent)| match to - from {
        0 => format!("night {from}: {percent} %"),
        _ => format!("nights {from} to {to}: {percent} %"),
    });
    hanging("  ", &told.collect::<Vec<_>>().join(", "))
}

fn bank(nights: &Nights) -> Vec<String> {
    let ah = |v: f64| format!("{} Ah", show::fixed(v, 0));
    let percent = |v: f64| format!("{} %", show::fixed(100.0 * v, 0));
    let usable = &nights.usable;
    let mut lines = vec![format!(
        "{} to take out at {} A mean, down to {}; the common rule says {} (common practice, no \
         source).",
        ah(usable.at_current),
        show::fixed(usable.amps, 1),
        if usable.ends_by_cut_off {
            "the cut-off of the loads".to_owned()
        } else {
            format!("{} charge", percent(nights.floor))
        },
        ah(usable.rule_of_thumb)
    )];
    if let Some(asked) = nights.trip_nights {
        lines.push(format!(
            "After the trip's {} nights {} of the bank is gone in half of the years; in 90 of 100 \
             no more than {}.",
            show::decimal(asked, 1),
            percent(nights.trip_depth[0]),
            percent(nights.trip_depth[1])
        ));
    }
    lines.push(format!(
        "In a stay of a month it goes {} days without being truly full, or fewer, in 90 of 100 \
         years.",
        show::fixed(nights.days_since_full, 0)
    ));
    if let Some(water) = nights.water_cm3_cell {
        lines.push(format!("A month takes {} cm3 of water from a cell.", show::fixed(water, 0)));
    }
    let energy = &nights.energy;
    lines.push(format!(
        "The mean stay: {} Wh in, {} Wh to the loads, {} Wh lost in the bank, {} Wh out of store.",
        show::fixed(energy.in_wh, 0),
        show::fixed(energy.out_wh, 0),
        show::fixed(energy.lost_wh, 0),
        show::fixed(-energy.stored_wh, 0)
    ));
    lines
}

/// Each method with its status and why it differs.
fn handbooks(nights: &Nights) -> Vec<String> {
    let all = beside(nights).into_iter();
    all.map(|b| {
        let (method, status) = (&b.answer.method, b.answer.cite.status.says());
        format!("{method} ({status}): {}", b.difference)
    })
    .collect()
}

fn charging(nights: &Nights) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(hours) = nights.generator_hours {
        lines.push(if hours < 0.05 {
            "No generator is needed for the trip in 90 of 100 years.".to_owned()
        } else {
            format!(
                "{} h of generator on the charger keep the trip above the floor in 90 of 100 years.",
                show::fixed(hours, 1)
            )
        });
    }
    for by in &nights.full_by {
        let amps = show::fixed(by.amps, 0);
        lines.push(match (by.time, by.too_low) {
            (TimeToFull::Hours(hours), Some((held_v, needed_v))) => format!(
                "{} with {amps} A never truly gets there: it holds the posts at {} V and a full \
                 charge asks for {} V. Its amps alone would take {} h.",
                by.source,
                show::fixed(held_v, 1),
                show::fixed(needed_v, 1),
                show::fixed(hours, 1)
            ),
            (TimeToFull::Hours(hours), None) => format!(
                "{} with {amps} A: {} h from half to full while the mean loads run.",
                by.source,
                show::fixed(hours, 1)
            ),
            (TimeToFull::Never(soc), _) => format!(
                "{} with {amps} A never gets there: it stays at {} % while the mean loads run.",
                by.source,
                show::fixed(100.0 * soc, 0)
            ),
        });
    }
    lines
}

fn parked(rig: &Rig, nights: &Nights) -> Vec<String> {
    let units = rig.design.rig.units;
    let parked = &nights.parked;
    let days = |d: f64| {
        if d.is_finite() { format!("{} days", show::fixed(d, 0)) } else { "no end".to_owned() }
    };
    let cold = |c: f64| show::temperature(Temperature::celsius(c), units);
    let mut lines = vec![format!(
        "From full to {} %: {} with the isolator on, {} with it off.",
        show::fixed(100.0 * nights.floor, 0),
        days(parked.to_floor_on_days),
        days(parked.to_floor_off_days)
    )];
    if let Some(freezes) = parked.freezes_at_floor_c {
        lines.push(format!(
            "At that charge the acid freezes at {}, {}; prepare for {} here.",
            cold(freezes),
            basis(parked.flooded),
            cold(parked.freeze_warning_c)
        ));
    }
    lines
}
