//! A card of set points for each charge source: what it is set to, what of that reaches the posts,
//! how it moves with temperature, when it ends, and where each figure comes from.

use super::chain::{Chain, Feed, Phase, SetVolts, Source};
use crate::calc::time_to_full::TimeToFull;
use crate::finding::Assumed;
use crate::model::device::DeviceKind;
use crate::study::Study;
use crate::tables::Tables;
use crate::tables::charging::Stage;
use crate::units::{Current, show};

/// One set point.
#[derive(Clone, Debug, PartialEq)]
pub struct SetPointRow {
    /// Absorption, float or equalise.
    pub what: &'static str,
    /// Volts at the source, or where it measures, at 25 °C [V].
    pub source_v: f64,
    /// Volts at the posts while it gives all its amps [V].
    pub posts_full_v: f64,
    /// Volts at the posts when the bank is nearly full [V].
    pub posts_end_v: f64,
    /// The last as volts of one cell [V].
    pub cell_v: f64,
    /// What the tables say for a cell of this chemistry, lowest and highest over every source [V].
    pub band: Option<(f64, f64)>,
    /// Where the set point comes from and how far it can be trusted.
    pub from: String,
}

/// The card of one source.
#[derive(Clone, Debug, PartialEq)]
pub struct SetPointCard {
    /// The source.
    pub device: String,
    /// Its set points; empty for a plain tow line.
    pub rows: Vec<SetPointRow>,
    /// What it is and what it does, in whole sentences.
    pub lines: Vec<String>,
}

/// The cards of a stage.
#[must_use]
pub fn cards(chain: &Chain, tables: &Tables) -> Vec<SetPointCard> {
    let charging = chain.sources.iter().filter(|s| s.feed != Feed::Inverter);
    charging.map(|source| card(chain, tables, source)).collect()
}

fn card(chain: &Chain, tables: &Tables, source: &Source) -> SetPointCard {
    let tail_a = tail_amps(chain, tables);
    let row = |what, stage, phase, set: &Option<SetVolts>| {
        let set = set.as_ref()?;
        let full_a = if source.most_a.is_finite() { source.most_a } else { tail_a };
        let posts = |amps: f64| source.posts_v(phase, 25.0, amps).unwrap_or(set.volts);
        let end = posts(tail_a.min(full_a));
        Some(SetPointRow {
            what,
            source_v: set.volts,
            posts_full_v: posts(full_a),
            posts_end_v: end,
            cell_v: end / f64::from(chain.cells.max(1)),
            band: band(chain, tables, stage),
            from: from(set),
        })
    };
    let tow = source.kind == DeviceKind::TowLine;
    let rows = if tow {
        Vec::new()
    } else {
        [
            row("absorption", Stage::Absorption, Phase::Absorb, &source.absorption),
            row("float", Stage::Float, Phase::Float, &source.float),
            row("equalise", Stage::Equalise, Phase::Equalise, &source.equalise),
        ]
        .into_iter()
        .flatten()
        .collect()
    };
    let mut lines = Vec::new();
    if !tow {
        lines.push(ends(chain, tables, source));
        lines.push(temperature(chain, source));
    }
    lines.push(hours(chain, tables, source));
    SetPointCard { device: source.name.clone(), rows, lines }
}

/// Amps of a nearly full bank, by the first tail that was read; nothing where its amp-hours are not known.
pub(super) fn tail_amps(chain: &Chain, tables: &Tables) -> f64 {
    let share = tables.charging.tails().first().map_or(0.0, |t| t.1.value);
    chain.acceptance.map_or(0.0, |a| a.amp_hours * share)
}

fn band(chain: &Chain, tables: &Tables, stage: Stage) -> Option<(f64, f64)> {
    let rows = tables.charging.set_points(chain.table_word(), stage);
    let low = rows.iter().map(|r| r.low.as_volts()).reduce(f64::min)?;
    let high = rows.iter().map(|r| r.high.as_volts()).reduce(f64::max)?;
    Some((low, high))
}

fn from(set: &SetVolts) -> String {
    if set.stated {
        "your design file".to_owned()
    } else if set.cite.key == "owner" {
        "the sheet of the blocks; read what the source is really set to".to_owned()
    } else {
        format!("{}; read what the source is really set to", set.cite.status.says())
    }
}

fn amps(a: f64) -> String {
    show::current(Current::amps(a))
}

fn ends(chain: &Chain, tables: &Tables, source: &Source) -> String {
    let tail = tail_amps(chain, tables);
    let usual = if tail > 0.0 && chain.chemistry.is_lead() {
        format!(" A nearly full bank takes about {}.", amps(tail))
    } else {
        String::new()
    };
    let said = match (source.tail_a, source.absorb_most_h) {
        (Some(a), Some(h)) => {
            format!("Absorption ends at {}, or after {} h.", amps(a), show::decimal(h, 1))
        }
        (Some(a), None) => format!("Absorption ends at {}.", amps(a)),
        (None, Some(h)) => {
            format!("Absorption ends by the clock after {} h.", show::decimal(h, 1))
        }
        (None, None) => {
            "Find out when absorption ends: at which amps, or after how long.".to_owned()
        }
    };
    format!("{said}{usual}")
}

fn temperature(chain: &Chain, source: &Source) -> String {
    if !chain.chemistry.is_lead() {
        return "Lithium needs no change with temperature; below freezing it must not charge."
            .to_owned();
    }
    if source.volts_per_kelvin.abs() < 1e-12 {
        return "Its volts stay when the battery is cold or warm: change them with the seasons."
            .to_owned();
    }
    let at = |cell_c: f64| source.set_v(Phase::Absorb, cell_c).unwrap_or(0.0);
    format!(
        "Absorption follows the battery's temperature: {} V at 10 °C (50 °F), {} V at 40 °C (104 °F), \
         by the usual slope; its own sheet decides.",
        show::fixed(at(10.0), 2),
        show::fixed(at(40.0), 2)
    )
}

fn hours(chain: &Chain, tables: &Tables, source: &Source) -> String {
    if let Some(line) = source.line.filter(|l| l.plain) {
        let posts_v =
            tables.limits.value("tow-line-post-voltage").value * f64::from(chain.cells) / 6.0;
        return format!(
            "With {} V in the vehicle and the posts at {} V about {} come through.",
            show::fixed(line.source_v, 1),
            show::fixed(posts_v, 1),
            amps(source.amps_at(posts_v, Phase::Absorb, 25.0))
        );
    }
    if source.feed == Feed::Sun {
        return "How long the sun takes is told by the nights.".to_owned();
    }
    match chain.half_to_full(tables, source.most_a, 0.0).filter(|_| source.rated) {
        Some(TimeToFull::Hours(h)) => format!(
            "From half to full at {} it takes about {} h with nothing running.",
            amps(source.most_a),
            show::decimal(h, 1)
        ),
        Some(TimeToFull::Never(at)) => format!(
            "At {} it never gets full: {} % two days after half.",
            amps(source.most_a),
            show::decimal(at * 100.0, 0)
        ),
        None => "Find out its amps and the amp-hours of the bank, and the hours follow.".to_owned(),
    }
}

/// What the charging rules could not know and took as they had to: listed with the rest.
#[must_use]
pub fn assumed(study: &Study, chain: &Chain, tables: &Tables) -> Vec<Assumed> {
    let mut all = chain.assumed.clone();
    for source in chain.sources.iter().filter(|s| s.feed != Feed::Inverter && s.line.is_none()) {
        if source.tail_a.is_none() && source.absorb_most_h.is_none() && chain.chemistry.is_lead() {
            let tail = tail_amps(chain, tables);
            all.push(Assumed {
                path: format!("device.{}.tail", source.name),
                value: format!("absorption is held until about {} flow", amps(tail)),
                how_to_measure: "its sheet; or clamp its plus lead at the moment it falls to float"
                    .to_owned(),
                matters: "one that lets go too early never fills the bank (R34)".to_owned(),
                cite: crate::cite::Cite::practice("a charger that ends by a small tail"),
            });
        }
    }
    let place = study.design.place.as_ref();
    let cold_matters = !study.design.arrays.is_empty() || chain.chemistry.is_lead();
    let nowhere = place.is_none_or(|p| p.latitude_deg.is_none() || p.longitude_deg.is_none());
    if cold_matters && nowhere && place.is_none_or(|p| p.coldest.is_none()) {
        all.push(Assumed {
            path: "place.coldest".to_owned(),
            value: "no frost: freezing of the bank is not judged".to_owned(),
            how_to_measure: "a thermometer with a memory, or the records of the place".to_owned(),
            matters: "a half-empty lead bank freezes at about -20 °C (-4 °F), a flat one at -7 °C (20 °F)"
                .to_owned(),
            cite: crate::cite::Cite::practice("a place of which nothing is known"),
        });
    }
    all
}
