//! The size of the bank and the array as the handbooks have it, to be shown beside the simulated answer.

use crate::calc::bank_sizing::{
    DailyLoad, ieee_485_ah, ieee_485_sections, ieee_1013, ieee_1562_strings, sandia_1987,
    simplified_ah,
};
use crate::calc::hand_arithmetic::{Outing, depth, generator_h};
use crate::cite::Cite;
use crate::model::block::Chemistry;
use crate::tables::Tables;
use crate::units::{BlockVoltage, Temperature, show};

/// What the handbooks are asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizingAsk {
    /// Chemistry of the bank.
    pub chemistry: Chemistry,
    /// Nominal volts of one block [V].
    pub block_v: f64,
    /// Nominal volts of the bank [V].
    pub nominal_v: f64,
    /// Amp-hours on the bank's label, at 20 h [Ah].
    pub rated_ah: f64,
    /// Energy a day at the posts [Wh].
    pub daily_wh: f64,
    /// Nights without a hook-up.
    pub nights: f64,
    /// Coldest the cells get [C].
    pub coldest_c: f64,
    /// Sun hours a day, where known.
    pub sun_h: Option<f64>,
    /// Watts on the label of all panels; zero without [W].
    pub array_w: f64,
    /// Working amps of one string of panels, where known [A].
    pub working_a: Option<f64>,
    /// Amps of a charger on a generator, where there is one [A].
    pub generator_a: Option<f64>,
}

/// What one method says.
#[derive(Clone, Debug, PartialEq)]
pub struct HandbookAnswer {
    /// Its name.
    pub method: String,
    /// Its steps, each a sentence with its figures.
    pub steps: Vec<String>,
    /// Amp-hours of bank at 20 h that it asks, where it asks a bank.
    pub ah: Option<f64>,
    /// Strings of panels that it asks, whole, where it asks an array.
    pub modules: Option<f64>,
    /// Depth of the bank as it stands, as a share, where the method tells that.
    pub depth: Option<f64>,
    /// Source and status.
    pub cite: Cite,
}

fn ah(value: f64) -> String {
    format!("{} Ah", show::decimal(value, 0))
}

fn answer(method: &str, cite: Cite, steps: Vec<String>) -> HandbookAnswer {
    HandbookAnswer { method: method.to_owned(), steps, ah: None, modules: None, depth: None, cite }
}

/// Every method that speaks of this chemistry, the envelope first.
///
/// All but the envelope size the bank for the nights without any sun; the methods of the standards are
/// for lead only.
#[must_use]
pub fn handbook(tables: &Tables, ask: &SizingAsk) -> Vec<HandbookAnswer> {
    let mut answers = vec![envelope(tables, ask)];
    answers.extend(simplified(tables, ask));
    if ask.chemistry.is_lead() {
        answers.extend(by_1013(tables, ask));
        answers.extend(by_485(tables, ask));
        answers.extend(by_sandia(tables, ask));
    }
    answers.extend(by_1562(tables, ask));
    answers
}

/// Amp-hours a day at the nominal volts.
fn daily_ah(ask: &SizingAsk) -> f64 {
    ask.daily_wh / ask.nominal_v
}

/// Factor by which the cold asks a larger lead bank; never under one. `None` where it is colder than
/// the table: no factor at all would make the bank far too small.
fn cold(tables: &Tables, ask: &SizingAsk) -> Option<f64> {
    if !ask.chemistry.is_lead() {
        return Some(1.0);
    }
    let factor = tables.battery.size_factor(Temperature::celsius(ask.coldest_c))?;
    Some(factor.value.max(1.0))
}

fn envelope(tables: &Tables, ask: &SizingAsk) -> HandbookAnswer {
    let outing = Outing {
        daily_wh: ask.daily_wh,
        nights: ask.nights,
        array_w: ask.array_w,
        sun_h: ask.sun_h.unwrap_or(0.0),
        bank_ah: ask.rated_ah,
        nominal_v: ask.nominal_v,
    };
    let share = depth(tables, outing);
    let mut steps = vec![format!(
        "{} nights, less the sun at {} hours a day, leave the bank {} % empty.",
        show::decimal(ask.nights, 0),
        show::decimal(outing.sun_h, 1),
        show::decimal(share * 100.0, 0)
    )];
    if let Some(amps) = ask.generator_a.filter(|a| 0.0 < *a) {
        let hours = generator_h(tables, outing, amps);
        let said = show::decimal(hours, 1);
        steps.push(format!("{said} hours of generator keep it at half or above."));
    }
    let cite = tables.limits.value("hand-sun-share").cite;
    let mut told = answer("on the back of an envelope", cite, steps);
    told.depth = Some(share);
    told
}

fn simplified(tables: &Tables, ask: &SizingAsk) -> Option<HandbookAnswer> {
    let id = if ask.chemistry.is_lead() { "planned-floor-lead" } else { "planned-floor-lfp" };
    let floor = tables.limits.value(id);
    let depth = 1.0 - floor.value;
    let factor = cold(tables, ask)?;
    let size = simplified_ah(ask.daily_wh, ask.nights, depth, factor, ask.nominal_v);
    let steps = vec![
        format!("{} a day for the nights: {}.", ah(daily_ah(ask)), ah(daily_ah(ask) * ask.nights)),
        format!(
            "Used to {} %, times {} for the cold: {}.",
            show::decimal(depth * 100.0, 0),
            show::decimal(factor, 2),
            ah(size)
        ),
    ];
    Some(HandbookAnswer { ah: Some(size), ..answer("simplified method", floor.cite, steps) })
}

fn by_1013(tables: &Tables, ask: &SizingAsk) -> Option<HandbookAnswer> {
    let coldest = Temperature::celsius(ask.coldest_c);
    let load = DailyLoad { daily_ah: daily_ah(ask), days: ask.nights, coldest };
    let told = ieee_1013(tables, load)?;
    let s = told.value;
    let steps = vec![
        format!("Unadjusted: {}.", ah(s.unadjusted)),
        format!(
            "For the greatest depth {}, daily depth {}, end of life {}: the largest counts.",
            ah(s.for_depth),
            ah(s.for_daily_depth),
            ah(s.for_end_of_life)
        ),
        format!(
            "Times {} for the cold and the design margin: {}.",
            show::decimal(s.factor, 2),
            ah(s.size)
        ),
    ];
    Some(HandbookAnswer { ah: Some(s.size), ..answer("IEEE 1013", told.cite, steps) })
}

fn by_485(tables: &Tables, ask: &SizingAsk) -> Option<HandbookAnswer> {
    let volts = BlockVoltage::volts(ask.block_v);
    let curve = tables.battery.rate_curve(ask.chemistry.word(), volts)?.value;
    let amps = daily_ah(ask) / 24.0;
    let sections = ieee_485_sections(&[(amps, ask.nights * 24.0)], &curve.rows);
    let coldest = Temperature::celsius(ask.coldest_c);
    let size = ieee_485_ah(tables, &sections, coldest)?;
    let steps = vec![
        format!(
            "{} A for {} hours, with the rates of the {}: {}.",
            show::decimal(amps, 1),
            show::decimal(ask.nights * 24.0, 0),
            curve.name,
            ah(sections.iter().copied().fold(0.0, f64::max))
        ),
        format!("Times cold, margin and ageing: {}.", ah(size.value)),
    ];
    Some(HandbookAnswer { ah: Some(size.value), ..answer("IEEE 485", size.cite, steps) })
}

fn by_sandia(tables: &Tables, ask: &SizingAsk) -> Option<HandbookAnswer> {
    let depth = tables.limits.value("sand87-depth").value;
    let left = 1.0 / cold(tables, ask)?;
    let told = sandia_1987(tables, daily_ah(ask), ask.nights, depth, left);
    let (corrected, size) = told.value;
    let steps = vec![
        format!("Daily load with the losses of wire and battery: {}.", ah(corrected)),
        format!(
            "For the nights, half of a bank of which {} % is left in the cold: {}.",
            show::decimal(left * 100.0, 0),
            ah(size)
        ),
    ];
    let name = "Sandia worksheets of 1987";
    size.is_finite().then(|| HandbookAnswer { ah: Some(size), ..answer(name, told.cite, steps) })
}

fn by_1562(tables: &Tables, ask: &SizingAsk) -> Option<HandbookAnswer> {
    let sun_h = ask.sun_h.filter(|h| 0.0 < *h)?;
    let amps = ask.working_a.filter(|a| 0.0 < *a)?;
    let told = ieee_1562_strings(tables, daily_ah(ask), sun_h, amps);
    let steps = vec![format!(
        "{} a day at {} sun hours and {} A a string, wired at the bank's volts: {} strings.",
        ah(daily_ah(ask)),
        show::decimal(sun_h, 1),
        show::decimal(amps, 1),
        show::decimal(told.value, 2)
    )];
    let whole = told.value.ceil();
    Some(HandbookAnswer { modules: Some(whole), ..answer("IEEE 1562, array", told.cite, steps) })
}

#[cfg(test)]
mod tests {
    use super::{SizingAsk, handbook};
    use crate::model::block::Chemistry;
    use crate::tables::Tables;

    fn trailer(chemistry: Chemistry) -> SizingAsk {
        SizingAsk {
            chemistry,
            block_v: 6.0,
            nominal_v: 12.0,
            rated_ah: 570.0,
            daily_wh: 1651.0,
            nights: 4.0,
            coldest_c: 10.0,
            sun_h: Some(3.0),
            array_w: 400.0,
            working_a: Some(9.8),
            generator_a: Some(41.0),
        }
    }

    #[test]
    fn lead_hears_every_method_and_lfp_only_those_that_speak_of_it() {
        let t = Tables::load().expect("the tables are well formed");
        let lead = handbook(&t, &trailer(Chemistry::Flooded));
        assert_eq!(lead.len(), 6, "{lead:#?}");
        // Hand worked: 137.58 Ah a day x 4 / 0.5 x 1.19 = 1309.8 Ah; the IEEE 1013 steps give
        // max(550.3/0.8, 137.58/0.2) x 1.19 x 1.10 = 687.9 x 1.309 = 900.5 Ah.
        let size = |name: &str| lead.iter().find(|a| a.method == name).and_then(|a| a.ah);
        assert!((size("simplified method").unwrap_or(0.0) - 1309.8).abs() < 0.1, "{lead:#?}");
        assert!((size("IEEE 1013").unwrap_or(0.0) - 900.5).abs() < 0.1, "{lead:#?}");
        assert!((lead[0].depth.unwrap_or(0.0) - 0.489).abs() < 0.001, "{lead:#?}");
        let lfp = handbook(&t, &trailer(Chemistry::Lfp));
        assert_eq!(lfp.len(), 3, "{lfp:#?}");
        // Hand worked: 137.58 x 4 / 0.8 = 687.9 Ah, the cold not counted.
        assert!((lfp[1].ah.unwrap_or(0.0) - 687.9).abs() < 0.1, "{lfp:#?}");
    }
}
