//! The course of a charge from half to full on one source: its amps, what the posts get, and where
//! absorption, the tail and full really are.

use super::chain::{Chain, Feed, Phase, Source};
use super::set_points::tail_amps;
use crate::calc::time_to_full::share_that_stays;
use crate::tables::Tables;

/// A moment of the charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChargeMoment {
    /// Hours since it began [h].
    pub hours: f64,
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// Amps into the bank [A].
    pub amps: f64,
    /// Volts at the posts; `None` while they still rise, which is not followed [V].
    pub posts_v: Option<f64>,
}

/// The course of a charge with nothing running.
#[derive(Clone, Debug, PartialEq)]
pub struct ChargeCourse {
    /// The source.
    pub source: String,
    /// Volts the source is set to hold, at 25 C [V].
    pub set_v: f64,
    /// Volts of the posts at rest, half full [V].
    pub rest_v: Option<f64>,
    /// Moments in order.
    pub moments: Vec<ChargeMoment>,
    /// Where its amps begin to fall.
    pub absorbs: Option<ChargeMoment>,
    /// Where the amps are down to the tail of a nearly full bank.
    pub tail: Option<ChargeMoment>,
    /// Where it counts as full.
    pub full: Option<ChargeMoment>,
    /// Where the source lets go by its own tail or clock, when that is before full.
    pub lets_go: Option<ChargeMoment>,
    /// Amps of the tail that is looked for [A].
    pub tail_a: f64,
    /// It is lead: its law is the one recalled from Copetti, and not one read.
    pub lead: bool,
}

/// Half a hundredth of an hour, the step of the hours from half to full.
const STEP_H: f64 = 0.005;

/// Every so many steps a moment is kept: a tenth of an hour.
const KEPT: usize = 20;

/// LFP takes its amps until a tenth of an hour's worth is missing.
const LFP_TAIL_H: f64 = 0.1;

impl ChargeCourse {
    /// The courses of the sources that a hook-up, a generator or an engine feeds.
    #[must_use]
    pub fn all(chain: &Chain, tables: &Tables) -> Vec<Self> {
        let fed = |s: &&Source| !matches!(s.feed, Feed::Inverter | Feed::Sun) && s.line.is_none();
        chain.sources.iter().filter(fed).filter_map(|s| Self::of(chain, tables, s)).collect()
    }

    /// The course of one source; `None` where its amps, its volts or the bank's amp-hours are not
    /// known.
    ///
    /// # Formula
    /// I = min(Imax, missing / 1 h); dQ = I s(Q, I) dt; V = Uset - R I once I < Imax
    /// # Symbols
    /// - Imax, its amps [A]; s, the share that stays, see `share_that_stays`; R, from studs to posts
    ///   [ohm]; Uset, what it holds at 25 C [V]
    /// - returns hours, charge, amps and volts of the posts in order
    /// # Valid
    /// As `time_to_full`, whose law and step it shares.
    /// # Source
    /// copetti-1993, coulomb efficiency on charge, recalled; physics, Ohm's law, computed
    /// # Checked by
    /// `a_course_ends_when_the_hours_say`, against `half_to_full`
    #[must_use]
    pub fn of(chain: &Chain, tables: &Tables, source: &Source) -> Option<Self> {
        let accepts = chain.acceptance?;
        let most_a = Some(source.most_a).filter(|a| 0.0 < *a && *a < f64::MAX)?;
        let set_v = source.set_v(Phase::Absorb, 25.0)?;
        let value = |id: &str| tables.limits.value(id).value;
        let efficiency = value("charge-efficiency-lfp");
        let (full, last_h) = (value("charge-full"), value("charge-hours-most"));
        let half = value("charge-half");
        let name = chain.chemistry.word();
        let rest = tables.battery.rest_voltage(name, 100.0 * half);
        let mut course = Self {
            source: source.name.clone(),
            set_v,
            rest_v: rest.map(|v| v.value.as_volts() * f64::from(chain.cells)),
            moments: Vec::new(),
            absorbs: None,
            tail: None,
            full: None,
            lets_go: None,
            tail_a: tail_amps(chain, tables),
            lead: accepts.lead,
        };
        let (mut now_ah, mut hours, mut step) = (half * accepts.amp_hours, 0.0, 0_usize);
        while hours < last_h {
            let missing = accepts.amp_hours - now_ah;
            let offered = if accepts.lead { missing } else { missing / LFP_TAIL_H };
            let amps = most_a.min(offered);
            let soc = now_ah / accepts.amp_hours;
            let posts_v =
                (offered <= most_a).then(|| source.posts_v(Phase::Absorb, 25.0, amps)).flatten();
            let moment = ChargeMoment { hours, soc, amps, posts_v };
            let ends = course.note(moment, source, full);
            if step.is_multiple_of(KEPT) || ends {
                course.moments.push(moment);
            }
            if ends {
                break;
            }
            let stays = if accepts.lead {
                share_that_stays(tables, soc, amps, accepts.ten_hour_amps)
            } else {
                efficiency
            };
            now_ah += amps * stays * STEP_H;
            hours += STEP_H;
            step += 1;
        }
        Some(course)
    }

    /// Keeps what a moment is the first to show; true at the last one.
    fn note(&mut self, moment: ChargeMoment, source: &Source, full: f64) -> bool {
        if moment.posts_v.is_some() && self.absorbs.is_none() {
            self.absorbs = Some(moment);
            self.moments.push(moment);
        }
        if moment.amps <= self.tail_a && self.tail.is_none() {
            self.tail = Some(moment);
        }
        let held_h = self.absorbs.map(|a| moment.hours - a.hours);
        let by_tail = source.tail_a.is_some_and(|a| moment.amps <= a);
        let by_clock = source.absorb_most_h.zip(held_h).is_some_and(|(most, held)| most <= held);
        if full <= moment.soc {
            self.full = Some(moment);
        } else if (by_tail && self.absorbs.is_some()) || by_clock {
            self.lets_go = Some(moment);
        }
        self.full.is_some() || self.lets_go.is_some()
    }
}
