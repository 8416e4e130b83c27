//! Where things lie: blocks in the box, posts on their cases, the path of each lead over them, and
//! with that every length.
//!
//! It takes the design at one stage and its wiring, and knows no current. Sizes bend the leads, so
//! it may be asked once without sizes and again when they are known.

pub mod arrange;
pub mod case;
pub mod clash;
mod climbing;
pub mod devices;
mod figures;
pub mod free;
mod heights;
mod laid;
pub mod lain;
pub mod lengths;
mod path;
mod pattern;
pub mod plan;
pub mod posts;
mod profile;
pub mod route;
#[cfg(test)]
mod samples;
mod seek;
mod shortened;
mod shortest;
mod sought;
pub mod snap;
pub mod solids;
pub mod space;
pub mod straps;
mod taut;
mod track;

use crate::circuit::wiring::{WiredLead, Wiring};
use crate::cite::Cite;
use crate::finding::Assumed;
use crate::model::design::Design;
use crate::model::lead::LugForm;
use crate::model::obstacle::Obstacle;
use crate::model::part::PlanPoint;
use crate::tables::Tables;
use crate::units::conductor::ConductorSize;
use crate::units::{Angle, Length, show};
use clash::{Clash, ClashKind};
use figures::{Cable, Figures};
use lain::{Lain, Looked, Since};
use lengths::{LeadLength, LugReach, Measuring};
use plan::{Drafted, EndPoint, Plan};
use profile::Mouth;
use route::{Body, Field, Job, Route};

/// One lead on the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadPath {
    /// Its name.
    pub id: String,
    /// Where it runs; `None` when an end of it is nowhere on the plan.
    pub route: Option<Route>,
    /// How long it is.
    pub length: LeadLength,
    /// Angle between the two lugs, seen along the lead as it lies straight on a bench. Both palms
    /// lie flat on upright studs, and a bend in plan does not twist a cable: nothing, unless the
    /// owner says that a stud lies over.
    pub lug_angle: Angle,
}

/// Everything placed and measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// The plan of the box.
    pub plan: Plan,
    /// The leads, in the order of the wiring.
    pub leads: Vec<LeadPath>,
    /// What was assumed on the way.
    pub assumed: Vec<Assumed>,
}

impl Layout {
    /// A lead by name.
    #[must_use]
    pub fn lead(&self, id: &str) -> Option<&LeadPath> {
        self.leads.iter().find(|l| l.id == id)
    }
}

/// Places the blocks and devices of a design taken at one stage and lays its leads.
///
/// `size_of` names the size of a lead by the lead's name; a lead without one is drawn as thick as
/// any, with sharp corners.
#[must_use]
pub fn lay_out(
    design: &Design,
    wiring: &Wiring,
    tables: &Tables,
    size_of: &dyn Fn(&str) -> Option<ConductorSize>,
) -> Layout {
    laid_out(design, wiring, tables, size_of, (true, None)).0
}

/// The same at a glance, while something is moved or before sizes are known: a lead that cannot be pulled
/// taut, or only far round, is drawn so and not sought anew.
#[must_use]
pub fn lay_out_at_a_glance(
    design: &Design,
    wiring: &Wiring,
    tables: &Tables,
    size_of: &dyn Fn(&str) -> Option<ConductorSize>,
) -> Layout {
    laid_out(design, wiring, tables, size_of, (false, None)).0
}

/// As [`lay_out`], with how the leads were laid.
#[must_use]
pub fn lay_out_to_follow(
    design: &Design,
    wiring: &Wiring,
    tables: &Tables,
    size_of: &dyn Fn(&str) -> Option<ConductorSize>,
) -> (Layout, Lain) {
    laid_out(design, wiring, tables, size_of, (true, None))
}

/// As [`lay_out_at_a_glance`], after something was moved: a lead with nothing changed near it lies as it
/// lay before, which is where it would be laid again, and no search is made for it. One that was sought
/// stays where it was found until something comes near it.
#[must_use]
pub fn lay_out_following(
    design: &Design,
    wiring: &Wiring,
    tables: &Tables,
    size_of: &dyn Fn(&str) -> Option<ConductorSize>,
    before: &Lain,
) -> (Layout, Lain) {
    laid_out(design, wiring, tables, size_of, (false, Some(before)))
}

fn laid_out(
    design: &Design,
    wiring: &Wiring,
    tables: &Tables,
    size_of: &dyn Fn(&str) -> Option<ConductorSize>,
    (seeks, before): (bool, Option<&Lain>),
) -> (Layout, Lain) {
    let figures = &Figures::of(tables);
    let mut drafted = plan::draft(design, wiring, figures);
    let ends: Vec<[Option<EndPoint>; 2]> = wiring
        .leads
        .iter()
        .map(|lead| [&lead.from, &lead.to].map(|end| drafted.end(design, end)))
        .collect();
    let cables: Vec<Cable> =
        wiring.leads.iter().map(|lead| figures.cable(size_of(&lead.id))).collect();
    let lugs: Vec<[LugReach; 2]> = ends
        .iter()
        .zip(&cables)
        .map(|(ends, cable)| ends.map(|end| LugReach::of(end.and_then(|e| e.stud), cable, figures)))
        .collect();
    let inner = [drafted.plan.inner.length, drafted.plan.inner.width];
    let bodies = bodies(design, &drafted.plan, figures);
    let mut field = Field {
        blocks: &drafted.plan.blocks,
        bodies: &bodies,
        inner,
        off_post: figures.off_post,
        off_cap: figures.off_cap,
        ceiling: ceiling(design, figures),
        laid: Vec::new(),
        seeks,
        since: None,
        looked: Looked::default(),
        lain: Vec::new(),
    };
    let leads = wiring.leads.iter().enumerate();
    let jobs: Vec<Option<Job>> =
        leads.map(|(n, lead)| job(lead, ends[n], cables[n], (lugs[n], figures))).collect();
    field.since = before.and_then(|before| Since::of(before, &field, &jobs));
    let routes: Vec<Option<Route>> =
        jobs.iter().map(|job| job.as_ref().map(|job| field.route(job))).collect();
    let lain = field.lain();
    let mut lengths: Vec<LeadLength> = Vec::new();
    for (n, lead) in wiring.leads.iter().enumerate() {
        let measuring = Measuring {
            lead,
            route: routes[n].as_ref(),
            lugs: lugs[n],
            decided: ends[n].iter().all(|end| end.is_some_and(|e| e.decided)),
            stated: lengths::stated(lead, design.bank()),
        };
        lengths.push(lengths::alone(&measuring, figures));
    }
    lengths::equalise(&wiring.leads, &mut lengths);
    finish(design, wiring, &mut drafted, &routes, &lengths);
    heights::under_the_lid(design, wiring, &mut drafted.plan, &routes, figures);
    let leads = wiring.leads.iter().zip(routes).zip(lengths);
    let layout = Layout {
        leads: leads
            .map(|((lead, route), length)| LeadPath {
                id: lead.id.clone(),
                route,
                length,
                lug_angle: lead.stated.lug_angle.unwrap_or(Angle::ZERO),
            })
            .collect(),
        plan: drafted.plan,
        assumed: drafted.assumed,
    };
    (layout, lain)
}

/// Adds what the routes have shown: leads too near a post, and lengths that rest on nothing.
fn finish(
    design: &Design,
    wiring: &Wiring,
    drafted: &mut Drafted,
    routes: &[Option<Route>],
    lengths: &[LeadLength],
) {
    for (n, lead) in wiring.leads.iter().enumerate() {
        if let Some(route) = &routes[n] {
            drafted.plan.clashes.extend(clashes_of(&lead.id, route));
        }
        if !lengths[n].known {
            drafted.assumed.push(length_assumed(lead, lengths[n].made.length(), design));
        }
    }
}

/// What a route comes too close to, and what its bends lack.
fn clashes_of(lead: &str, route: &Route) -> Vec<Clash> {
    let clash = |kind, other, by| Clash::new(kind, lead, other, by);
    let near = route.too_near.clone();
    let near = near.map(|(post, by)| clash(ClashKind::LeadNearPost, Some(post.to_string()), by));
    let over = route.over_cap;
    let over = over.map(|(id, by)| clash(ClashKind::LeadOverCap, Some(id.to_string()), by));
    let tight = route.bend_too_tight.filter(|_| route.decided);
    let tight = tight.map(|by| clash(ClashKind::BendTooTight, None, by));
    near.into_iter().chain(over).chain(tight).collect()
}

/// What leads go round or over besides blocks: obstacles and the straps that the design names. Blocks
/// stand on the liner.
fn bodies(design: &Design, plan: &Plan, figures: &Figures<'_>) -> Vec<Body> {
    let liner = design.enclosure.as_ref().and_then(|e| e.liner).unwrap_or(Length::ZERO);
    let body = |o: &Obstacle| Body {
        corner: o.at,
        far: PlanPoint { x: o.at.x + o.size.x, y: o.at.y + o.size.y },
        bottom: Some(o.bottom - liner),
        top: o.top().map(|top| top - liner),
    };
    let sets = straps::of(design);
    let straps = if sets.is_empty() {
        Vec::new()
    } else {
        straps::places(&plan.blocks, plan.inner.width, &sets)
    };
    let strap = |strap: &straps::StrapPlace| {
        let half = strap.width.unwrap_or(figures.strap_width) / 2.0;
        let at = |(x, y): (f64, f64), by| PlanPoint { x: Length::mm(x) + by, y: Length::mm(y) };
        let (corner, far) = (at(strap.near, -half), at(strap.far, half));
        let under =
            plan.blocks.iter().filter(|b| b.corner.x < far.x && corner.x < b.far_corner().x);
        let top = under.map(|b| b.case_height).fold(Length::ZERO, Length::max);
        Body { corner, far, bottom: None, top: Some(top + figures.strap_thickness) }
    };
    design.obstacles.iter().map(body).chain(straps.iter().map(strap)).collect()
}

/// The underside of the lid over the floor under the blocks, less what is kept clear under it.
fn ceiling(design: &Design, figures: &Figures<'_>) -> Option<Length> {
    let enclosure = design.enclosure.as_ref()?;
    let liner = enclosure.liner.unwrap_or(Length::ZERO);
    Some(enclosure.height? - liner - enclosure.lid_clearance.unwrap_or(figures.lid))
}

fn job(
    lead: &WiredLead,
    ends: [Option<EndPoint>; 2],
    cable: Cable,
    (lugs, figures): ([LugReach; 2], &Figures<'_>),
) -> Option<Job> {
    let [Some(from), Some(to)] = ends else {
        return None;
    };
    let decided = from.decided && to.decided;
    let straight = |lug: LugReach| if decided { lug.mouth() } else { Length::ZERO };
    let stated = [(&lead.from, &lead.stated.from_end), (&lead.to, &lead.stated.to_end)];
    let mouth = |n: usize, height: Length| {
        let boot = lead.booted(stated[n].0, stated[n].1);
        let sleeve = if boot { figures.boot_past_barrel } else { Length::ZERO };
        Mouth {
            height: (height + cable.diameter / 2.0).as_mm(),
            palm: lugs[n].palm.as_mm(),
            straight: (lugs[n].barrel + sleeve).as_mm(),
            form: LugForm::Straight,
        }
    };
    Some(Job {
        id: lead.id.clone(),
        terminals: [lead.from.clone(), lead.to.clone()],
        from,
        to,
        via: lead.stated.via.clone(),
        diameter: cable.diameter,
        radius: cable.radius.filter(|_| decided),
        mouths: [mouth(0, from.height), mouth(1, to.height)],
        reach: lugs.map(straight),
        forms: stated.map(|(_, end)| end.form),
        decided,
        exits: stated.map(|(_, end)| end.exit),
    })
}

fn length_assumed(lead: &WiredLead, drawn: Length, design: &Design) -> Assumed {
    Assumed {
        path: format!("lead.{}.length", lead.id),
        value: format!(
            "{} for lead {}, from {} to {}, as drawn in pencil",
            show::length(drawn, design.rig.units),
            lead.id,
            lead.from,
            lead.to
        ),
        how_to_measure: "Lay a string from stud to stud along the way the lead will go, round \
                         every corner, and measure the string."
            .to_owned(),
        matters: "Its voltage loss grows with it in proportion; the cable to buy, and how far the \
                  fuse is from the post, rest on it."
            .to_owned(),
        cite: Cite::practice("a pencil place beside the box"),
    }
}

#[cfg(test)]
mod tests;
