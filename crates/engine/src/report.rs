//! The one value that every face shows: a stage worked through, judged, and turned into work.

use crate::checks;
use crate::checks::context::Context;
use crate::cite::Cite;
use crate::evidence::{self, Evidence};
use crate::facts::Ambient;
use crate::finding::{Assumed, Finding, Gate, Severity};
use crate::fit::hold_down::HoldDown;
use crate::fit::room::Room;
use crate::fit::weight::Weight;
use crate::model::design::Design;
use crate::sim::chain::Chain;
use crate::sim::loads::LoadDay;
use crate::sim::set_points::{self, SetPointCard};
use crate::study::Study;
use crate::tables::Tables;
use crate::tables::error::TableError;

/// The whole answer for one stage of a design.
#[derive(Clone, Debug)]
pub struct Report {
    /// The stage's name.
    pub stage: String,
    /// The stage worked through.
    pub study: Study,
    /// Everything there is to say about it, worst first.
    pub findings: Vec<Finding>,
    /// What was assumed because the owner did not say.
    pub assumed: Vec<Assumed>,
    /// The set points of every charge source, at the source and at the posts.
    pub cards: Vec<SetPointCard>,
}

impl Report {
    /// Reports on one stage, with nothing measured or logged.
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn of(
        whole: &Design,
        stage: usize,
        tables: &Tables,
        ambient: Ambient,
    ) -> Result<Self, TableError> {
        Self::with(whole, stage, tables, ambient, &evidence::NONE)
    }

    /// Reports on one stage, with what was measured and done so far.
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn with(
        whole: &Design,
        stage: usize,
        tables: &Tables,
        ambient: Ambient,
        evidence: &Evidence,
    ) -> Result<Self, TableError> {
        let study = Study::of(whole, stage, tables, ambient)?;
        Ok(Self::judged(study, whole, tables, evidence).told_in_full(whole, tables))
    }

    /// The same stage at a glance while something of it is moved, see [`Study::following`]: what is found,
    /// without what is assumed and without the set points.
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn following(
        before: &Study,
        whole: &Design,
        tables: &Tables,
        evidence: &Evidence,
    ) -> Result<Self, TableError> {
        let study = Study::following(before, whole, tables, before.ambient)?;
        Ok(Self::judged(study, whole, tables, evidence))
    }

    /// Judges what was worked through.
    fn judged(study: Study, whole: &Design, tables: &Tables, evidence: &Evidence) -> Self {
        let stage = whole.stages.get(study.stage).map_or_else(String::new, |s| s.name.clone());
        let mut findings = checks::run(&Context { study: &study, tables, whole, evidence });
        for finding in &mut findings {
            finding.stage = Some(stage.clone());
        }
        Self { stage, study, findings, assumed: Vec::new(), cards: Vec::new() }
    }

    /// With what was assumed and the set points.
    fn told_in_full(mut self, whole: &Design, tables: &Tables) -> Self {
        let study = &self.study;
        let chain = Chain::of(study, tables);
        let loads = LoadDay::of(study, tables, &|_| true);
        let mut assumed = study.assumed();
        let weight = Weight::of(study, whole, tables).assumed;
        let more = set_points::assumed(study, &chain, tables).into_iter().chain(loads.assumed);
        let room = Room::of(study, tables).map_or_else(Vec::new, |r| r.asked);
        let hold = HoldDown::of(&study.design, tables).map_or_else(Vec::new, |h| h.assumed);
        for item in more.chain(weight).chain(room).chain(hold) {
            if !assumed.iter().any(|a| a.path == item.path) {
                assumed.push(item);
            }
        }
        self.cards = set_points::cards(&chain, tables);
        self.assumed = assumed;
        self
    }

    /// Reports on the present stage and every later one; a finding that stays is told once, at the
    /// stage where it first appears.
    ///
    /// # Errors
    /// When a published table lacks a row it must have.
    pub fn from_present(
        whole: &Design,
        tables: &Tables,
        ambient: Ambient,
        evidence: &Evidence,
    ) -> Result<Vec<Self>, TableError> {
        let mut reports: Vec<Self> = Vec::new();
        for report in Self::side_by_side(whole, tables, ambient, evidence) {
            let mut report = report?;
            let told = |f: &Finding| {
                reports
                    .iter()
                    .flat_map(|r| &r.findings)
                    .any(|o| o.code == f.code && o.path == f.path && o.severity == f.severity)
            };
            report.findings.retain(|f| !told(f));
            reports.push(report);
        }
        Ok(reports)
    }

    /// The stages worked through at the same time, in their order: none needs another's answer. A stage
    /// that changes no part of the rig is the one before it under another name.
    fn side_by_side(
        whole: &Design,
        tables: &Tables,
        ambient: Ambient,
        evidence: &Evidence,
    ) -> Vec<Result<Self, TableError>> {
        let one = |stage: usize| Self::with(whole, stage, tables, ambient, evidence);
        let standing: Vec<Design> =
            (whole.present_stage()..whole.stages.len()).map(|s| whole.at_stage(s)).collect();
        std::thread::scope(|scope| {
            // Where no thread can be had, the stage is worked through here instead.
            let begun: Vec<_> = standing
                .iter()
                .enumerate()
                .map(|(n, design)| {
                    if n > 0 && standing[n - 1] == *design {
                        return None;
                    }
                    let stage = whole.present_stage() + n;
                    let builder = std::thread::Builder::new();
                    let begun = builder.spawn_scoped(scope, move || one(stage));
                    Some(begun.map_err(|_| Box::new(one(stage))))
                })
                .collect();
            let mut done: Vec<Result<Self, TableError>> = Vec::new();
            for (n, begun) in begun.into_iter().enumerate() {
                let report = match begun {
                    Some(Ok(handle)) => {
                        handle.join().unwrap_or_else(|bug| std::panic::resume_unwind(bug))
                    }
                    Some(Err(report)) => *report,
                    None => Self::renamed(done.last(), whole, whole.present_stage() + n)
                        .unwrap_or_else(|| one(whole.present_stage() + n)),
                };
                done.push(report);
            }
            done
        })
    }

    /// The same report under a later stage's name.
    fn renamed(
        before: Option<&Result<Self, TableError>>,
        whole: &Design,
        stage: usize,
    ) -> Option<Result<Self, TableError>> {
        let mut report = before?.as_ref().ok()?.clone();
        report.stage = whole.stages.get(stage).map_or_else(String::new, |s| s.name.clone());
        report.study.stage = stage;
        for finding in &mut report.findings {
            finding.stage = Some(report.stage.clone());
        }
        Some(Ok(report))
    }

    /// How many STOP findings stand.
    #[must_use]
    pub fn stops(&self) -> usize {
        self.findings.iter().filter(|f| f.severity == Severity::Stop).count()
    }

    /// The findings that hold a gate shut.
    pub fn holding(&self, gate: Gate) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |f| f.blocks.contains(&gate))
    }

    /// Every source this report rests on, each once, in order of key and place.
    #[must_use]
    pub fn sources(&self) -> Vec<Cite> {
        let mut all: Vec<Cite> = self
            .findings
            .iter()
            .flat_map(|f| f.sources.clone())
            .chain(self.assumed.iter().map(|a| a.cite.clone()))
            .chain(self.study.leads.iter().flat_map(|l| l.cites.clone()))
            .collect();
        all.sort();
        all.dedup();
        all
    }
}
