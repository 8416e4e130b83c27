//! R35: panels whose volts are too high in the cold or too low in the heat for their controller,
//! arrays that are clipped, and amps above a plain controller's rating.

use super::context::{CheckError, Context, Said, owner};
use super::sources::{chain, coldest};
use crate::calc::panel_volts::panel_volts;
use crate::cite::{Cite, Status};
use crate::finding::Severity;
use crate::model::device::Device;
use crate::model::source::Array;
use crate::sim::chain::Phase;
use crate::tables::Sourced;
use crate::units::{Current, Temperature, Voltage, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let chain = chain(cx);
    let mut said = Vec::new();
    for array in &cx.design().arrays {
        let Some(controller) = array.controller.as_deref().and_then(|c| cx.design().device(c))
        else {
            continue;
        };
        let law = chain.source(&controller.part.name);
        let set_v = law.and_then(|s| s.set_v(Phase::Absorb, 25.0));
        let on = On { cx, array, controller, set_v };
        said.extend(on.cold()?);
        said.extend(on.hot()?);
        said.extend(on.clipped()?);
        said.extend(on.amps()?);
    }
    Ok(said)
}

/// An array on its controller.
struct On<'a> {
    cx: &'a Context<'a>,
    array: &'a Array,
    controller: &'a Device,
    set_v: Option<f64>,
}

fn note_source() -> Cite {
    Cite::new("pv-cold-note", "open volts in the cold", Status::Read)
}

fn volts(v: f64) -> String {
    show::voltage(Voltage::volts(v))
}

impl On<'_> {
    fn said(
        &self,
        severity: Severity,
        key: &str,
        words: (String, String),
        cites: Vec<Cite>,
    ) -> Said {
        Said {
            severity,
            path: format!("array.{}.{key}", self.array.part.name),
            part: self.array.part.name.clone(),
            says: words.0,
            remedy: words.1,
            why: "A panel's volts rise in the cold and fall in the heat; above its input limit a \
                  controller fails at once, below the bank's volts it gives nothing.",
            sources: [vec![owner(), note_source()], cites].concat(),
            gates: None,
        }
    }

    fn in_series(&self) -> f64 {
        f64::from(self.array.series)
    }

    fn per_kelvin(&self) -> Sourced<f64> {
        self.array.volts_per_kelvin.map_or_else(
            || self.cx.tables.limits.value("panel-volts-per-kelvin"),
            |share| Sourced::new(share, owner()),
        )
    }

    fn cold(&self) -> Result<Option<Said>, CheckError> {
        let cold = coldest(self.cx);
        let name = &self.array.part.name;
        let controller = &self.controller.part.name;
        let known = self.array.open_volts.zip(self.controller.input_max).zip(cold);
        let Some(((open, most), cold)) = known else {
            return Ok(Some(self.unknown_cold()));
        };
        let near = self.cx.limit("pv-cold-near")?;
        let slope = self.per_kelvin();
        let open = open.as_volts();
        let string_v = self.in_series() * panel_volts(open, open, slope.value, cold.value);
        let most_v = most.as_volts();
        if string_v <= near.value * most_v {
            return Ok(None);
        }
        let over = most_v < string_v;
        let at = show::temperature(Temperature::celsius(cold.value), self.cx.units());
        let fits = (most_v / (string_v / self.in_series())).floor();
        let margin = (1.0 - string_v / most_v) * 100.0;
        let verdict = if over {
            format!("{controller} fails above {}.", volts(most_v))
        } else {
            format!("{controller} takes {}: {} % in hand.", volts(most_v), show::decimal(margin, 0))
        };
        let says = format!(
            "{} of {name} in series stand at {} with nothing drawn at {at} ({} on paper). {verdict}",
            self.array.series,
            volts(string_v),
            volts(open * self.in_series())
        );
        let remedy = if over && fits < 1.0 {
            format!(
                "Choose a controller for more than {}: not even one panel of {name} stays under its \
                 limit.",
                volts(string_v)
            )
        } else if over {
            format!(
                "Put at most {} in series, or choose a controller for more than {}.",
                show::decimal(fits, 0),
                volts(string_v)
            )
        } else {
            "Keep it so only if no colder morning is known; write place.coldest from a record of \
             the place."
                .to_owned()
        };
        let severity = if over { Severity::Stop } else { Severity::Note };
        let cites = vec![slope.cite, cold.cite, near.cite];
        Ok(Some(self.said(severity, "series", (says, remedy), cites)))
    }

    fn unknown_cold(&self) -> Said {
        let name = &self.array.part.name;
        let mut missing = Vec::new();
        if self.array.open_volts.is_none() {
            missing.push(format!("array.{name}.open_volts"));
        }
        if self.controller.input_max.is_none() {
            missing.push(format!("device.{}.input_max", self.controller.part.name));
        }
        if coldest(self.cx).is_none() {
            missing.push("place.coldest".to_owned());
        }
        let says = format!(
            "Whether {name} stays under the input limit of {} on a cold morning is not known.",
            self.controller.part.name
        );
        let remedy = format!("Write {}.", super::context::listed(&missing));
        self.said(Severity::Note, "series", (says, remedy), Vec::new())
    }

    fn hot(&self) -> Result<Option<Said>, CheckError> {
        let (Some(working), Some(set_v)) = (self.array.working_volts, self.set_v) else {
            return Ok(None);
        };
        let rise = self.cx.limit("panel-cell-over-air")?;
        let margin = self.cx.limit("pv-hot-margin")?;
        let place = self.cx.design().place.as_ref();
        let usual = self.cx.limit("panel-air-warm")?;
        let air_c = place.and_then(|p| p.warmest).map_or(usual.value, |t| t.as_celsius());
        let cell_c = air_c + rise.value;
        let slope = self.per_kelvin();
        let open = self.array.open_volts.unwrap_or(working).as_volts();
        let hot_v = self.in_series() * panel_volts(working.as_volts(), open, slope.value, cell_c);
        // A plain controller needs no head of volts, only more than the bank.
        let converts = self.controller.mppt != Some(false);
        let needed_v = set_v + if converts { margin.value } else { 0.0 };
        if needed_v <= hot_v {
            return Ok(None);
        }
        let name = &self.array.part.name;
        let at = show::temperature(Temperature::celsius(cell_c), self.cx.units());
        let says = format!(
            "{} of {name} in series work at {} with cells at {at}, too low for charging at {}: {} \
             is needed.",
            self.array.series,
            volts(hot_v),
            volts(set_v),
            volts(needed_v)
        );
        let remedy = format!(
            "Put more panels of {name} in series, if the cold volts stay under the input limit, or \
             choose a controller that also raises volts."
        );
        let cites = vec![slope.cite, margin.cite, rise.cite];
        Ok(Some(self.said(Severity::Fix, "series", (says, remedy), cites)))
    }

    /// Power of the whole array at standard test conditions [W].
    fn watts(&self) -> Option<f64> {
        let count = self.in_series() * f64::from(self.array.parallel);
        self.array.panel.map(|p| p.as_watts() * count)
    }

    fn clipped(&self) -> Result<Option<Said>, CheckError> {
        let (Some(watts), Some(rating), Some(set_v)) =
            (self.watts(), self.controller.rating, self.set_v)
        else {
            return Ok(None);
        };
        let most = self.cx.limit("pv-array-over-controller")?;
        let out_w = rating.as_amps() * set_v;
        if self.controller.mppt == Some(false) || watts <= most.value * out_w {
            return Ok(None);
        }
        let name = &self.array.part.name;
        let says = format!(
            "{name} has {} W and {} gives {} W at most: the best hours of the day are cut off.",
            show::decimal(watts, 0),
            self.controller.part.name,
            show::decimal(out_w, 0)
        );
        let remedy =
            "Accept it where the winter decides, or choose a controller for more amps.".to_owned();
        Ok(Some(self.said(Severity::Note, "panel", (says, remedy), vec![most.cite])))
    }

    fn amps(&self) -> Result<Option<Said>, CheckError> {
        let (Some(short), Some(rating)) = (self.array.short_amps, self.controller.rating) else {
            return Ok(None);
        };
        let factor = self.cx.limit("fuse-pv-factor")?;
        let amps = short.as_amps() * f64::from(self.array.parallel) * factor.value;
        if self.controller.mppt != Some(false) || amps <= rating.as_amps() {
            return Ok(None);
        }
        let says = format!(
            "{} give {} in full sun with the {} of bright clouds, more than the {} of {}.",
            self.array.part.name,
            show::current(Current::amps(amps)),
            show::decimal(factor.value, 2),
            show::current(rating),
            self.controller.part.name
        );
        let remedy = "Put fewer strings on it or choose a controller for more amps.".to_owned();
        Ok(Some(self.said(Severity::Stop, "parallel", (says, remedy), vec![factor.cite])))
    }
}
