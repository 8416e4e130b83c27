//! Many weather years at once: the same step for every lane, laid out as arrays.
//!
//! A lane is one weather year or one variant; lanes know nothing of each other. The loop below calls
//! the step of `bank` as it stands, so the batch answers to the bit as one lane alone, which a test holds.
//! The arrays are as long as the lanes and nothing is allocated.

use super::bank::{BankModel, Knees, step_of};
use super::hour::{BankState, Flows, Hour};
use super::vector::{Work, widest};

/// The two wells of every lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankLanes<const L: usize> {
    /// Charge at hand [Ah].
    pub available_ah: [f64; L],
    /// Charge bound deeper [Ah].
    pub bound_ah: [f64; L],
}

/// One hour of every lane; the fields are those of `Hour`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HourLanes<const L: usize> {
    /// Power asked for at the posts [W].
    pub load_w: [f64; L],
    /// Volts under which the load drops out [V].
    pub cut_off_v: [f64; L],
    /// Power the arrays offer [W].
    pub sun_w: [f64; L],
    /// Most amps of the solar controllers [A].
    pub sun_max_a: [f64; L],
    /// Volts the sources hold [V].
    pub set_v: [f64; L],
    /// Amps of the other sources [A].
    pub other_a: [f64; L],
    /// Temperature of the cells [C].
    pub cell_c: [f64; L],
}

/// What flowed in every lane in one step; the fields are those of `Flows`.
///
/// Which of them a caller never looks at, the compiler leaves out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowLanes<const L: usize> {
    /// Volts at the posts [V].
    pub volts_v: [f64; L],
    /// Amps out of the bank; negative while it charges [A].
    pub out_a: [f64; L],
    /// Power the load got [W].
    pub served_w: [f64; L],
    /// 1 where the load was dropped, else 0.
    pub shed: [f64; L],
    /// Sun power taken [W].
    pub taken_sun_w: [f64; L],
    /// Sun power offered and not taken [W].
    pub wasted_sun_w: [f64; L],
    /// Power taken from the other sources [W].
    pub taken_other_w: [f64; L],
    /// Lost on the way in and out, between wells, in gas and by itself, all together [W].
    pub lost_w: [f64; L],
    /// Change of the stored energy [Wh].
    pub stored_wh: [f64; L],
    /// Charge that made gas [Ah].
    pub gas_ah: [f64; L],
}

impl<const L: usize> BankLanes<L> {
    /// Every lane in the same state.
    #[must_use]
    pub const fn all(state: BankState) -> Self {
        Self { available_ah: [state.available_ah; L], bound_ah: [state.bound_ah; L] }
    }

    /// One lane.
    #[must_use]
    pub const fn lane(&self, lane: usize) -> BankState {
        BankState { available_ah: self.available_ah[lane], bound_ah: self.bound_ah[lane] }
    }
}

impl<const L: usize> HourLanes<L> {
    /// The same hour in every lane.
    #[must_use]
    pub const fn all(hour: Hour) -> Self {
        Self {
            load_w: [hour.load_w; L],
            cut_off_v: [hour.cut_off_v; L],
            sun_w: [hour.sun_w; L],
            sun_max_a: [hour.sun_max_a; L],
            set_v: [hour.set_v; L],
            other_a: [hour.other_a; L],
            cell_c: [hour.cell_c; L],
        }
    }

    /// One lane.
    #[must_use]
    #[inline(always)]
    pub const fn lane(&self, lane: usize) -> Hour {
        Hour {
            load_w: self.load_w[lane],
            cut_off_v: self.cut_off_v[lane],
            sun_w: self.sun_w[lane],
            sun_max_a: self.sun_max_a[lane],
            set_v: self.set_v[lane],
            other_a: self.other_a[lane],
            cell_c: self.cell_c[lane],
        }
    }
}

impl<const L: usize> FlowLanes<L> {
    /// Nothing flowed yet.
    pub const NONE: Self = Self {
        volts_v: [0.0; L],
        out_a: [0.0; L],
        served_w: [0.0; L],
        shed: [0.0; L],
        taken_sun_w: [0.0; L],
        wasted_sun_w: [0.0; L],
        taken_other_w: [0.0; L],
        lost_w: [0.0; L],
        stored_wh: [0.0; L],
        gas_ah: [0.0; L],
    };

    #[inline(always)]
    const fn put(&mut self, lane: usize, flows: &Flows) {
        self.volts_v[lane] = flows.volts_v;
        self.out_a[lane] = flows.out_a;
        self.served_w[lane] = flows.served_w;
        self.shed[lane] = flows.shed;
        self.taken_sun_w[lane] = flows.taken_sun_w;
        self.wasted_sun_w[lane] = flows.wasted_sun_w;
        self.taken_other_w[lane] = flows.taken_other_w;
        self.lost_w[lane] = flows.lost_w();
        self.stored_wh[lane] = flows.stored_wh;
        self.gas_ah[lane] = flows.gas_ah;
    }
}

/// One step of every lane, with the widest vectors of this machine.
pub fn step_lanes<const L: usize>(
    model: &BankModel,
    bank: &mut BankLanes<L>,
    hour: &HourLanes<L>,
    flows: &mut FlowLanes<L>,
) {
    widest(Step { model, bank, hour, flows });
}

struct Step<'a, const L: usize> {
    model: &'a BankModel,
    bank: &'a mut BankLanes<L>,
    hour: &'a HourLanes<L>,
    flows: &'a mut FlowLanes<L>,
}

impl<const L: usize> Work for Step<'_, L> {
    type Out = ();

    #[inline(always)]
    fn work(self) {
        let Step { model, bank, hour, flows } = self;
        match model.traits.knees {
            Some(knees) => every::<L, true>(model, knees, (bank, flows), hour),
            None => every::<L, false>(model, Knees::NONE, (bank, flows), hour),
        }
    }
}

#[inline(always)]
fn every<const L: usize, const KNEES: bool>(
    model: &BankModel,
    knees: Knees,
    (bank, flows): (&mut BankLanes<L>, &mut FlowLanes<L>),
    hour: &HourLanes<L>,
) {
    for lane in 0..L {
        let (state, flow) = step_of::<KNEES>(model, knees, bank.lane(lane), &hour.lane(lane));
        bank.available_ah[lane] = state.available_ah;
        bank.bound_ah[lane] = state.bound_ah;
        flows.put(lane, &flow);
    }
}
