//! How much of an hour's light is diffuse, when only the whole is known.

use super::clear_sky::SkyLight;
use crate::number::cos;
use crate::tables::sky::DiffuseSplit;

/// Light on the ground over the light outside the air, both on a flat plane.
///
/// # Formula
/// kt = G / (I0 max(cos z, c)), at least 0, at most 1
/// # Symbols
/// - `global_w_m2`: G [W/m2]
/// - `cos_zenith`: cos z
/// - `extraterrestrial_w_m2`: I0, facing the sun [W/m2]
/// - `split`: c, so that a sun on the horizon divides by no zero
/// - returns kt
/// # Valid
/// Hours and shorter.
/// # Source
/// erbs-1982, clearness index, reprint; c from open-pv-library, read
/// # Checked by
/// `sky_agrees.rs`
#[must_use]
#[inline]
pub fn clearness(
    global_w_m2: f64,
    cos_zenith: f64,
    extraterrestrial_w_m2: f64,
    split: &DiffuseSplit,
) -> f64 {
    let outside = extraterrestrial_w_m2 * cos_zenith.max(split.cosine_min);
    (global_w_m2 / outside).clamp(0.0, 1.0)
}

/// Diffuse part of the light of an hour.
///
/// # Formula
/// kt <= 0.22: 1 - 0.09 kt; kt <= 0.8: a polynomial of fourth degree; above: 0.165
/// # Symbols
/// - `clearness`: kt
/// - `split`: bounds and numbers of the three branches
/// - returns the diffuse part, 0 to 1
/// # Valid
/// Hourly values. The branches meet within 0.003; three selects and no jump, for the batch kernel.
/// # Source
/// erbs-1982, equation 1, reprint
/// # Checked by
/// `sky_agrees.rs`; the joints of the branches in the tests.
#[must_use]
#[inline]
pub fn diffuse_share(clearness: f64, split: &DiffuseSplit) -> f64 {
    let kt = clearness;
    let [c0, c1, c2, c3, c4] = split.middle;
    let middle = c0 + kt * (c1 + kt * (c2 + kt * (c3 + kt * c4)));
    let overcast = 1.0 - split.overcast_slope * kt;
    let dull = if kt <= split.overcast_below { overcast } else { middle };
    if split.clear_above < kt { split.clear } else { dull }
}

/// An hour's light, split into beam and diffuse.
///
/// # Formula
/// D = f(kt) G; B = (G - D) / cos z; with the sun under 3 deg all is diffuse
/// # Symbols
/// - `global_w_m2`: G [W/m2]
/// - `cos_zenith`: cos z
/// - `extraterrestrial_w_m2`: I0, facing the sun [W/m2]
/// - `split`: the numbers
/// - returns G, B facing the sun, D [W/m2]
/// # Valid
/// Hourly values; the sum always closes.
/// # Source
/// erbs-1982, equation 1, reprint; the low sun from open-pv-library, read
/// # Checked by
/// `sky_agrees.rs`; closure in the tests.
#[must_use]
pub fn split_light(
    global_w_m2: f64,
    cos_zenith: f64,
    extraterrestrial_w_m2: f64,
    split: &DiffuseSplit,
) -> SkyLight {
    let kt = clearness(global_w_m2, cos_zenith, extraterrestrial_w_m2, split);
    let diffuse = diffuse_share(kt, split) * global_w_m2;
    let low = cos_zenith < cos(split.zenith_max_deg.to_radians());
    if low || global_w_m2 < 0.0 {
        return SkyLight { global_w_m2, beam_w_m2: 0.0, diffuse_w_m2: global_w_m2 };
    }
    SkyLight { global_w_m2, beam_w_m2: (global_w_m2 - diffuse) / cos_zenith, diffuse_w_m2: diffuse }
}

#[cfg(test)]
mod tests {
    use super::{diffuse_share, split_light};
    use crate::tables::Tables;

    #[test]
    fn the_branches_meet() {
        let split = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.diffuse;
        // Hand worked at 0.5: 0.9511 - 0.0802 + 1.097 - 2.07975 + 0.771 = 0.65915.
        assert!((diffuse_share(0.5, &split) - 0.65915).abs() < 1e-9, "middle of the middle");
        for joint in [split.overcast_below, split.clear_above] {
            let step = diffuse_share(joint - 1e-9, &split) - diffuse_share(joint + 1e-9, &split);
            // 0.003 is what the printed digits leave open.
            assert!(step.abs() < 0.003, "a step of {step} at {joint}");
        }
    }

    #[test]
    fn beam_and_sky_add_up() {
        let split = Tables::load().unwrap_or_else(|e| panic!("{e}")).sky.diffuse;
        for (global, up) in [(80.0, 0.04), (130.0, 0.9), (600.0, 0.7), (900.0, 0.75)] {
            let light = split_light(global, up, 1361.0, &split);
            let sum = light.beam_w_m2 * up + light.diffuse_w_m2;
            assert!((sum - global).abs() < 1e-9, "{global} splits into {sum}");
            assert!(light.diffuse_w_m2 <= global && 0.0 <= light.beam_w_m2, "{light:?}");
        }
    }
}
