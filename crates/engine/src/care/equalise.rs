//! Whether to equalise, and how.

use super::cells::Acid;
use super::diagnose::{Diagnosis, DiagnosisKind};
use super::look::{Look, days};
use crate::cite::Cite;
use crate::evidence::log::Event;
use crate::model::block::Chemistry;
use crate::tables::charging::Stage;
use crate::units::{Temperature, Voltage, show};
use jiff::civil::Date;

/// Whether to equalise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Never: this kind of cell loses what it cannot get back.
    Never,
    /// The readings do not tell.
    Unknown,
    /// Not now.
    NotNow,
    /// Now.
    Now,
}

/// One printed criterion, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Criterion {
    /// What it asks and what is, in one sentence.
    pub says: String,
    /// It asks for an equalising charge; `None` where the log does not tell.
    pub met: Option<bool>,
    /// Where it stands.
    pub cite: Cite,
}

/// Whether to equalise, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Equalise {
    /// The answer.
    pub verdict: Verdict,
    /// Why, in one sentence.
    pub says: String,
    /// Every criterion, each by its own source; they differ and are never averaged.
    pub criteria: Vec<Criterion>,
    /// How it is done, step by step, cautions at their step; empty where it is never done.
    pub how: Vec<String>,
    /// When it was last done.
    pub last: Option<Date>,
}

/// Whether to equalise, from what the hydrometer said.
pub(super) fn of(look: &Look<'_>, acid: Option<&Acid>, diagnoses: &[Diagnosis]) -> Equalise {
    let mut events = look.entries().iter().filter(|e| matches!(e.event, Event::Equalise { .. }));
    let last = events.next_back().map(|e| e.at.date());
    let answer =
        |verdict, says: String, criteria, how| Equalise { verdict, says, criteria, how, last };
    if look.chemistry() != Some(Chemistry::Flooded) {
        let says = "Never equalise this bank: only flooded cells can take it, unless the maker's own sheet says so.";
        return answer(Verdict::Never, says.to_owned(), Vec::new(), Vec::new());
    }
    let criteria = criteria(look, acid, last);
    let settled = diagnoses
        .iter()
        .find(|d| matches!(d.kind, DiagnosisKind::Stratified | DiagnosisKind::Undercharged));
    let spread = spread(acid);
    let limit = look.limit("cell-spread-equalise").value;
    let behind = diagnoses.iter().find(|d| d.kind == DiagnosisKind::FailingCell);
    let (verdict, says) = match (spread, settled.or(behind)) {
        (_, Some(diagnosis)) => (Verdict::Now, format!("Equalise: {}", diagnosis.says)),
        (Some(wide), None) if limit < wide => {
            let wide = show::fixed(wide, 3);
            (Verdict::Now, format!("Equalise: the cells stand {wide} apart."))
        }
        (Some(wide), None) => {
            let wide = show::fixed(wide, 3);
            (Verdict::NotNow, format!("Not now: the cells stand {wide} apart and hold their gravity."))
        }
        (None, None) => (
            Verdict::Unknown,
            "The log does not tell: read every cell three times, a month apart, after full charges.".to_owned(),
        ),
    };
    answer(verdict, says, criteria, how(look))
}

/// Gravity from the lowest cell to the highest, by the middle of their last readings.
fn spread(acid: Option<&Acid>) -> Option<f64> {
    let offsets = acid?.cells.iter().filter_map(|c| c.offset);
    let (low, high) = offsets.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), o| {
        (low.min(o.now), high.max(o.now))
    });
    (low <= high).then_some(high - low)
}

fn criteria(look: &Look<'_>, acid: Option<&Acid>, last: Option<Date>) -> Vec<Criterion> {
    let lowest = acid.map(|a| a.cells.iter().filter_map(|c| c.offset).map(|o| o.now));
    let lowest = lowest.map(|o| o.fold(f64::INFINITY, f64::min)).filter(|o| o.is_finite());
    let under = acid.and_then(|a| {
        let sitting = a.last_sitting()?;
        a.full.on.map(|_| a.full.gravity.value - sitting.median)
    });
    let since = last.zip(look.now()).map(|(last, now)| f64::from(days(last, now)));
    let gravity = |value: Option<f64>| value.map_or("not known".to_owned(), |v| show::fixed(v, 3));
    let time = |value: Option<f64>| {
        value.map_or("never written".to_owned(), |d| format!("{} days ago", show::decimal(d, 0)))
    };
    let one = |id: &str, what: &str, is: Option<f64>, shown: String| {
        let limit = look.limit(id);
        let bound = if limit.value < 1.0 {
            show::fixed(limit.value, 3)
        } else {
            format!("{} days", show::decimal(limit.value, 0))
        };
        Criterion {
            says: format!("{what} more than {bound}: {shown}."),
            met: is.map(|is| limit.value < is),
            cite: limit.cite,
        }
    };
    let low = lowest.map(|o| -o);
    let wide = spread(acid);
    vec![
        one("cell-below-mean", "A cell under its neighbours by", low, gravity(low)),
        one("bank-gravity-drop", "All cells under the best full reading by", under, gravity(under)),
        one("cell-behind", "Lowest to highest cell", wide, gravity(wide)),
        one("cell-spread-equalise", "Lowest to highest cell", wide, gravity(wide)),
        one("equalise-every", "The last equalising charge", since, time(since)),
        one("equalise-every-stationary", "The last equalising charge", since, time(since)),
    ]
}

/// How it is done; each caution stands at its step.
fn how(look: &Look<'_>) -> Vec<String> {
    let shown = |t: f64| show::temperature(Temperature::celsius(t), look.study.design.rig.units);
    let hot = shown(look.limit("equalise-temperature-max").value);
    let set = look.tables.charging.set_point(Chemistry::Flooded.word(), Stage::Equalise);
    let cells = f64::from(look.cells_in_series());
    let volts = set.map_or_else(
        || "the volts of the blocks' own sheet".to_owned(),
        |set| {
            let of = |cell: f64| show::voltage(Voltage::volts(cell * cells));
            let (low, high) = (of(set.low.as_volts()), of(set.high.as_volts()));
            format!("{low} to {high} (25 °C; the blocks' own sheet wins)")
        },
    );
    let unchanged = show::decimal(look.limit("equalise-unchanged").value, 0);
    vec![
        "Gas that explodes: open the lid and the doors, no flame, no spark, nobody sleeping beside it; \
         goggles and gloves on, water to rinse at hand."
            .to_owned(),
        "Volts that gear is not made for: switch every load off and pull its fuse, inverter and \
         electronics first."
            .to_owned(),
        "Look into every cell: the plates must be covered. Add no more than that now, or it boils over."
            .to_owned(),
        "Charge full first. Leave the caps on.".to_owned(),
        format!("Set {volts} at the posts and the charger's smallest current."),
        format!("Every half hour read the gravity and the warmth of the lowest cells. Stop at {hot} in any cell."),
        format!(
            "Stop when no cell has risen for {unchanged} hours at the most; three readings alike are usual \
             on small banks."
        ),
        "Set the charger back, wait an hour, fill with pure water to just under the tube, and write \
         time, volts and the hottest cell into the log."
            .to_owned(),
    ]
}
