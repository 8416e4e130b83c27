//! R48: equalising what must not be, where it is too hot, under a shut lid, with gear on the line.

use super::context::{CheckError, Context, Said, listed, owner};
use super::logged::{PATH, look};
use super::sources::cell_word;
use crate::care::look::owners_log;
use crate::cite::Cite;
use crate::evidence::log::Event;
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::model::device::{Device, DeviceKind};
use crate::units::{Temperature, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(block) = cx.study.facts.blocks.first() else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    for device in &cx.design().devices {
        let Some(volts) = device.equalise else {
            continue;
        };
        let hot = cx.limit("equalise-temperature-max")?;
        let at = On { cx, device, volts };
        if block.chemistry == Chemistry::Flooded {
            said.extend(at.too_hot(hot.value, &hot.cite));
            said.extend(at.shut(&hot.cite));
            said.extend(at.gear(&hot.cite));
        } else {
            said.push(at.wrong_kind(block.chemistry, hot.cite));
        }
    }
    said.extend(logged(cx, block.chemistry)?);
    Ok(said)
}

/// What the log says: the last equalising charge ran too hot, or should never have been.
fn logged(cx: &Context<'_>, chemistry: Chemistry) -> Result<Option<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(None);
    };
    let hot = cx.limit("equalise-temperature-max")?;
    let last = look.entries().iter().rev().find_map(|e| match e.event {
        Event::Equalise { hottest, .. } => Some((e.at.date(), hottest)),
        _ => None,
    });
    let Some((on, hottest)) = last else {
        return Ok(None);
    };
    let shown = |t: Temperature| show::temperature(t, cx.units());
    let too_hot = hottest.filter(|t| hot.value < t.as_celsius());
    let (says, remedy) = if chemistry != Chemistry::Flooded {
        let says = format!(
            "The log has an equalising charge on {on}, and each cell is {}.",
            cell_word(chemistry)
        );
        (
            says,
            "Never do it again unless the maker's own sheet says so, and test the capacity."
                .to_owned(),
        )
    } else if let Some(most) = too_hot {
        let limit = shown(Temperature::celsius(hot.value));
        let says = format!(
            "The equalising charge of {on} ran to {}; it must stop at {limit}.",
            shown(most)
        );
        (
            says,
            "Read a thermometer in a cell every half hour and stop in time; begin in the cool."
                .to_owned(),
        )
    } else {
        return Ok(None);
    };
    Ok(Some(Said {
        severity: Severity::Fix,
        path: PATH.to_owned(),
        part: "the bank".to_owned(),
        says,
        remedy,
        why: "Equalising is a lasting overcharge: heat, gas that explodes, and volts that gear was not made for.",
        sources: vec![owners_log(), hot.cite],
        gates: None,
    }))
}

struct On<'a> {
    cx: &'a Context<'a>,
    device: &'a Device,
    volts: Voltage,
}

impl On<'_> {
    fn said(&self, severity: Severity, words: (String, String), cite: &Cite) -> Said {
        let name = &self.device.part.name;
        Said {
            severity,
            path: format!("device.{name}.equalise"),
            part: name.clone(),
            says: words.0,
            remedy: words.1,
            why: "Equalising is a lasting overcharge: heat, gas that explodes, and volts that gear \
                  was not made for.",
            sources: vec![owner(), cite.clone()],
            gates: None,
        }
    }

    fn wrong_kind(&self, chemistry: Chemistry, cite: Cite) -> Said {
        let name = &self.device.part.name;
        let says = format!(
            "{name} equalises at {} and each cell of the bank is {}, which loses what it cannot get \
             back.",
            show::voltage(self.volts),
            cell_word(chemistry)
        );
        let remedy = format!(
            "Switch it off on {name} and take device.{name}.equalise out of the file; never equalise \
             AGM, gel or LFP unless its own maker says so."
        );
        self.said(Severity::Stop, (says, remedy), &cite)
    }

    fn too_hot(&self, hot_c: f64, cite: &Cite) -> Option<Said> {
        let warmest = self.cx.design().place.as_ref()?.warmest?;
        if warmest.as_celsius() < hot_c {
            return None;
        }
        let shown = |t: Temperature| show::temperature(t, self.cx.units());
        let says = format!(
            "The bank sees {} and an equalising charge must stop at {}.",
            shown(warmest),
            shown(Temperature::celsius(hot_c))
        );
        let remedy =
            "Equalise in the cool of the year or the night, thermometer in a cell; a data \
                      sheet that was read allows 50 °C, the blocks' own sheet decides."
                .to_owned();
        Some(self.said(Severity::Stop, (says, remedy), cite))
    }

    /// A sealed box or a lid without vents.
    fn shut(&self, cite: &Cite) -> Option<Said> {
        let within = self.cx.design().enclosure.as_ref()?;
        let closed = within.lid == Some(true) || within.sealed == Some(true);
        let open = |area: Option<crate::units::Area>| area.is_some_and(|a| a.as_mm2() > 0.0);
        if !closed || (open(within.vent_low) && open(within.vent_high)) {
            return None;
        }
        let says = format!(
            "{} equalises at {} under a shut lid without an opening low and one high.",
            self.device.part.name,
            show::voltage(self.volts)
        );
        let remedy =
            "Open the lid and the doors for as long as it lasts, caps on, no flame and no \
                      spark, or make the vents and write box.vent_low and box.vent_high."
                .to_owned();
        Some(self.said(Severity::Stop, (says, remedy), cite))
    }

    /// Loads that are on and are not made, or not known to be made, for these volts.
    fn gear(&self, cite: &Cite) -> Vec<Said> {
        let loads: Vec<&Device> =
            self.cx.loads().filter(|d| d.kind != DeviceKind::Breakaway).collect();
        let under = |d: &&&Device| d.volts_max.is_some_and(|v| v < self.volts);
        let names = |list: Vec<&&Device>| {
            let names: Vec<&str> = list.iter().map(|d| d.part.name.as_str()).collect();
            listed(&names)
        };
        let low: Vec<&&Device> = loads.iter().filter(under).collect();
        let unknown: Vec<&&Device> = loads.iter().filter(|d| d.volts_max.is_none()).collect();
        let mut said = Vec::new();
        if !low.is_empty() {
            let says = format!(
                "At {} {} stand above the volts they are marked for.",
                show::voltage(self.volts),
                names(low)
            );
            let remedy = "Part them from the bank before you equalise, and say how in the note of \
                          the charger; or equalise at fewer volts."
                .to_owned();
            said.push(self.said(Severity::Stop, (says, remedy), cite));
        }
        if !unknown.is_empty() {
            let says = format!(
                "{} lifts the bank to {}; what {} can bear, and the gear on them, is not known.",
                self.device.part.name,
                show::voltage(self.volts),
                names(unknown)
            );
            let remedy =
                "Switch everything off and pull its fuses before you equalise, stop at 46 °C \
                          in any cell, or read the gear's sheets and write volts_max."
                    .to_owned();
            said.push(self.said(Severity::Note, (says, remedy), cite));
        }
        said
    }
}
