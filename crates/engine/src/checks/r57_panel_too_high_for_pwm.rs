//! R57: panels whose volts a plain controller throws away.

use super::context::{CheckError, Context, Said, owner};
use super::sources::chain;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::sim::chain::Phase;
use crate::units::{Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let most = cx.limit("pwm-voltage-ratio-max")?;
    let mut said = Vec::new();
    for array in &cx.design().arrays {
        let controller = array.controller.as_deref().and_then(|c| cx.design().device(c));
        let (Some(controller), Some(working)) = (controller, array.working_volts) else {
            continue;
        };
        let source = chain.source(&controller.part.name);
        let set_v = source.and_then(|s| s.set_v(Phase::Absorb, 25.0));
        let Some(bank_v) = set_v.filter(|v| *v > 0.0 && controller.mppt != Some(true)) else {
            continue;
        };
        let array_v = working.as_volts() * f64::from(array.series);
        if array_v / bank_v <= most.value {
            continue;
        }
        let name = &array.part.name;
        let kind = if controller.mppt.is_none() {
            format!("If {} only switches (PWM), ", controller.part.name)
        } else {
            String::new()
        };
        let lost = (1.0 - bank_v / array_v) * 100.0;
        said.push(Said {
            severity: Severity::Note,
            path: format!("array.{name}.series"),
            part: name.clone(),
            says: format!(
                "{kind}{} % of {name} is thrown away: it works at {} and the controller holds it at \
                 the {} of the bank.",
                show::decimal(lost, 0),
                show::voltage(Voltage::volts(array_v)),
                show::voltage(Voltage::volts(bank_v))
            ),
            remedy: format!(
                "Put fewer panels of {name} in series, or fit a controller that converts volts and \
                 write device.{}.mppt = true.",
                controller.part.name
            ),
            why: "A plain controller passes the panel's amps at the bank's volts; what lies above is \
                  lost.",
            sources: vec![
                owner(),
                most.cite.clone(),
                Cite::new("controller-pwm-pages", "84 of 120 W", Status::Read),
            ],
            gates: None,
        });
    }
    Ok(said)
}
