//! What a bolt bears, and what the wood under its plate bears.

use crate::tables::limits::Limits;
use crate::units::{Area, Force, Length};

/// Force across a bolt at which it begins to stay bent.
///
/// # Formula
/// V = P / sqrt(3)
/// # Symbols
/// - `proof`: P, proof load of the bolt [N]
/// - returns V, one bolt in one plane [N]
/// # Valid
/// Thread in the plane of the push, one plane. Metal yields in shear at 1/sqrt(3) of what it bears in tension.
/// # Source
/// physics, yield under pure shear by the energy of distortion, computed
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn bolt_shear(proof: Force) -> Force {
    proof / 3.0_f64.sqrt()
}

/// Force along a bolt at which its plate or washer begins to sink into plywood.
///
/// # Formula
/// P = p (a - pi d^2 / 4), a = s^2 for a square plate and pi s^2 / 4 for a round washer
/// # Symbols
/// - `limits`: p, what the face of plywood may bear [N/mm2]
/// - `face`: a, area of plate or washer with its hole not taken out [mm2]
/// - `bolt`: d, diameter of the hole [mm]
/// - returns P, one bolt [N]
/// # Valid
/// Dry softwood plywood, a plate stiff enough not to bend: see the thickness beside each plate of the table.
/// # Source
/// memory, allowable bearing on the face of softwood plywood, recalled
/// # Checked by
/// The hand-worked case below; no published example was found.
#[must_use]
pub fn wood_bearing(limits: &Limits, face: Area, bolt: Length) -> Force {
    let hole = std::f64::consts::PI * bolt.as_mm() * bolt.as_mm() / 4.0;
    let net = (face.as_mm2() - hole).max(0.0);
    Force::newtons(limits.value("plywood-bearing").value * net)
}

#[cfg(test)]
mod tests {
    use super::{bolt_shear, wood_bearing};
    use crate::tables::Tables;
    use crate::units::{Area, Force, Length};

    #[test]
    fn a_quarter_inch_bolt_across() {
        // Hand worked: 2703 / 1.7320508 = 1560.6 lbf.
        let got = bolt_shear(Force::pounds_force(2703.0)).as_pounds_force();
        assert!((got - 1560.6).abs() < 0.1, "{got}");
    }

    #[test]
    fn a_plate_of_fifty_on_plywood() {
        // Hand worked: 2.5 * (50^2 - 3.14159 * 8^2 / 4) = 2.5 * 2449.735 = 6124.3 N.
        let limits = Tables::load().unwrap_or_else(|e| panic!("{e}")).limits;
        let got = wood_bearing(&limits, Area::mm2(2500.0), Length::mm(8.0)).as_newtons();
        assert!((got - 6124.3).abs() < 0.1, "{got}");
        let none = wood_bearing(&limits, Area::mm2(20.0), Length::mm(8.0)).as_newtons();
        assert!(none.abs() < 1e-12, "a washer smaller than its hole holds nothing: {none}");
    }
}
