//! One stage of a design worked through: wiring, facts, plan, sizes, network and current share.
//!
//! Nothing is judged here; the checks do that. Every later part of the report reads this.

use crate::circuit::error::SolveError;
use crate::circuit::netlist::{Fitted, LeadOhms, Netlist};
use crate::circuit::share::{Draw, MainConsumer, Share, ShareInput};
use crate::circuit::wiring::{WiredLead, Wiring};
use crate::cite::Status;
use crate::facts::conductor::{conductor_resistance, working_temperature};
use crate::facts::device::{DeviceCurrent, design_current};
use crate::facts::{Ambient, Facts};
use crate::finding::Assumed;
use crate::layout::lain::Lain;
use crate::layout::{Layout, lay_out_at_a_glance, lay_out_following, lay_out_to_follow};
use crate::model::design::Design;
use crate::sizing::answer::LeadAnswer;
use crate::sizing::{LeadSizes, SizingInput, other_practices};
use crate::tables::Tables;
use crate::tables::error::TableError;
use crate::units::capacity::Rating;
use crate::units::conductor::ConductorSize;
use crate::units::{Current, Length, Resistance};

/// One stage worked through.
#[derive(Clone, Debug)]
pub struct Study {
    /// The design as it stands at this stage.
    pub design: Design,
    /// Which stage.
    pub stage: usize,
    /// What it was looked at in.
    pub ambient: Ambient,
    /// Its leads.
    pub wiring: Wiring,
    /// What is known or assumed of its parts.
    pub facts: Facts,
    /// Where things lie and how long the leads are.
    pub layout: Layout,
    /// How the leads were laid, for the next time that something of it is moved.
    pub lain: Lain,
    /// Design currents of loads and charge sources.
    pub currents: Vec<DeviceCurrent>,
    /// The sizes that the leads of the layout are drawn with, in wiring order.
    pub laid_with: Vec<Option<ConductorSize>>,
    /// Sizes, fuses and ends, in wiring order.
    pub leads: Vec<LeadAnswer>,
    /// Resistances of the leads, in wiring order.
    pub ohms: Vec<LeadOhms>,
    /// The network with everything fitted.
    pub netlist: Netlist,
    /// Where a single draw is taken.
    pub consumer: MainConsumer,
    /// Every load at its own design current.
    pub discharge: Result<Share, SolveError>,
    /// Every charge source at its own current; `None` when there is none.
    pub charge: Option<Result<Share, SolveError>>,
}

impl Study {
    /// Everything assumed on the way, each path once.
    #[must_use]
    pub fn assumed(&self) -> Vec<Assumed> {
        let mut all: Vec<Assumed> = Vec::new();
        for item in self.facts.assumed.iter().chain(&self.layout.assumed) {
            if !all.iter().any(|a| a.path == item.path) {
                all.push(item.clone());
            }
        }
        all
    }

    /// Fills in what each lead would be under the other practice settings.
    ///
    /// # Errors
    /// When a published table lacks what a practice setting names.
    pub fn compare_practices(&mut self, tables: &Tables) -> Result<(), TableError> {
        let others = other_practices(&SizingInput {
            design: &self.design,
            tables,
            wiring: &self.wiring,
            facts: &self.facts,
            layout: &self.layout,
            currents: &self.currents,
        })?;
        for (lead, others) in self.leads.iter_mut().zip(others) {
            lead.other_practice = others;
        }
        Ok(())
    }

    /// The share under another draw.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn share(&self, draw: &Draw) -> Result<Share, SolveError> {
        share(self, draw)
    }
}

impl Study {
    /// Works one stage of a design through.
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn of(
        whole: &Design,
        stage: usize,
        tables: &Tables,
        ambient: Ambient,
    ) -> Result<Self, TableError> {
        Self::laid(whole, stage, (tables, ambient), None)
    }

    /// The same at a glance, while something of a stage that was worked through already is moved: the
    /// leads are laid once, with the sizes they were drawn with before. Where those lengths ask for
    /// other sizes than before, or the stage has other leads, it is worked through as [`Study::of`]
    /// does. The two agree but for a lead whose size the first, rough lengths tip over, and for one that
    /// has to be sought; whoever keeps the answer asks [`Study::of`].
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn following(
        before: &Self,
        whole: &Design,
        tables: &Tables,
        ambient: Ambient,
    ) -> Result<Self, TableError> {
        Self::laid(whole, before.stage, (tables, ambient), Some(before))
    }

    fn laid(
        whole: &Design,
        stage: usize,
        (tables, ambient): (&Tables, Ambient),
        before: Option<&Self>,
    ) -> Result<Self, TableError> {
        let design = whole.at_stage(stage);
        let wiring = Wiring::of(&design);
        let facts = Facts::of(&design, tables, ambient);
        let currents = device_currents(&design, tables);
        let ground =
            Ground { design: &design, tables, wiring: &wiring, facts: &facts, currents: &currents };
        let glance = before.map_or(Ok(None), |before| ground.as_before(before))?;
        let Laid { layout, lain, laid_with, leads } = match glance {
            Some(laid) => laid,
            None => ground.anew()?,
        };
        let ohms = lead_ohms(&design, &wiring, &facts, &leads, tables);
        let netlist = Netlist::of(&design, &wiring, &facts, &ohms, &Fitted::ALL);
        let consumer = main_consumer(&design, &netlist, &currents);
        let asked = asked_of(&design, &netlist, &currents);
        let input = ShareInput {
            design: &design,
            wiring: &wiring,
            netlist: &netlist,
            consumer: &consumer,
            status: block_status(&facts),
        };
        let discharge = Share::of(&input, &asked.discharge);
        let charge = asked.charge.as_ref().map(|draw| Share::of(&input, draw));
        Ok(Self {
            stage,
            ambient,
            currents,
            laid_with,
            leads,
            ohms,
            consumer,
            discharge,
            charge,
            layout,
            lain,
            facts,
            netlist,
            wiring,
            design,
        })
    }
}

/// What the leads are laid and sized on.
struct Ground<'a> {
    design: &'a Design,
    tables: &'a Tables,
    wiring: &'a Wiring,
    facts: &'a Facts,
    currents: &'a [DeviceCurrent],
}

/// Leads laid and sized.
struct Laid {
    layout: Layout,
    lain: Lain,
    laid_with: Vec<Option<ConductorSize>>,
    leads: Vec<LeadAnswer>,
}

impl Ground<'_> {
    const fn input<'b>(&'b self, layout: &'b Layout) -> SizingInput<'b> {
        SizingInput {
            design: self.design,
            tables: self.tables,
            wiring: self.wiring,
            facts: self.facts,
            layout,
            currents: self.currents,
        }
    }

    fn at_a_glance(&self, size_of: &dyn Fn(&str) -> Option<ConductorSize>) -> Layout {
        lay_out_at_a_glance(self.design, self.wiring, self.tables, size_of)
    }

    /// The leads laid without sizes, sized, and laid again with the sizes found.
    fn anew(&self) -> Result<Laid, TableError> {
        let first = self.at_a_glance(&|id| stated_size(self.design, self.wiring, id));
        let rough = LeadSizes::of(&self.input(&first))?;
        let laid_with: Vec<Option<ConductorSize>> =
            (0..self.wiring.leads.len()).map(|n| rough.size(n)).collect();
        let size_of = |id: &str| *laid_with.get(place(self.wiring, id)?)?;
        let (layout, lain) = lay_out_to_follow(self.design, self.wiring, self.tables, &size_of);
        // Sizes that make no lead longer or shorter leave themselves as they were.
        let leads = rough.on(&self.input(&layout))?.answers(&self.input(&layout));
        Ok(Laid { layout, lain, laid_with, leads })
    }

    /// The leads laid with the sizes they were drawn with before; `None` where that asks for others.
    fn as_before(&self, before: &Study) -> Result<Option<Laid>, TableError> {
        let ids =
            |study: &[WiredLead]| -> Vec<String> { study.iter().map(|l| l.id.clone()).collect() };
        if ids(&self.wiring.leads) != ids(&before.wiring.leads) {
            return Ok(None);
        }
        let laid_with = before.laid_with.clone();
        let size_of = |id: &str| *laid_with.get(place(self.wiring, id)?)?;
        let (design, wiring, tables) = (self.design, self.wiring, self.tables);
        let (layout, lain) = lay_out_following(design, wiring, tables, &size_of, &before.lain);
        let sizes = LeadSizes::of(&self.input(&layout))?;
        let as_it_was = |(n, was): (usize, &LeadAnswer)| sizes.size(n) == Some(was.size);
        if !before.leads.iter().enumerate().all(as_it_was) {
            return Ok(None);
        }
        let leads = sizes.answers(&self.input(&layout));
        Ok(Some(Laid { layout, lain, laid_with, leads }))
    }
}

/// Where a lead stands in the wiring.
fn place(wiring: &Wiring, id: &str) -> Option<usize> {
    wiring.leads.iter().position(|l| l.id == id)
}

/// The size the owner stated for a lead or for all links of the bank.
fn stated_size(design: &Design, wiring: &Wiring, id: &str) -> Option<ConductorSize> {
    let lead = wiring.lead(id)?;
    let links = design.bank().and_then(|b| b.link_size).filter(|_| lead.role.is_link());
    lead.stated.size.or(links)
}

fn device_currents(design: &Design, tables: &Tables) -> Vec<DeviceCurrent> {
    let mut currents = Vec::new();
    for device in &design.devices {
        if let Some(current) = design_current(design, tables, device) {
            currents.push(DeviceCurrent { device: device.part.name.clone(), current });
        }
    }
    currents
}

/// Resistances of the leads at their working temperature, in wiring order.
fn lead_ohms(
    design: &Design,
    wiring: &Wiring,
    facts: &Facts,
    leads: &[LeadAnswer],
    tables: &Tables,
) -> Vec<LeadOhms> {
    let mut all = Vec::with_capacity(leads.len());
    for (wired, answer) in wiring.leads.iter().zip(leads) {
        let link = design.bank().and_then(|b| b.link_temperature).filter(|_| wired.role.is_link());
        let loading = answer.design_amps / answer.ampacity.max(Current::amps(0.1));
        let class = answer.insulation.as_celsius();
        let base = tables.limits.value("ampacity-base-temperature").value;
        let worked = working_temperature(facts.ambient, class, base, loading.clamp(0.0, 1.0));
        let temperature = wired.stated.temperature.or(link).unwrap_or(worked);
        // A lead of no length still has a lug at each end; a millimetre keeps the network solvable.
        let length = answer.length.made().max(Length::mm(1.0));
        // The sizing answers with sizes of the tables only, so the first arm is always taken; the
        // second keeps a network of a size that a table lost from being silently lossless.
        let conductor = conductor_resistance(tables, answer.size, length, temperature)
            .map_or(Resistance::milliohms(length.as_m()), |(r, _)| r);
        let usual = facts.joint_of(wired.role.is_link());
        let joint = |stated: Option<Resistance>| stated.unwrap_or(usual).as_ohms();
        all.push(LeadOhms {
            from_joint: joint(wired.stated.from_end.joint),
            conductor: conductor.as_ohms(),
            to_joint: joint(wired.stated.to_end.joint),
        });
    }
    all
}

/// The load with the largest steady current; the take-off when none is connected.
fn main_consumer(design: &Design, netlist: &Netlist, currents: &[DeviceCurrent]) -> MainConsumer {
    let largest = currents
        .iter()
        .filter(|c| c.current.steady.as_amps() > 0.0)
        .filter(|c| netlist.device_terminals(&c.device).is_some())
        .max_by(|a, b| a.current.steady.as_amps().total_cmp(&b.current.steady.as_amps()));
    let device = largest.map(|c| c.device.clone());
    let cut_off = device.as_ref().and_then(|d| design.device(d)).and_then(|d| d.cut_off);
    MainConsumer { device, cut_off }
}

/// What is asked of the bank by what hangs on it.
struct Asked {
    discharge: Draw,
    charge: Option<Draw>,
}

fn asked_of(design: &Design, netlist: &Netlist, currents: &[DeviceCurrent]) -> Asked {
    let connected = |wanted: fn(f64) -> bool| -> Vec<(String, Current)> {
        currents
            .iter()
            .filter(|c| wanted(c.current.steady.as_amps()))
            .filter(|c| netlist.device_terminals(&c.device).is_some())
            .map(|c| (c.device.clone(), c.current.steady))
            .collect()
    };
    let loads = connected(|amps| amps > 0.0);
    let sources = connected(|amps| amps < 0.0);
    let discharge =
        if loads.is_empty() { Draw::Amps(usual_discharge(design)) } else { Draw::Devices(loads) };
    Asked { discharge, charge: (!sources.is_empty()).then_some(Draw::Devices(sources)) }
}

/// What the owner plans to draw, or a fifth of the rated amp-hours where nothing is connected.
fn usual_discharge(design: &Design) -> Current {
    let Some(bank) = design.bank() else {
        return Current::ZERO;
    };
    let rated = design
        .block_model(&bank.block)
        .and_then(|m| m.rating)
        .and_then(Rating::capacity)
        .map(|c| Current::amps(c.in_parallel(bank.parallel).as_amp_hours() / 5.0));
    bank.discharge.or(rated).unwrap_or(Current::amps(f64::from(bank.parallel) * 10.0))
}

fn block_status(facts: &Facts) -> Status {
    facts.blocks.iter().map(|b| b.cite.status).max().unwrap_or(Status::Computed)
}

fn share(study: &Study, draw: &Draw) -> Result<Share, SolveError> {
    let input = ShareInput {
        design: &study.design,
        wiring: &study.wiring,
        netlist: &study.netlist,
        consumer: &study.consumer,
        status: block_status(&study.facts),
    };
    Share::of(&input, draw)
}
