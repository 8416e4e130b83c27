//! What enters one step of the bank and what comes out of it.

/// What one step of the bank is given. Plain numbers: a batch of these is a structure of arrays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hour {
    /// Power asked for at the bank's posts [W].
    pub load_w: f64,
    /// Volts at the posts under which the load drops out: the greatest of the floors, lead drop included [V].
    pub cut_off_v: f64,
    /// Power the arrays offer at the controllers' output, after wiring and controller losses [W].
    pub sun_w: f64,
    /// Most amps the solar controllers give [A].
    pub sun_max_a: f64,
    /// Volts the sources hold the posts to, absorption or float, compensated [V].
    pub set_v: f64,
    /// Amps the other sources offer: charger, generator, tow line, alternator [A].
    pub other_a: f64,
    /// Temperature of the cells [C].
    pub cell_c: f64,
}

/// The charge in the two wells of the bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankState {
    /// Charge at hand [Ah].
    pub available_ah: f64,
    /// Charge bound deeper in the plates, which follows slowly [Ah].
    pub bound_ah: f64,
}

/// What one step did. Powers and amps are means over the step.
///
/// The account of energy closes without any term being worked out as the rest of the others:
/// (`taken_sun_w` + `taken_other_w` - `served_w`) dt = `stored_wh` + (`lost_joule_w` + `lost_charging_w`
/// + `lost_mixing_w` + `lost_gassing_w` + `lost_self_w`) dt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flows {
    /// Volts at the posts [V].
    pub volts_v: f64,
    /// Amps out of the bank; negative while it charges [A].
    pub out_a: f64,
    /// Power the load got [W].
    pub served_w: f64,
    /// 1 where the load was dropped: cut-off volts, or the bank could not give the amps; else 0.
    pub shed: f64,
    /// Sun power taken [W].
    pub taken_sun_w: f64,
    /// Sun power offered and not taken [W].
    pub wasted_sun_w: f64,
    /// Power taken from the other sources [W].
    pub taken_other_w: f64,
    /// Lost in the bank's resistance on discharge [W].
    pub lost_joule_w: f64,
    /// Lost between the posts and the plates on charge: resistance and acceptance [W].
    pub lost_charging_w: f64,
    /// Lost as charge flows from well to well [W].
    pub lost_mixing_w: f64,
    /// Carried off by charge that makes gas instead of filling the plates [W].
    pub lost_gassing_w: f64,
    /// Lost by self-discharge [W].
    pub lost_self_w: f64,
    /// Change of the energy stored in both wells over the step [Wh].
    pub stored_wh: f64,
    /// Charge that made gas over the step, each cell in series alike [Ah].
    pub gas_ah: f64,
}

impl Flows {
    /// Everything that was lost, as a mean over the step [W].
    #[must_use]
    #[inline(always)]
    pub const fn lost_w(&self) -> f64 {
        self.lost_joule_w
            + self.lost_charging_w
            + self.lost_mixing_w
            + self.lost_gassing_w
            + self.lost_self_w
    }
}
