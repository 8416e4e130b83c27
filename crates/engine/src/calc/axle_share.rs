//! How a mass shares itself between the two axles of a van.

use crate::units::{Length, Mass};

/// What a mass adds to the front and to the rear axle.
///
/// # Formula
/// Fr = m * x / B; Ff = m - Fr
/// # Symbols
/// - `mass`: m, below zero when it is taken out [kg]
/// - `behind_front`: x, from the front axle to the centre of the mass [m]
/// - `wheelbase`: B, front axle to rear axle [m]
/// - returns Ff and Fr; behind the rear axle Ff is below zero [kg]
/// # Valid
/// Two axles. A third makes the springs decide, and only a weighbridge tells.
/// # Source
/// physics, a beam on two supports, computed
/// # Checked by
/// The hand-worked cases below.
#[must_use]
pub fn axle_share(mass: Mass, behind_front: Length, wheelbase: Length) -> (Mass, Mass) {
    let rear = mass * (behind_front / wheelbase);
    (mass - rear, rear)
}

#[cfg(test)]
mod tests {
    use super::axle_share;
    use crate::units::{Length, Mass};

    #[test]
    fn a_mass_behind_the_rear_axle_lifts_the_front() {
        // Hand worked: 120 kg on 3.6 m. At 3.0 m: 100 rear, 20 front. At 4.2 m: 140 rear, -20 front.
        for (x, front, rear) in [(3.0, 20.0, 100.0), (4.2, -20.0, 140.0), (0.0, 120.0, 0.0)] {
            let (f, r) = axle_share(Mass::kg(120.0), Length::m(x), Length::m(3.6));
            assert!(f.near(Mass::kg(front), Mass::kg(1e-9)), "front at {x} m: {f:?}");
            assert!(r.near(Mass::kg(rear), Mass::kg(1e-9)), "rear at {x} m: {r:?}");
        }
    }
}
