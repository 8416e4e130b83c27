//! What a mass does to the ball and the axle of a trailer: a lever with the axle as its pivot.

use crate::units::{Length, Mass};

/// Change of the load on the ball when a mass is put in.
///
/// # Formula
/// dT = m * (L - x) / L
/// # Symbols
/// - `mass`: m, below zero when it is taken out [kg]
/// - `behind_ball`: x, from the ball to the centre of the mass, below zero ahead of the ball [m]
/// - `ball_to_axle`: L, to the middle of the axles where there are two [m]
/// - returns dT; below zero for a mass behind the axle [kg]
/// # Valid
/// A level trailer with one axle, or axles that share their load through equalised springs.
/// # Source
/// tow-ball-guides, lever method, read
/// # Checked by
/// WE19; the hand-worked cases below.
#[must_use]
pub fn ball_load_change(mass: Mass, behind_ball: Length, ball_to_axle: Length) -> Mass {
    mass * ((ball_to_axle - behind_ball) / ball_to_axle)
}

/// Where a mass must lie ahead of the axle for a given load on the ball.
///
/// # Formula
/// a = (T - T0) * L / m
/// # Symbols
/// - `wanted`: T, load on the ball [kg]
/// - `without`: T0, load on the ball without the mass [kg]
/// - `mass`: m, above zero [kg]
/// - `ball_to_axle`: L [m]
/// - returns a, below zero behind the axle [m]
/// # Valid
/// As for [`ball_load_change`].
/// # Source
/// physics, the lever solved for its arm, computed
/// # Checked by
/// Turned round it is [`ball_load_change`], which the test below tries.
#[must_use]
pub fn ahead_of_axle(wanted: Mass, without: Mass, mass: Mass, ball_to_axle: Length) -> Length {
    ball_to_axle * ((wanted - without) / mass)
}

/// Loads on the ball that a band allows.
///
/// # Formula
/// T1 = f1 * G; T2 = f2 * G
/// # Symbols
/// - `gross`: G, all of the trailer with everything in it [kg]
/// - `shares`: f1 and f2, the ends of the band
/// - returns T1 and T2 [kg]
/// # Valid
/// Loaded as it travels.
/// # Source
/// tow-ball-guides, 9 to 15 %, read
/// # Checked by
/// WE20.
#[must_use]
pub fn ball_band(gross: Mass, shares: (f64, f64)) -> (Mass, Mass) {
    (gross * shares.0, gross * shares.1)
}

/// What a scale under the far end of a beam shows when the coupling stands on the beam.
///
/// # Formula
/// R = T * b / (b + s)
/// # Symbols
/// - `ball_load`: T [kg]
/// - `support_to_ball`: b, from the fixed support to the coupling [m]
/// - `ball_to_scale`: s, from the coupling to the scale [m]
/// - returns R, the beam's own weight taken off [kg]
/// # Valid
/// A stiff, level beam that lies on a round bar at both ends.
/// # Source
/// tow-ball-guides, 1:2 lever read times three, read
/// # Checked by
/// The hand-worked case below.
#[must_use]
pub fn beam_reading(ball_load: Mass, support_to_ball: Length, ball_to_scale: Length) -> Mass {
    ball_load * (support_to_ball / (support_to_ball + ball_to_scale))
}

#[cfg(test)]
mod tests {
    use super::{ahead_of_axle, ball_band, ball_load_change, beam_reading};
    use crate::tables::oracles::vehicle_oracle as oracle;
    use crate::units::{Length, Mass};

    #[test]
    fn the_lever_is_the_trailer_builders_own() {
        let (lb, percent) = (oracle("WE19", "ball load"), oracle("WE19", "share"));
        let change = ball_load_change(
            Mass::pounds(lb.input("load_lb")),
            Length::inches(lb.input("behind_ball_in")),
            Length::inches(lb.input("ball_to_axle_in")),
        );
        let ball = Mass::pounds(lb.input("empty_ball_lb")) + change;
        lb.check(ball.as_pounds());
        let share = ball / Mass::pounds(percent.input("gross_lb")) * 100.0;
        percent.check(share);
        // The source prints 11.86 %; 284 over 2500 is 11.36.
        let misprint = percent.printed.expect("the print is kept");
        assert!(!percent.accepts(misprint), "the misprint is not taken: {misprint}");
    }

    #[test]
    fn a_band_is_a_share_of_the_gross() {
        let (low, high) = (oracle("WE20", "band low"), oracle("WE20", "band high"));
        let shares = (low.input("share"), high.input("share"));
        let (least, most) = ball_band(Mass::pounds(low.input("gross_lb")), shares);
        low.check(least.as_pounds());
        high.check(most.as_pounds());
    }

    #[test]
    fn ahead_loads_the_ball_and_behind_lifts_it() {
        // Hand worked: 3,500 lb with 420 lb (12 %) on the ball, 150 in from ball to axle. 268 lb put
        // 126 in ahead of the axle: 268 x 126 / 150 = 225.1, so 645.1 lb, which is 17.1 % of 3,768,
        // and 3,122.9 on the axle. The same 20 in behind the axle: 384.3 lb, 10.2 %.
        let length = Length::inches(150.0);
        let added = Mass::pounds(268.0);
        for (ahead, ball, percent) in [(126.0, 645.1, 17.1), (-20.0, 384.3, 10.2)] {
            let behind_ball = length - Length::inches(ahead);
            let change = ball_load_change(added, behind_ball, length);
            let got = Mass::pounds(420.0) + change;
            // A tenth of a pound and of a per cent: the rounding of the figures above.
            assert!((got.as_pounds() - ball).abs() < 0.06, "{got:?}");
            let share = got / Mass::pounds(3768.0) * 100.0;
            assert!((share - percent).abs() < 0.06, "{share} %");
            let back = ahead_of_axle(got, Mass::pounds(420.0), added, length);
            assert!(back.near(Length::inches(ahead), Length::mm(1e-6)), "{back:?}");
        }
        let axle = Mass::pounds(3768.0) - Mass::pounds(645.12);
        assert!((axle.as_pounds() - 3122.9).abs() < 0.06, "{axle:?}");
    }

    #[test]
    fn a_beam_of_one_to_two_shows_a_third() {
        // Hand worked: 300 mm and 600 mm: 138.8 x 300 / 900 = 46.27 kg.
        let shown = beam_reading(Mass::kg(138.8), Length::mm(300.0), Length::mm(600.0));
        assert!(shown.near(Mass::kg(46.267), Mass::kg(0.001)), "{shown:?}");
    }
}
