//! A device at two terminals of a network: what it gets, and what it cannot have.
//!
//! A device with a fixed power draws more current the lower its volts are. Seen through its two
//! terminals the network is one EMF behind one resistance, so its working point is the root of a
//! quadratic and needs no iteration; the currents in every element follow from one more solve.

use super::error::SolveError;
use super::network::{Injection, Terminals};
use super::solve::{Factored, Solution, Thevenin};

/// A network as one device sees it.
#[derive(Clone, Debug)]
pub struct Supply<'f, 'n> {
    factored: &'f Factored<'n>,
    device: String,
    at: Terminals,
    thevenin: Thevenin,
}

/// A device at work, and what flows everywhere meanwhile.
#[derive(Clone, Debug)]
pub struct Operation {
    /// Volts at the device [V].
    pub volts_v: f64,
    /// Current into the device; negative when it charges [A].
    pub current_a: f64,
    /// All volts and currents.
    pub solution: Solution,
}

/// What becomes of a device that wants a current or a power.
#[derive(Clone, Debug)]
pub enum State {
    /// It works.
    Solved(Operation),
    /// Its volts would be under its low-voltage cut-off, so it switches off.
    CutOff {
        /// What would flow if it stayed on.
        operation: Operation,
        /// The cut-off [V].
        cut_off_v: f64,
    },
    /// No current gives it that power: more amps would only lose more volts.
    Collapsed {
        /// The most power these terminals can give [W].
        power_max_w: f64,
    },
}

/// What stops a device from taking more power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Its volts reach the low-voltage cut-off.
    CutOff,
    /// The network can give no more; the cut-off lies below that point.
    Collapse,
}

/// The most power a device can take, and where it stands then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerLimit {
    /// The power [W].
    pub power_w: f64,
    /// Volts at the device [V].
    pub volts_v: f64,
    /// Current into the device [A].
    pub current_a: f64,
    /// What stops it.
    pub limit: Limit,
}

impl<'f, 'n> Supply<'f, 'n> {
    /// Looks at the network through the terminals of a device that is not part of it.
    ///
    /// # Errors
    /// When the terminals are one point, no conductor joins them, or the currents do not add up.
    pub fn new(
        factored: &'f Factored<'n>,
        device: &str,
        at: Terminals,
    ) -> Result<Self, SolveError> {
        let open = factored.solve()?;
        Self::beside(factored, &open, device, at)
    }

    /// As [`Supply::new`], with the open solution already at hand; for many terminals in turn.
    ///
    /// # Errors
    /// As [`Supply::new`].
    pub fn beside(
        factored: &'f Factored<'n>,
        open: &Solution,
        device: &str,
        at: Terminals,
    ) -> Result<Self, SolveError> {
        let thevenin = factored.thevenin(open, device, at)?;
        if factored.is_same_point(at) {
            let node = factored.network().node_name(at.plus).to_owned();
            return Err(SolveError::SamePoint { node });
        }
        Ok(Self { factored, device: device.to_owned(), at, thevenin })
    }

    /// Open volts and resistance at the terminals.
    #[must_use]
    pub fn thevenin(&self) -> Thevenin {
        self.thevenin
    }

    /// The device takes a fixed current; a negative one charges and has no cut-off.
    ///
    /// # Errors
    /// When the current is not finite or the currents at some node do not add up.
    pub fn at_current(&self, current_a: f64, cut_off_v: Option<f64>) -> Result<State, SolveError> {
        let operation = self.operation(current_a)?;
        match cut_off_v {
            Some(cut_off_v) if current_a > 0.0 && operation.volts_v < cut_off_v => {
                Ok(State::CutOff { operation, cut_off_v })
            }
            _ => Ok(State::Solved(operation)),
        }
    }

    /// The device takes a fixed power; a negative one charges and has no cut-off.
    ///
    /// # Formula
    /// V = (E + sqrt(E^2 - 4 * R * P)) / 2; I = P / V
    /// # Symbols
    /// - `power_w`: P, power taken at the terminals [W]
    /// - E, open volts at the terminals [V]
    /// - R, resistance of the network at the terminals [ohm]
    /// - V, volts at the device [V]; I, current into it [A]
    /// - `cut_off_v`: volts below which the device switches off [V]
    /// # Valid
    /// Steady DC. The upper root is the one a device settles at. Above E^2 / (4 R) there is none.
    /// # Source
    /// computed: P = V * I with V = E - R * I
    /// # Checked by
    /// `operating_points` tests; these points cannot detect a device that is not steady
    ///
    /// # Errors
    /// When the power is not finite or the currents at some node do not add up.
    pub fn at_power(&self, power_w: f64, cut_off_v: Option<f64>) -> Result<State, SolveError> {
        if !power_w.is_finite() {
            return Err(SolveError::NotFinite { part: self.device.clone(), quantity: "power" });
        }
        let Thevenin { open_v, ohm } = self.thevenin;
        let discriminant = open_v * open_v - 4.0 * ohm * power_w;
        // With the poles reversed the device gets no power at all, whatever the square says.
        if discriminant < 0.0 || (open_v <= 0.0 && power_w > 0.0) {
            return Ok(State::Collapsed { power_max_w: self.power_max_w() });
        }
        let volts_v = f64::midpoint(open_v, discriminant.sqrt());
        // Only a device that takes nothing can stand at zero volts here, and it takes no current.
        let current_a = if volts_v > 0.0 { power_w / volts_v } else { 0.0 };
        self.at_current(current_a, cut_off_v)
    }

    /// The most power the terminals give: half the open volts on each side of the resistance [W].
    #[must_use]
    pub fn power_max_w(&self) -> f64 {
        let Thevenin { open_v, ohm } = self.thevenin;
        if open_v > 0.0 { open_v * open_v / (4.0 * ohm) } else { 0.0 }
    }

    /// The current at which the volts at the device reach its cut-off; negative when they are
    /// below it even with nothing drawn [A].
    #[must_use]
    pub fn current_at_cut_off(&self, cut_off_v: f64) -> f64 {
        (self.thevenin.open_v - cut_off_v) / self.thevenin.ohm
    }

    /// The most power a device with this cut-off can take; nothing when it cannot start at all.
    #[must_use]
    pub fn power_limit(&self, cut_off_v: f64) -> Option<PowerLimit> {
        let open_v = self.thevenin.open_v;
        if open_v <= 0.0 || open_v < cut_off_v {
            return None;
        }
        let half_v = open_v / 2.0;
        let limit = if cut_off_v > half_v { Limit::CutOff } else { Limit::Collapse };
        let volts_v = cut_off_v.max(half_v);
        let current_a = self.current_at_cut_off(volts_v);
        Some(PowerLimit { power_w: volts_v * current_a, volts_v, current_a, limit })
    }

    /// The terminals joined through a resistance, zero for a bolted short: amps, and the amps in
    /// every element, so also through each fuse.
    ///
    /// # Errors
    /// When the resistance is negative or not finite, or the currents at some node do not add up.
    pub fn short(&self, ohm: f64) -> Result<Operation, SolveError> {
        if !ohm.is_finite() || ohm < 0.0 {
            return Err(SolveError::BadResistance { part: self.device.clone(), ohm });
        }
        self.operation(self.thevenin.open_v / (self.thevenin.ohm + ohm))
    }

    /// What flows with this current into the device.
    fn operation(&self, current_a: f64) -> Result<Operation, SolveError> {
        let device = Injection {
            name: self.device.clone(),
            from: self.at.plus,
            to: self.at.minus,
            amp: current_a,
        };
        let solution = self.factored.solve_with(std::slice::from_ref(&device))?;
        // The supply is refused across islands when it is made, so there always are volts.
        let volts_v = solution.volts_between(self.at).unwrap_or(0.0);
        Ok(Operation { volts_v, current_a, solution })
    }
}
