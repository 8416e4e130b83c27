//! R55: a generator whose exhaust can reach people asleep.

use super::context::{CheckError, Context, Said};
use super::supply::{Supply, live};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::device::{Device, DeviceKind};
use crate::tables::Sourced;
use crate::units::{Length, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let least = cx.limit("generator-distance-min")?;
    let mut said = Vec::new();
    let mut described = false;
    for generator in cx.design().devices_of(DeviceKind::Generator) {
        described = true;
        said.extend(distance(cx, generator, &least));
        said.extend(exhaust(generator, &least.cite));
    }
    if !described && live(cx).contains(&Supply::Generator) {
        said.push(one(
            "mains.sources".to_owned(),
            "the generator",
            "It is not known where the generator stands: the file lists one and describes none."
                .to_owned(),
            "Add the generator as a device with its distance and exhaust_away.".to_owned(),
            least.cite,
        ));
    }
    Ok(said)
}

fn distance(cx: &Context<'_>, generator: &Device, least: &Sourced<f64>) -> Option<Said> {
    let name = &generator.part.name;
    let units = cx.units();
    let most = Length::m(least.value);
    let asked = show::route(most, units);
    let says = match generator.distance {
        None => format!(
            "It is not known how far {name} stands from the nearest opening of the living space."
        ),
        Some(d) if d < most => {
            format!(
                "{name} stands {} from the nearest opening; {asked} is the least.",
                show::route(d, units)
            )
        }
        Some(_) => return None,
    };
    Some(one(
        format!("device.{name}.distance"),
        name,
        says,
        format!("Stand {name} {asked} or more away and write device.{name}.distance."),
        least.cite.clone(),
    ))
}

fn exhaust(generator: &Device, cite: &Cite) -> Option<Said> {
    let name = &generator.part.name;
    let says = match generator.exhaust_away {
        Some(true) => return None,
        Some(false) => format!("The exhaust of {name} points toward an opening."),
        None => {
            format!("It is not known whether the exhaust of {name} points away from every opening.")
        }
    };
    Some(one(
        format!("device.{name}.exhaust_away"),
        name,
        says,
        format!(
            "Turn {name} so that its exhaust blows away from every door, window and vent, and \
             write device.{name}.exhaust_away = true."
        ),
        cite.clone(),
    ))
}

fn one(path: String, part: &str, says: String, remedy: String, cite: Cite) -> Said {
    Said {
        severity: Severity::Stop,
        path,
        part: part.to_owned(),
        says,
        remedy,
        why: "Carbon monoxide kills asleep people.",
        sources: vec![cite],
        gates: None,
    }
}
