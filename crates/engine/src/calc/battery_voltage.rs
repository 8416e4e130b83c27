//! Volts of a lead cell under current, by two published laws that the bank's step is compared with.

use crate::number::{ln, pow};
use crate::tables::Tables;

/// A lead cell in the middle of something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellState {
    /// Its amp-hours: at 10 h for Copetti, at the label's rate for Schiffer [Ah].
    pub amp_hours: f64,
    /// State of charge, over 0 and under 1.
    pub soc: f64,
    /// Current, without sign [A].
    pub current_a: f64,
    /// Temperature [C].
    pub cell_c: f64,
}

/// Volts of a lead cell on discharge after Schiffer.
///
/// # Formula
/// U = U0 - g D - rho (I/C)(1 + M D/(Cd - D)), D = 1 - S
/// # Symbols
/// - `cell`: C, S, I (positive); the temperature does not count
/// - returns U [V]
/// # Valid
/// 25 C. The paper counts discharge negative; here the current has no sign.
/// # Source
/// schiffer-2007, coefficients in `data/rules/limits.csv`, status read but for U0, which is recalled
/// # Checked by
/// O113
#[must_use]
pub fn schiffer_discharge_v(tables: &Tables, cell: CellState) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let depth = 1.0 - cell.soc;
    let transfer = limit("schiffer-discharge-m") * depth / (limit("schiffer-discharge-c") - depth);
    schiffer_rest_v(tables, cell.soc)
        - limit("schiffer-discharge-rho") * cell.current_a / cell.amp_hours * (1.0 + transfer)
}

/// Volts of a lead cell on charge after Schiffer.
///
/// # Formula
/// U = U0 - g D + rho (I/C)(1 + M S/(Cc - S)), D = 1 - S
/// # Symbols
/// - `cell`: C, S, I; the temperature does not count
/// - returns U [V]
/// # Valid
/// 25 C, below the source's set volts: near full the law rises without end and the source holds it.
/// # Source
/// schiffer-2007, coefficients in `data/rules/limits.csv`, status read but for U0, which is recalled
/// # Checked by
/// O113
#[must_use]
pub fn schiffer_charge_v(tables: &Tables, cell: CellState) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let transfer = limit("schiffer-charge-m") * cell.soc / (limit("schiffer-charge-c") - cell.soc);
    schiffer_rest_v(tables, cell.soc)
        + limit("schiffer-charge-rho") * cell.current_a / cell.amp_hours * (1.0 + transfer)
}

fn schiffer_rest_v(tables: &Tables, soc: f64) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    limit("schiffer-rest-full") - limit("schiffer-gradient") * (1.0 - soc)
}

/// Amp-hours a lead cell gives at a steady current after Copetti.
///
/// # Formula
/// C = 1.67 C10 (1 + 0.005 dT)/(1 + 0.67 (I/I10)^0.9), I10 = C10/10 h, dT = T - 25
/// # Symbols
/// - `cell`: C10, I, T; the state of charge does not count
/// - returns C [Ah]
/// # Valid
/// Lead, about -10 to 45 C.
/// # Source
/// copetti-1993, coefficients in `data/rules/limits.csv`, status recalled
/// # Checked by
/// O114; worked out from the same formula, so they cannot detect a coefficient remembered wrongly
#[must_use]
pub fn copetti_capacity_ah(tables: &Tables, cell: CellState) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let ratio = cell.current_a / (cell.amp_hours / 10.0);
    let rate = 1.0 + limit("copetti-capacity-m") * pow(ratio, limit("copetti-capacity-n"));
    limit("copetti-capacity-k") * cell.amp_hours / rate
        * (1.0 + limit("copetti-capacity-t") * (cell.cell_c - 25.0))
}

/// Volts of a lead cell on discharge after Copetti.
///
/// # Formula
/// V = 2.085 - 0.12 (1 - S) - (I/C10)(4/(1 + I^1.3) + 0.27/S^1.5 + 0.02)(1 - 0.007 dT)
/// # Symbols
/// - `cell`: C10, S, I, T
/// - returns V [V]
/// # Valid
/// One string: the bare amps make the law depend on the size. S over zero.
/// # Source
/// copetti-1993, coefficients in `data/rules/limits.csv`, status recalled
/// # Checked by
/// O115; worked out from the same formula
#[must_use]
pub fn copetti_discharge_v(tables: &Tables, cell: CellState) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let ohmic = limit("copetti-discharge-a")
        / (1.0 + pow(cell.current_a, limit("copetti-discharge-an")))
        + limit("copetti-discharge-b") / pow(cell.soc, limit("copetti-discharge-bn"))
        + limit("copetti-discharge-c");
    let warm = 1.0 - limit("copetti-discharge-t") * (cell.cell_c - 25.0);
    limit("copetti-discharge-v")
        - limit("copetti-discharge-g") * (1.0 - cell.soc)
        - cell.current_a / cell.amp_hours * ohmic * warm
}

/// Volts of a lead cell on charge after Copetti, before it gases.
///
/// # Formula
/// V = 2 + 0.16 S + (I/C10)(6/(1 + I^0.86) + 0.48/(1 - S)^1.2 + 0.036)(1 - 0.025 dT)
/// # Symbols
/// - `cell`: C10, S, I, T
/// - returns V [V]
/// # Valid
/// One string; S under one; under the gassing volts.
/// # Source
/// copetti-1993, coefficients in `data/rules/limits.csv`, status recalled
/// # Checked by
/// O115; worked out from the same formula
#[must_use]
pub fn copetti_charge_v(tables: &Tables, cell: CellState) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let ohmic = limit("copetti-charge-a") / (1.0 + pow(cell.current_a, limit("copetti-charge-an")))
        + limit("copetti-charge-b") / pow(1.0 - cell.soc, limit("copetti-charge-bn"))
        + limit("copetti-charge-c");
    let warm = 1.0 - limit("copetti-charge-t") * (cell.cell_c - 25.0);
    limit("copetti-charge-v")
        + limit("copetti-charge-g") * cell.soc
        + cell.current_a / cell.amp_hours * ohmic * warm
}

/// Volts at which a lead cell begins to gas, and where an overcharge ends, after Copetti.
///
/// # Formula
/// Vg = (2.24 + 1.97 ln(1 + I/C10))(1 - 0.002 dT); Vec = (2.45 + 2.011 ln(1 + I/C10))(1 - 0.002 dT);
/// tau = 1.73/(1 + 852 (I/C10)^1.67)
/// # Symbols
/// - `cell`: C10, I, T
/// - returns Vg [V], Vec [V] and tau, the time constant from one to the other [h]
/// # Valid
/// Lead.
/// # Source
/// copetti-1993, coefficients in `data/rules/limits.csv`, status recalled
/// # Checked by
/// O115; worked out from the same formula
#[must_use]
pub fn copetti_overcharge(tables: &Tables, cell: CellState) -> [f64; 3] {
    let limit = |id: &str| tables.limits.value(id).value;
    let rate = cell.current_a / cell.amp_hours;
    let warm = 1.0 - limit("copetti-gas-t") * (cell.cell_c - 25.0);
    let volts = |base: &str, rise: &str| (limit(base) + limit(rise) * ln(1.0 + rate)) * warm;
    let slow = 1.0 + limit("copetti-tau-b") * pow(rate, limit("copetti-tau-n"));
    [
        volts("copetti-gas-v", "copetti-gas-a"),
        volts("copetti-end-v", "copetti-end-a"),
        limit("copetti-tau-a") / slow,
    ]
}

#[cfg(test)]
mod tests {
    use super::{
        CellState, copetti_capacity_ah, copetti_charge_v, copetti_discharge_v, copetti_overcharge,
        schiffer_charge_v, schiffer_discharge_v,
    };
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;

    fn tables() -> Tables {
        Tables::load().expect("the tables are well formed")
    }

    fn cell(current_a: f64, soc: f64, cell_c: f64) -> CellState {
        CellState { amp_hours: 200.0, soc, current_a, cell_c }
    }

    #[test]
    fn schiffer_at_the_printed_points() {
        let t = tables();
        let volts = |quantity: &str, v: f64| battery_oracle("O113", quantity).check(v);
        volts("discharge", schiffer_discharge_v(&t, cell(20.0, 0.6, 25.0)));
        volts("charge", schiffer_charge_v(&t, cell(20.0, 0.6, 25.0)));
        volts("charge near full", schiffer_charge_v(&t, cell(20.0, 0.95, 25.0)));
    }

    #[test]
    fn copetti_at_the_printed_points() {
        let t = tables();
        for (quantity, amps, celsius) in
            [("10 A", 10.0, 25.0), ("20 A", 20.0, 25.0), ("40 A cold", 40.0, 0.0)]
        {
            let ah = copetti_capacity_ah(&t, cell(amps, 0.5, celsius));
            battery_oracle("O114", quantity).check(ah);
        }
        let volts = |quantity: &str, v: f64| battery_oracle("O115", quantity).check(v);
        volts("discharge", copetti_discharge_v(&t, cell(20.0, 0.6, 25.0)));
        volts("discharge cold", copetti_discharge_v(&t, cell(20.0, 0.6, 0.0)));
        volts("charge", copetti_charge_v(&t, cell(20.0, 0.6, 25.0)));
        let [gas, end, tau] = copetti_overcharge(&t, cell(20.0, 0.6, 25.0));
        volts("gas", gas);
        volts("end", end);
        volts("tau", tau);
    }

    #[test]
    fn more_current_sags_and_lifts_more() {
        let t = tables();
        let at = |amps: f64| cell(amps, 0.7, 25.0);
        assert!(schiffer_discharge_v(&t, at(30.0)) < schiffer_discharge_v(&t, at(10.0)), "sag");
        assert!(schiffer_charge_v(&t, at(10.0)) < schiffer_charge_v(&t, at(30.0)), "lift");
    }
}
