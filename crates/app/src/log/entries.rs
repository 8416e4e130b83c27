//! Entries in the reader's units and words.

use super::words::name;
use engine::evidence::log::{ChargeEnd, Entry, Event, Level, WaterKind};
use engine::units::show::{self, UnitSystem};
use engine::units::{Duration, Temperature};

/// Cubic centimetres of a US fluid ounce.
const FLUID_OUNCE_CM3: f64 = 29.573_529_562_5;

/// An entry on one line: when, of what, what, and its figures.
pub(crate) fn line(entry: &Entry, units: UnitSystem) -> String {
    format!("{}  {}  {}", when(entry), name(&entry.subject), words(entry, units))
}

/// The day and the minute.
pub(crate) fn when(entry: &Entry) -> String {
    let at = entry.at;
    format!("{} {:02}:{:02}", at.date(), at.hour(), at.minute())
}

/// What was read or done, with its figures.
pub(crate) fn words(entry: &Entry, units: UnitSystem) -> String {
    let mut parts = vec![figure(&entry.event, units)];
    parts.extend(more(&entry.event, units));
    if !entry.note.is_empty() {
        parts.push(format!("\"{}\"", entry.note.replace('\n', " ")));
    }
    parts.retain(|p| !p.is_empty());
    parts.join(", ")
}

fn figure(event: &Event, units: UnitSystem) -> String {
    match event {
        Event::Gravity { gravity, .. } => format!("gravity {}", show::fixed(*gravity, 3)),
        Event::Looked { level } => match level {
            Level::PlatesBare => "looked: plates bare",
            Level::Low => "looked: fluid low",
            Level::Right => "looked: fluid where it should be",
            Level::Over => "looked: fluid too high",
        }
        .to_owned(),
        Event::Water { volume_cm3, .. } => match volume_cm3 {
            Some(cm3) => format!("water {}", volume(*cm3, units)),
            None => "water".to_owned(),
        },
        Event::Rest { volts, .. } => format!("rest {}", show::voltage(*volts)),
        Event::Load { current, .. } => format!("load {}", show::current(*current)),
        Event::Charge { amp_hours, .. } => match amp_hours {
            Some(ah) => format!("charge {} Ah", show::decimal(*ah, 1)),
            None => "charge".to_owned(),
        },
        Event::Equalise { .. } => "equalise".to_owned(),
        Event::Capacity { current, .. } => format!("capacity test at {}", show::current(*current)),
        Event::Joint { millivolts, current } => {
            let amps = show::current(*current);
            format!("joint {} mV at {amps}", show::decimal(*millivolts, 2))
        }
        Event::Replaced { model } => match model {
            Some(model) => format!("replaced by {model}"),
            None => "replaced".to_owned(),
        },
        Event::Photo { file } => format!("photo {file}"),
        Event::Note => "note".to_owned(),
        Event::Withdrawn => "taken back".to_owned(),
    }
}

fn more(event: &Event, units: UnitSystem) -> Vec<String> {
    let heat = |word: &str, t: &Option<Temperature>| {
        t.map(|t| format!("{word}{}", show::temperature(t, units))).unwrap_or_default()
    };
    let time = |word: &str, t: &Option<Duration>| {
        t.map(|t| format!("{word}{}", duration(t))).unwrap_or_default()
    };
    match event {
        Event::Gravity { fluid, charged_since_water, rested, .. } => vec![
            heat("fluid ", fluid),
            time("charged since water ", charged_since_water),
            time("rested ", rested),
        ],
        Event::Water { kind, before_charge, .. } => {
            let kind = match kind {
                Some(WaterKind::Distilled) => "distilled",
                Some(WaterKind::Tap) => "from the tap",
                None => "",
            };
            let order = match before_charge {
                Some(true) => "before the charge",
                Some(false) => "after the charge",
                None => "",
            };
            vec![kind.to_owned(), order.to_owned()]
        }
        Event::Rest { rested, temperature, .. } => {
            vec![time("rested ", rested), heat("", temperature)]
        }
        Event::Load { lasted, volts, .. } => {
            vec![time("for ", lasted), volts.map(show::voltage).unwrap_or_default()]
        }
        Event::Charge { from, lasted, volts, tail, end, .. } => vec![
            from.as_ref().map(|f| format!("from {f}")).unwrap_or_default(),
            time("for ", lasted),
            volts.map(show::voltage).unwrap_or_default(),
            tail.map(|a| format!("tail {}", show::current(a))).unwrap_or_default(),
            end.map_or("", end_words).to_owned(),
        ],
        Event::Equalise { lasted, volts, hottest } => vec![
            time("for ", lasted),
            volts.map(show::voltage).unwrap_or_default(),
            heat("hottest cell ", hottest),
        ],
        Event::Capacity { lasted, end, temperature, .. } => vec![
            format!("for {}", duration(*lasted)),
            end.map(|v| format!("down to {}", show::voltage(v))).unwrap_or_default(),
            heat("", temperature),
        ],
        _ => Vec::new(),
    }
}

const fn end_words(end: ChargeEnd) -> &'static str {
    match end {
        ChargeEnd::Full => "ended full",
        ChargeEnd::Clock => "ended by the clock",
        ChargeEnd::Broken => "broken off",
    }
}

/// Water, as a measuring cup shows it.
pub(crate) fn volume(cm3: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} ml", show::decimal(cm3, 0)),
        UnitSystem::Us => format!("{} fl oz", show::decimal(cm3 / FLUID_OUNCE_CM3, 1)),
    }
}

fn duration(time: Duration) -> String {
    if time.as_hours() < 1.0 {
        return format!("{} min", show::decimal(time.as_hours() * 60.0, 0));
    }
    format!("{} h", show::decimal(time.as_hours(), 2))
}
