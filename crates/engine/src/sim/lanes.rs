//! Functions on lanes: many numbers side by side, without a branch, so that the compiler works on
//! several at once.
//!
//! Only `+ - * /`, comparisons and shifts of bits are used, in a fixed order, so that each lane has
//! the same bits whatever the machine, and whatever the number of lanes. The coefficients are
//! mathematics, not measurements: fitted to the exact functions by weighted least squares of rational
//! functions, and held to the errors stated here by the tests.

/// The larger of two numbers; written so that it becomes one instruction.
#[inline]
#[must_use]
pub fn larger(a: f64, b: f64) -> f64 {
    if a < b { b } else { a }
}

/// The smaller of two numbers; written so that it becomes one instruction.
#[inline]
#[must_use]
pub fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

/// A polynomial, its constant first.
#[inline]
fn polynomial<const N: usize>(x: f64, coefficients: &[f64; N]) -> f64 {
    let mut sum = 0.0;
    for c in coefficients.iter().rev() {
        sum = sum * x + c;
    }
    sum
}

/// Added to a number below 2^51, this leaves the nearest whole number in the lowest bits.
const ROUND: f64 = 6_755_399_441_055_744.0;
/// ln 2 in two parts; the first has zeros at its end, so that whole multiples of it are exact.
const LN2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
/// 1/n! for n from 0 to 11.
const EXP: [f64; 12] = [
    1.0,
    1.0,
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
];

/// e to the power x, within 1e-14 of itself; arguments beyond 700 either way count as 700.
#[inline]
#[must_use]
pub fn exp(x: f64) -> f64 {
    let x = smaller(larger(x, -700.0), 700.0);
    let rounded = x * std::f64::consts::LOG2_E + ROUND;
    let whole = rounded - ROUND;
    let rest = x - whole * LN2_HIGH - whole * LN2_LOW;
    // The whole number stands in the lowest bits of `rounded`; shifted up it is the power of two.
    let power = f64::from_bits((rounded.to_bits() << 52).wrapping_add(1.0_f64.to_bits()));
    polynomial(rest, &EXP) * power
}

/// 2/(2n+1): the series of the inverse hyperbolic tangent.
const LN: [f64; 9] = [
    2.0,
    2.0 / 3.0,
    2.0 / 5.0,
    2.0 / 7.0,
    2.0 / 9.0,
    2.0 / 11.0,
    2.0 / 13.0,
    2.0 / 15.0,
    2.0 / 17.0,
];
/// Bits of the fraction of a number.
const FRACTION: u64 = (1 << 52) - 1;
/// 2^52, whose lowest bit counts one.
const TWO_52: f64 = 4_503_599_627_370_496.0;

/// Natural logarithm of a positive, normal number, within 1e-14 absolutely or relatively.
#[inline]
#[must_use]
pub fn ln(x: f64) -> f64 {
    // Adding the bits of 1/root(2) turns the mantissa to between root(1/2) and root(2).
    const HALF_ROOT: u64 = 0x3FE6_A09E_667F_3BCD;
    let shifted = x.to_bits().wrapping_sub(HALF_ROOT).wrapping_add(1.0_f64.to_bits());
    let exponent = f64::from_bits((shifted >> 52) | TWO_52.to_bits()) - (TWO_52 + 1023.0);
    let mantissa = f64::from_bits((shifted & FRACTION).wrapping_add(HALF_ROOT));
    let s = (mantissa - 1.0) / (mantissa + 1.0);
    exponent * LN2_HIGH + (s * polynomial(s * s, &LN) + exponent * LN2_LOW)
}

const QUANTILE_UP: [f64; 6] = [
    1.253_315_699_331_719_8,
    0.543_933_057_108_457_1,
    0.120_882_573_353_930_43,
    0.017_759_160_423_657_237,
    0.001_784_550_867_132_348_5,
    2.923_999_443_365_456_5e-5,
];
const QUANTILE_DOWN: [f64; 6] = [
    1.0,
    0.172_225_014_330_180_6,
    0.038_229_486_767_565_42,
    0.004_679_381_138_624_274,
    0.000_222_331_462_994_819_03,
    7.927_579_191_978_804e-7,
];

/// The normal score whose probability is (1 + d) / 2, for d between -1 and 1, within 2e-6 of itself.
///
/// With w = -ln(1 - d^2) the score over d is smooth in w from the middle to the far tail, so that
/// one fraction of polynomials serves for all of it.
#[inline]
#[must_use]
pub fn normal_score(d: f64) -> f64 {
    let w = -ln((1.0 - d) * (1.0 + d));
    d * polynomial(w, &QUANTILE_UP) / polynomial(w, &QUANTILE_DOWN)
}

const TAIL_UP: [f64; 5] = [
    0.500_000_000_793_392_2,
    0.420_212_142_102_361_7,
    0.170_129_553_979_323_08,
    0.036_287_243_863_181_64,
    0.003_488_165_202_652_153_4,
];
const TAIL_DOWN: [f64; 6] = [
    1.0,
    1.638_308_969_708_921,
    1.147_438_964_345_351_5,
    0.434_913_174_754_928_47,
    0.090_973_750_176_826_42,
    0.008_743_167_744_853_626,
];

/// The probability that a normal score is below z, within 2e-9 of the smaller tail up to 8.5.
#[inline]
#[must_use]
pub fn normal_probability(z: f64) -> f64 {
    let a = smaller(z.abs(), 8.5);
    let tail = exp(-0.5 * a * a) * polynomial(a, &TAIL_UP) / polynomial(a, &TAIL_DOWN);
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// A number between -1 and 1, evenly spread, never either end, from random bits.
#[inline]
#[must_use]
pub fn even(bits: u64) -> f64 {
    let one_to_two = f64::from_bits((bits >> 12) | 1.0_f64.to_bits());
    (2.0 * one_to_two - 3.0) + f64::EPSILON
}

#[cfg(test)]
mod tests {
    use super::{even, exp, ln, normal_probability, normal_score};

    #[test]
    fn exp_and_ln_agree_with_libm() {
        let mut x = -36.0;
        while x < 36.0 {
            let (found, want) = (exp(x), libm::exp(x));
            assert!((found / want - 1.0).abs() < 1e-14, "exp({x}) {found} {want}");
            let back = ln(want);
            let allowed = 1e-14_f64.max(1e-14 * x.abs());
            assert!((back - libm::log(want)).abs() < allowed, "ln at {x}: {back}");
            x += 0.003_7;
        }
        for x in [1.0, 0.999_999, 1.000_001, std::f64::consts::FRAC_1_SQRT_2] {
            assert!((ln(x) - libm::log(x)).abs() < 1e-15, "ln({x}) {}", ln(x));
        }
        assert!(exp(-1e9) < 1e-300 && exp(1e9) < f64::INFINITY, "far arguments stay finite");
    }

    #[test]
    fn the_normal_curve_agrees_with_the_error_function() {
        let mut z = -8.2;
        while z < 8.2 {
            let (found, want) = (normal_probability(z), libm::erfc(-z / 2.0_f64.sqrt()) / 2.0);
            let tail = want.min(libm::erfc(z / 2.0_f64.sqrt()) / 2.0);
            let allowed = 2e-9 * tail + 3e-16;
            assert!((found - want).abs() < allowed, "P({z}) {found} {want}");
            // The score comes back from the probability as libm has it.
            let d = libm::erf(z / 2.0_f64.sqrt());
            if 0.001 < z.abs() && z.abs() < 5.0 {
                let score = normal_score(d);
                assert!((score / z - 1.0).abs() < 2e-6, "score of {z}: {score}");
            }
            z += 0.001_3;
        }
    }

    #[test]
    fn even_numbers_never_reach_an_end() {
        let (least, most) = (even(0), even(u64::MAX));
        assert!(-1.0 < least && most < 1.0, "{least} {most}");
        assert!((least + most).abs() < 1e-18, "both ends are alike: {least} {most}");
        let far = normal_score(least);
        // The quantile of 2^-54 is -8.2; the fit is good to 2e-6 of itself out to there.
        assert!((-8.3..-8.1).contains(&far), "the farthest score {far}");
    }
}
