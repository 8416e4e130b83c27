//! What a self-tapping screw in thin steel may bear: across, along, and under its head.

use crate::tables::limits::Limits;
use crate::units::{Force, Length};

/// Megapascals in a thousand pounds-force per square inch, by definition of the pound and the inch.
const MPA_PER_KSI: f64 = 6.894_757_293_168;

/// A screw through one sheet into another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScrewJoint {
    /// Diameter over the thread.
    pub diameter: Length,
    /// Thickness of the sheet under the head.
    pub near: Length,
    /// Thickness of the wall that holds the thread.
    pub far: Length,
    /// Diameter of head or washer that bears on the sheet.
    pub head: Length,
}

/// Tensile strength that is counted for a tube of unknown steel [N/mm2].
fn tensile_mpa(limits: &Limits) -> f64 {
    limits.value("steel-tensile").value * MPA_PER_KSI
}

/// Force across a screw that its two sheets may bear.
///
/// # Formula
/// P = min(4.2 sqrt(t2^3 d) Fu, 2.7 t1 d Fu, 2.7 t2 d Fu) / W for t2/t1 <= 1; the last two for t2/t1 >= 2.5;
/// between the two in a straight line
/// # Symbols
/// - `limits`: the coefficients, Fu, W and the two ratios
/// - `joint`: d, t1 (near), t2 (far) [mm]
/// - returns P, one screw [N]
/// # Valid
/// Cold-formed steel, one screw, edge and spacing at least three diameters. Fatigue is outside the standard:
/// what shakes for years is not covered.
/// # Source
/// aisi-s100-sheet, E4.3.1, read; fastener-report, Fu of table 2, read
/// # Checked by
/// C12s; the hand-worked case below. They cannot see a wrong tilting term where bearing rules.
#[must_use]
pub fn screw_shear(limits: &Limits, joint: &ScrewJoint) -> Force {
    let (near, far) = (joint.near.as_mm(), joint.far.as_mm());
    let diameter = joint.diameter.as_mm();
    let fu = tensile_mpa(limits);
    let bearing = limits.value("screw-bearing").value * near.min(far) * diameter * fu;
    let tilting = limits.value("screw-shear-tilt").value * (far * far * far * diameter).sqrt() * fu;
    let (thin, thick) =
        (limits.value("screw-thin-ratio").value, limits.value("screw-thick-ratio").value);
    let share = ((far / near - thin) / (thick - thin)).clamp(0.0, 1.0);
    let low = bearing.min(tilting);
    Force::newtons((low + (bearing - low) * share) / limits.value("screw-omega").value)
}

/// Force along a screw that its thread holds in the far wall.
///
/// # Formula
/// P = 0.85 t d Fu / W
/// # Symbols
/// - `limits`: 0.85, Fu, W
/// - `diameter`: d, over the thread [mm]
/// - `wall`: t, of the part that holds the thread [mm]
/// - returns P, one screw [N]
/// # Valid
/// As for [`screw_shear`]. Rust, a hole drilled too wide and vibration all take from it.
/// # Source
/// aisi-s100-sheet, E4.4.1, read; fastener-report, Fu of table 2, read
/// # Checked by
/// The 31 values of the fastener report within one pound-force; C12p.
#[must_use]
pub fn screw_pull_out(limits: &Limits, diameter: Length, wall: Length) -> Force {
    let nominal = limits.value("screw-pull-out").value
        * wall.as_mm()
        * diameter.as_mm()
        * tensile_mpa(limits);
    Force::newtons(nominal / limits.value("screw-omega").value)
}

/// Force along a screw or bolt at which its head or washer is drawn through steel sheet.
///
/// # Formula
/// P = 1.5 t dw Fu / W
/// # Symbols
/// - `limits`: 1.5, Fu, W, and the largest washer that counts
/// - `sheet`: t, under the head [mm]
/// - `head`: dw, diameter of head or washer, counted to 1/2 in [mm]
/// - returns P, one fastener [N]
/// # Valid
/// Steel sheet, head at least 5/16 in. A wider washer or plate holds more; the source does not say how much,
/// so it counts as 1/2 in here.
/// # Source
/// aisi-s100-sheet, E4.4.2, read
/// # Checked by
/// C12o.
#[must_use]
pub fn pull_over(limits: &Limits, sheet: Length, head: Length) -> Force {
    let widest = Length::inches(limits.value("screw-head-max").value);
    let nominal = limits.value("screw-pull-over").value
        * sheet.as_mm()
        * head.min(widest).as_mm()
        * tensile_mpa(limits);
    Force::newtons(nominal / limits.value("screw-omega").value)
}

/// Force across a bolt or screw at which the edge of its hole in a steel wall is pressed out.
///
/// # Formula
/// P = 2.7 t d Fu / W
/// # Symbols
/// - `limits`: 2.7, Fu, W
/// - `diameter`: d [mm]
/// - `wall`: t, the thinner of the two parts [mm]
/// - returns P, one fastener [N]
/// # Valid
/// The bearing term of the screw formula. Its safety factor is larger than the one for bolts, so a bolt is
/// judged on the safe side.
/// # Source
/// aisi-s100-sheet, E4.3.1, read
/// # Checked by
/// C12s, in which this term rules.
#[must_use]
pub fn hole_bearing(limits: &Limits, diameter: Length, wall: Length) -> Force {
    let nominal =
        limits.value("screw-bearing").value * wall.as_mm() * diameter.as_mm() * tensile_mpa(limits);
    Force::newtons(nominal / limits.value("screw-omega").value)
}

#[cfg(test)]
mod tests {
    use super::{ScrewJoint, hole_bearing, pull_over, screw_pull_out, screw_shear};
    use crate::tables::Tables;
    use crate::tables::oracles::enclosure_oracle;
    use crate::tables::sheet::Sheet;
    use crate::units::Length;

    fn tables() -> Tables {
        Tables::load().unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn a_number_twelve_screw_bears_what_the_sheet_says() {
        let limits = tables().limits;
        let inch = |id: &str, quantity: &str, name: &str| {
            Length::inches(enclosure_oracle(id, quantity).input(name))
        };
        let joint = ScrewJoint {
            diameter: inch("C12s", "shear", "diameter_in"),
            near: inch("C12s", "shear", "near_in"),
            far: inch("C12s", "shear", "far_in"),
            head: inch("C12o", "pull_over", "head_in"),
        };
        let shear = screw_shear(&limits, &joint).as_pounds_force();
        enclosure_oracle("C12s", "shear").check(shear);
        let far = inch("C12p", "pull_out", "far_in");
        let out = screw_pull_out(&limits, joint.diameter, far).as_pounds_force();
        enclosure_oracle("C12p", "pull_out").check(out);
        let over = pull_over(&limits, joint.near, joint.head).as_pounds_force();
        enclosure_oracle("C12o", "pull_over").check(over);
    }

    #[test]
    fn every_pull_out_of_the_report_is_met_within_a_pound() {
        // WE23: fastener-report, table 2, Fu 45 ksi and Omega 3, printed in whole pounds.
        let limits = tables().limits;
        let text = include_str!("../../../../data/enclosure/screw_pull_out.csv");
        let sheet = Sheet::read("enclosure/screw_pull_out.csv", text).expect("a table");
        let mut rows = 0;
        for row in sheet.rows() {
            let inches = |name| Length::inches(row.number(name).expect("a number"));
            let got = screw_pull_out(&limits, inches("diameter_in"), inches("wall_in"));
            let want = row.number("allowable_lbf").expect("a number");
            let off = (got.as_pounds_force() - want).abs();
            assert!(off <= 1.0, "line {}: {} for {want}", row.line(), got.as_pounds_force());
            rows += 1;
        }
        assert_eq!(rows, 31, "every value of the report");
    }

    #[test]
    fn a_thin_wall_tilts_the_screw() {
        // Hand worked, 0.216 in through 0.060 in into 0.030 in, Fu 45 ksi:
        // tilting 4.2 * sqrt(0.030^3 * 0.216) * 45000 / 3 = 152.1 lbf;
        // bearing 2.7 * 0.030 * 0.216 * 45000 / 3 = 262.4 lbf.
        let limits = tables().limits;
        let inches = Length::inches;
        let mut joint = ScrewJoint {
            diameter: inches(0.216),
            near: inches(0.060),
            far: inches(0.030),
            head: inches(0.34),
        };
        let got = screw_shear(&limits, &joint).as_pounds_force();
        assert!((got - 152.1).abs() < 0.1, "tilting rules: {got}");
        joint.near = inches(0.010);
        let got = screw_shear(&limits, &joint).as_pounds_force();
        // Hand worked: far wall three times the near one, 2.7 * 0.010 * 0.216 * 45000 / 3 = 87.5 lbf.
        assert!((got - 87.5).abs() < 0.1, "bearing rules: {got}");
        let bearing = hole_bearing(&limits, inches(0.216), inches(0.010)).as_pounds_force();
        assert!((bearing - got).abs() < 1e-9, "the same term");
    }

    #[test]
    fn a_thicker_wall_never_holds_less() {
        let limits = tables().limits;
        let mut last = 0.0;
        for n in 1..60 {
            let joint = ScrewJoint {
                diameter: Length::mm(5.5),
                near: Length::mm(1.5),
                far: Length::mm(f64::from(n) * 0.1),
                head: Length::mm(9.0),
            };
            let now = screw_shear(&limits, &joint).as_newtons();
            assert!(last <= now + 1e-9, "{n}: {now} after {last}");
            last = now;
        }
    }
}
