//! R52: more current than the amp-hours on the label were measured at.

use super::context::{CheckError, Context, Said};
use crate::facts::device::load_amps;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Current, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let lead = cx.study.facts.blocks.iter().all(|b| b.chemistry.is_lead());
    let (Some(bank), Some(amp_hours), Some(nominal)) =
        (cx.bank().filter(|_| lead), cx.bank_amp_hours(), cx.nominal_volts())
    else {
        return Ok(Vec::new());
    };
    let divisor = cx.limit("high-rate-divisor")?;
    let most = amp_hours / divisor.value;
    let all: Current = cx.loads().filter_map(|d| expected(cx, d, nominal)).sum();
    let drawn = bank.discharge.unwrap_or(Current::ZERO).max(all).as_amps();
    if drawn <= most {
        return Ok(Vec::new());
    }
    let at_100 = cx.limit("high-rate-100a-fraction")?;
    let at_200 = cx.limit("high-rate-200a-fraction")?;
    let of_100 = |share: f64| show::decimal(share * 100.0, 0);
    Ok(vec![Said {
        severity: Severity::Note,
        path: format!("{}.discharge", bank.path),
        part: "the bank".to_owned(),
        says: format!(
            "Up to {} is drawn from {} Ah, more than a {}th of it ({}). At 100 A a 100 Ah lead \
             block acts like {} Ah, at 200 A like {} Ah.",
            show::current(Current::amps(drawn)),
            show::decimal(amp_hours, 0),
            show::decimal(divisor.value, 0),
            show::current(Current::amps(most)),
            of_100(at_100.value),
            of_100(at_200.value)
        ),
        remedy:
            "Count on less than the label says while the big load runs, or add amp-hours; what \
                 is not taken out at once comes back after a rest."
                .to_owned(),
        why: "The label counts amp-hours over 20 hours; a faster discharge stops at low volts with \
              charge still inside.",
        sources: vec![divisor.cite, at_100.cite, at_200.cite],
        gates: None,
    }])
}

/// What a device is expected to draw. The rating of a panel is what it can pass and not what is
/// drawn, so it counts by the loads the owner named.
fn expected(cx: &Context<'_>, device: &Device, nominal: Voltage) -> Option<Current> {
    match device.kind {
        DeviceKind::Inverter | DeviceKind::Equipment => cx.steady(&device.part.name),
        DeviceKind::Panel | DeviceKind::StepDown => Some(
            crate::facts::device::loads_on(cx.design(), &device.part.name)
                .filter_map(|load| load_amps(load, nominal))
                .sum(),
        ),
        // Brakes run for seconds and an alarm draws next to nothing.
        _ => None,
    }
}
