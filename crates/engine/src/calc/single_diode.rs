//! A panel as one diode with a series and a shunt resistance: from its data sheet to its curve at any
//! light and temperature.

use crate::number::{exp, ln};
use crate::tables::sky::Silicon;

/// Light and cell temperature of the data sheet [W/m2, C].
pub const STANDARD: (f64, f64) = (1000.0, 25.0);
/// Celsius zero in kelvin, by definition.
const ZERO_K: f64 = 273.15;
/// Halvings of a bracket: the last is a millionth of a millionth of the first.
const HALVINGS: u32 = 60;
/// Step of temperature over which the change of the open volts is taken, as in the source [K].
const TRIAL_K: f64 = 2.0;

/// What the data sheet of a panel says, at standard test conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Datasheet {
    /// Open volts [V].
    pub open_v: f64,
    /// Short-circuit amps [A].
    pub short_a: f64,
    /// Working volts [V].
    pub working_v: f64,
    /// Working amps [A].
    pub working_a: f64,
    /// Change of the open volts [V/K]; negative.
    pub open_v_per_k: f64,
    /// Change of the short-circuit amps [A/K].
    pub short_a_per_k: f64,
}

/// The five numbers of the curve, at one light and temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diode {
    /// Amps the light makes [A].
    pub light_a: f64,
    /// Saturation amps of the diode [A].
    pub saturation_a: f64,
    /// Series resistance [ohm].
    pub series_ohm: f64,
    /// Conductance of the shunt [S].
    pub shunt_s: f64,
    /// Volts in which the diode's amps grow e-fold [V].
    pub slope_v: f64,
}

/// A curve at standard test conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// Its five numbers.
    pub diode: Diode,
    /// Whether the change of the open volts is met too. Some data sheets hold figures that no
    /// single diode has together; then the four points are met and the change is not.
    pub exact: bool,
}

/// A point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Volts [V].
    pub volts: f64,
    /// Amps [A].
    pub amps: f64,
}

/// Amps of the curve at a voltage of its diode.
///
/// # Formula
/// I = IL - I0 (exp(Vd / a) - 1) - Gsh Vd; V = Vd - I Rs
/// # Symbols
/// - `diode`: IL, I0 [A]; Rs [ohm]; Gsh [S]; a [V]
/// - `inner_v`: Vd, volts of the diode itself [V]
/// - returns I and V at the panel's terminals
/// # Valid
/// Lit panels, forward; by Vd the curve needs no search.
/// # Source
/// de-soto-2006, equation 1, reprint
/// # Checked by
/// `sky_agrees.rs`, through [`best_point`]
#[must_use]
pub fn point_at(diode: &Diode, inner_v: f64) -> Point {
    let grown = exp(inner_v / diode.slope_v) - 1.0;
    let amps = diode.light_a - diode.saturation_a * grown - diode.shunt_s * inner_v;
    Point { volts: inner_v - amps * diode.series_ohm, amps }
}

/// Where a falling function crosses zero in a bracket.
fn crossing(low: f64, high: f64, falling: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if 0.0 < falling(middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Volts of the diode that its amps alone would need: no point of the curve in light lies above.
fn inner_v_max(diode: &Diode) -> f64 {
    diode.slope_v * ln(diode.light_a.max(0.0) / diode.saturation_a + 1.0)
}

/// Open volts of a curve.
///
/// # Formula
/// I(Vd) = 0, by halving; V = Vd
/// # Symbols
/// - `diode`: the five numbers
/// - returns V [V]
/// # Valid
/// Any light; 0 in the dark.
/// # Source
/// de-soto-2006, equation 1 at no current, reprint
/// # Checked by
/// `sky_agrees.rs`; the data sheet's own volts in the tests.
#[must_use]
pub fn open_volts(diode: &Diode) -> f64 {
    crossing(0.0, inner_v_max(diode), |inner_v| point_at(diode, inner_v).amps)
}

/// The point of most power of a curve.
///
/// # Formula
/// dP/dVd = I'(Vd) (Vd - 2 I Rs) + I = 0, by halving
/// # Symbols
/// - `diode`: the five numbers
/// - returns volts and amps
/// # Valid
/// Any light; no power in the dark. Sixty halvings, always.
/// # Source
/// de-soto-2006, maximum of the power, reprint; the derivative is computed here
/// # Checked by
/// `sky_agrees.rs`; the data sheet's own point in the tests.
#[must_use]
pub fn best_point(diode: &Diode) -> Point {
    let slope = |inner_v: f64| {
        let amps = point_at(diode, inner_v).amps;
        let amps_slope =
            -diode.saturation_a / diode.slope_v * exp(inner_v / diode.slope_v) - diode.shunt_s;
        amps_slope * (inner_v - 2.0 * amps * diode.series_ohm) + amps
    };
    point_at(diode, crossing(0.0, inner_v_max(diode), slope))
}

/// Amps of a curve at the volts its terminals are held to.
///
/// # Formula
/// Vd - I(Vd) Rs = V, by halving
/// # Symbols
/// - `diode`: the five numbers
/// - `volts`: V [V]
/// - returns I [A]; 0 at volts above the open ones
/// # Valid
/// V from 0 up: a panel tied to a bank by a PWM controller.
/// # Source
/// de-soto-2006, equation 1, reprint
/// # Checked by
/// `sky_agrees.rs`; the data sheet's own point in the tests.
#[must_use]
pub fn amps_at(diode: &Diode, volts: f64) -> f64 {
    let top = inner_v_max(diode).max(volts);
    let inner_v = crossing(0.0, top, |inner_v| volts - point_at(diode, inner_v).volts);
    point_at(diode, inner_v).amps.max(0.0)
}

/// The curve at another light and temperature.
///
/// # Formula
/// IL = G/1000 (L + al (T - Tr)); I0 = J (T/Tr)^3 exp(E/(k Tr) - Eg/(k T)); a = A T/Tr; Gsh = H G/1000;
/// Eg = E (1 + c (T - Tr))
/// # Symbols
/// - `standard`: L, J [A]; Rs [ohm]; H [S]; A [V]: IL, I0, Rs, Gsh, a at 1000 W/m2 and Tr = 25 C
/// - `short_a_per_k`: al [A/K]
/// - `light_w_m2`: G, light that reaches the cells [W/m2]
/// - `cell_c`: T, in kelvin in the formula [C]
/// - `silicon`: E [eV], c [1/K], k [eV/K]
/// - returns the five numbers there
/// # Valid
/// Silicon cells, G above 0; Rs does not change.
/// # Source
/// de-soto-2006, equations for other conditions, reprint
/// # Checked by
/// `sky_agrees.rs`; the standard conditions in the tests.
#[must_use]
pub fn diode_at(
    standard: &Diode,
    short_a_per_k: f64,
    light_w_m2: f64,
    cell_c: f64,
    silicon: &Silicon,
) -> Diode {
    let (reference, now) = (STANDARD.1 + ZERO_K, cell_c + ZERO_K);
    let light = light_w_m2.max(0.0) / STANDARD.0;
    let warmer = cell_c - STANDARD.1;
    Diode {
        light_a: light * (standard.light_a + short_a_per_k * warmer),
        saturation_a: standard.saturation_a * exp(saturation_growth(cell_c, silicon)),
        series_ohm: standard.series_ohm,
        shunt_s: standard.shunt_s * light,
        slope_v: standard.slope_v * now / reference,
    }
}

/// Logarithm of the growth of the saturation amps from 25 C.
fn saturation_growth(cell_c: f64, silicon: &Silicon) -> f64 {
    let (reference, now) = (STANDARD.1 + ZERO_K, cell_c + ZERO_K);
    let gap = silicon.gap_ev * (1.0 + silicon.gap_per_k * (cell_c - STANDARD.1));
    let k = silicon.boltzmann_ev_k;
    3.0 * ln(now / reference) + silicon.gap_ev / (k * reference) - gap / (k * now)
}

/// The curve of a data sheet.
///
/// # Formula
/// I(0) = Isc; I(Voc) = 0; I(Vmp) = Imp; dP/dV = 0 at Vmp; Voc 2 K warmer as the change of the open volts says
/// # Symbols
/// - `sheet`: Isc, Imp [A]; Voc, Vmp [V]; changes of Voc [V/K] and Isc [A/K]
/// - `silicon`: as in [`diode_at`]
/// - returns the five numbers at standard test conditions, or nothing where the four points are not a panel's
/// # Valid
/// Silicon. For a slope a the three points leave two unknown in a linear pair of equations, dP/dV = 0 gives
/// Rs, and the change of Voc falls steadily with a: two halvings, one inside the other, always end.
/// # Source
/// de-soto-2006, five equations at the reference, reprint; the way to solve them is computed here
/// # Checked by
/// `sky_agrees.rs` finds the numbers that random sheets were made of; the demo panels in the tests.
#[must_use]
pub fn diode_of(sheet: &Datasheet, silicon: &Silicon) -> Option<Fitted> {
    let point = 0.5 * sheet.open_v < sheet.working_v
        && sheet.working_v < sheet.open_v
        && 0.5 * sheet.short_a < sheet.working_a
        && sheet.working_a < sheet.short_a;
    if !point {
        return None;
    }
    let start = slope_of_change(sheet, silicon);
    // Measured on 500 sheets of a public list: three tenths to one and a half hold every slope.
    let (mut low, mut high) = (0.3 * start, 1.5 * start);
    let mut best = with_slope(sheet, low)?;
    let mut exact = false;
    for _ in 0..HALVINGS {
        let slope_v = 0.5 * (low + high);
        match with_slope(sheet, slope_v) {
            Some(diode) if 0.0 < left_over(sheet, &diode, silicon) => {
                low = slope_v;
                best = diode;
            }
            Some(_) => {
                high = slope_v;
                exact = true;
            }
            // No diode so soft meets the points: the slope is smaller.
            None => {
                high = slope_v;
                exact = false;
            }
        }
    }
    Some(Fitted { diode: best, exact })
}

/// A first guess of the slope, from the change of the open volts of a diode without resistances.
fn slope_of_change(sheet: &Datasheet, silicon: &Silicon) -> f64 {
    let reference = STANDARD.1 + ZERO_K;
    let gap = silicon.gap_ev / (silicon.boltzmann_ev_k * reference);
    let light = sheet.short_a_per_k * reference / sheet.short_a;
    (sheet.open_v - sheet.open_v_per_k * reference) / (3.0 + gap - light)
}

/// The curve of a slope through the three points, flat in power at the working one; none where a
/// resistance would be negative.
fn with_slope(sheet: &Datasheet, slope_v: f64) -> Option<Diode> {
    let top = (sheet.open_v - sheet.working_v) / sheet.working_a;
    let rises = |series_ohm: f64| through_points(sheet, slope_v, series_ohm).1;
    // The last part of the bracket would put the working point at the open volts.
    let (low, high) = (0.0, top * (1.0 - 1e-6));
    let (at_low, at_high) = (rises(low), rises(high));
    if (0.0 < at_low) == (0.0 < at_high) {
        return None;
    }
    let sign = if 0.0 < at_low { 1.0 } else { -1.0 };
    let series_ohm = crossing(low, high, |series_ohm| sign * rises(series_ohm));
    let diode = through_points(sheet, slope_v, series_ohm).0;
    (0.0 <= diode.shunt_s && 0.0 < diode.saturation_a).then_some(diode)
}

/// The curve of a slope and a series resistance through the three points, and dP/dVd at the working one.
fn through_points(sheet: &Datasheet, slope_v: f64, series_ohm: f64) -> (Diode, f64) {
    let (open_v, short_a) = (sheet.open_v, sheet.short_a);
    let (working_v, working_a) = (sheet.working_v, sheet.working_a);
    // Volts of the diode at the three points; amps of the diode are told as a part of those at open volts.
    let at_short = short_a * series_ohm;
    let at_work = working_v + working_a * series_ohm;
    let part = |inner_v: f64| exp((inner_v - open_v) / slope_v);
    let (a11, a12) = (1.0 - part(at_short), open_v - at_short);
    let (a21, a22) = (1.0 - part(at_work), open_v - at_work);
    let determinant = a11 * a22 - a12 * a21;
    let open_a = (short_a * a22 - working_a * a12) / determinant;
    let shunt_s = (a11 * working_a - a21 * short_a) / determinant;
    let saturation_a = open_a * exp(-open_v / slope_v);
    let light_a = open_a - saturation_a + shunt_s * open_v;
    let rises = (-open_a / slope_v * part(at_work) - shunt_s)
        * (working_v - working_a * series_ohm)
        + working_a;
    (Diode { light_a, saturation_a, series_ohm, shunt_s, slope_v }, rises)
}

/// Amps left at the open volts that the change says for a cell 2 K warmer; positive when the diode's
/// volts fall too slowly, that is when the slope must be larger.
fn left_over(sheet: &Datasheet, diode: &Diode, silicon: &Silicon) -> f64 {
    let cell_c = STANDARD.1 + TRIAL_K;
    let warm = diode_at(diode, sheet.short_a_per_k, STANDARD.0, cell_c, silicon);
    point_at(&warm, sheet.open_v + TRIAL_K * sheet.open_v_per_k).amps
}

#[cfg(test)]
mod tests {
    use super::{
        Datasheet, STANDARD, amps_at, best_point, diode_at, diode_of, open_volts, point_at,
    };
    use crate::tables::Tables;

    /// Panels of the kinds that the demo rigs carry.
    const PANELS: [Datasheet; 3] = [
        Datasheet {
            open_v: 24.3,
            short_a: 10.4,
            working_v: 20.4,
            working_a: 9.8,
            open_v_per_k: -0.0028 * 24.3,
            short_a_per_k: 0.0005 * 10.4,
        },
        Datasheet {
            open_v: 37.5,
            short_a: 13.9,
            working_v: 31.4,
            working_a: 13.1,
            open_v_per_k: -0.0027 * 37.5,
            short_a_per_k: 0.0005 * 13.9,
        },
        Datasheet {
            open_v: 41.6,
            short_a: 12.6,
            working_v: 34.5,
            working_a: 11.9,
            open_v_per_k: -0.0025 * 41.6,
            short_a_per_k: 0.0005 * 12.6,
        },
    ];

    #[test]
    fn a_curve_meets_its_data_sheet() {
        let silicon = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.silicon;
        for sheet in PANELS {
            let diode = diode_of(&sheet, &silicon).expect("a panel").diode;
            let best = best_point(&diode);
            // The equations are solved by halving a million millionth; 1e-6 leaves room for rounding.
            for (found, want) in [
                (open_volts(&diode), sheet.open_v),
                (amps_at(&diode, 0.0), sheet.short_a),
                (best.volts, sheet.working_v),
                (best.amps, sheet.working_a),
                (amps_at(&diode, sheet.working_v), sheet.working_a),
            ] {
                assert!((found / want - 1.0).abs() < 1e-6, "{found} instead of {want}");
            }
            let same = diode_at(&diode, sheet.short_a_per_k, STANDARD.0, STANDARD.1, &silicon);
            assert!((best_point(&same).volts / best.volts - 1.0).abs() < 1e-12, "the same curve");
        }
    }

    #[test]
    fn half_the_light_is_a_little_less_than_half_the_power() {
        let silicon = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.silicon;
        let sheet = PANELS[0];
        let diode = diode_of(&sheet, &silicon).expect("a panel").diode;
        let power = |light, cell| {
            let best = best_point(&diode_at(&diode, sheet.short_a_per_k, light, cell, &silicon));
            best.volts * best.amps
        };
        let part = power(500.0, 25.0) / power(1000.0, 25.0);
        assert!((0.47..0.51).contains(&part), "half the light gives {part}");
        assert!(power(1000.0, 65.0) < power(1000.0, 25.0), "heat costs power");
        assert!(power(0.0, 25.0).abs() < 1e-9, "no light, no power");
    }

    #[test]
    fn numbers_that_are_no_panel_give_no_curve() {
        let silicon = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.silicon;
        let more = Datasheet { working_a: 10.5, ..PANELS[0] };
        assert_eq!(diode_of(&more, &silicon), None, "it works above its short-circuit amps");
        let low = Datasheet { working_v: 11.0, ..PANELS[0] };
        assert_eq!(diode_of(&low, &silicon), None, "it works under half of its open volts");
    }

    #[test]
    fn amps_fall_with_volts() {
        let silicon = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.silicon;
        let diode = diode_of(&PANELS[1], &silicon).expect("a panel").diode;
        let amps = [0.0, 12.0, 25.0, 31.0, 36.0].map(|volts| amps_at(&diode, volts));
        assert!(amps.windows(2).all(|pair| pair[1] < pair[0]), "{amps:?}");
        assert!(amps_at(&diode, 60.0).abs() < 1e-9, "none above the open volts");
        assert!(point_at(&diode, 0.0).volts < 0.0, "a shorted diode is below a shorted panel");
    }
}
