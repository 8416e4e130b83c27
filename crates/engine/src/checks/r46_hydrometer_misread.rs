//! R46: gravity read without its temperature, or too soon after water. It reads the log.

use super::context::{CheckError, Context, Said};
use super::logged::{PATH, look};
use crate::care::believed::DoubtKind;
use crate::care::cells::Acid;
use crate::care::look::owners_log;
use crate::finding::Severity;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(acid) = look(cx).and_then(|l| Acid::of(&l)) else {
        return Ok(Vec::new());
    };
    let points = || acid.cells.iter().flat_map(|c| &c.points);
    let Some(last) = points().map(|p| p.at.date()).max() else {
        return Ok(Vec::new());
    };
    let of = |kind: DoubtKind| {
        points().filter(|p| p.at.date() == last && p.doubted == Some(kind)).count()
    };
    let (cold, wet) = (of(DoubtKind::NoTemperature), of(DoubtKind::JustWatered));
    let rule = &acid.correction.rule;
    let said = |says: String, remedy: String| Said {
        severity: Severity::Note,
        path: PATH.to_owned(),
        part: "the hydrometer".to_owned(),
        says,
        remedy,
        why: "Cold acid reads high, warm acid low, and water lies on top until the cell gasses.",
        sources: vec![owners_log(), rule.per_kelvin.cite.clone()],
        gates: None,
    };
    let mut all = Vec::new();
    if cold > 0 {
        let reference = show::temperature(rule.reference, cx.units());
        let by = match cx.units() {
            show::UnitSystem::Us => {
                format!("{} for each 10 °F", show::fixed(rule.per_kelvin.value / 0.18, 4))
            }
            show::UnitSystem::Metric => {
                format!("{} for each °C", show::fixed(rule.per_kelvin.value, 4))
            }
        };
        let says = format!(
            "On {last} {cold} gravities were written without the temperature of the fluid."
        );
        let remedy = format!(
            "Read a thermometer in one cell and write it beside each gravity; add {by} above {reference} and \
             subtract it below."
        );
        all.push(said(says, remedy));
    }
    if wet > 0 {
        let wait = cx.limit("gravity-wait-after-water")?;
        let says = format!(
            "On {last} {wet} gravities were read too soon after water was put in; they are not counted."
        );
        let remedy = format!(
            "Read before you fill, or after {} minutes of charge that makes the cells gas.",
            show::decimal(wait.value, 0)
        );
        let mut note = said(says, remedy);
        note.sources.push(wait.cite);
        all.push(note);
    }
    Ok(all)
}
