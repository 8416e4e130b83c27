//! Where the sun stands by the clock: the long algorithm of astronomers, for the years -2000 to 6000.
//!
//! The series with its thousand terms is a library's; here is what it is asked and its worked case.

use solar_positioning::time::JulianDate;
use solar_positioning::{Location, RefractionCorrection, SolarPositions, delta_t};

/// A moment of universal time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moment {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month.
    pub day: u32,
    /// Hour of the day, 0 up to 24, with its part.
    pub hour: f64,
}

/// A place on the earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observer {
    /// Latitude, north positive [deg].
    pub latitude_deg: f64,
    /// Longitude, east positive [deg].
    pub longitude_deg: f64,
    /// Altitude [m].
    pub altitude_m: f64,
}

/// Air that bends the light of a low sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BendingAir {
    /// Pressure [hPa].
    pub pressure_hpa: f64,
    /// Temperature [C].
    pub air_c: f64,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Angle from straight up [deg].
    pub zenith_deg: f64,
    /// Azimuth, 0 north, 90 east [deg].
    pub azimuth_deg: f64,
}

/// A moment of universal time as a count of days.
///
/// # Formula
/// JD by the Gregorian calendar
/// # Symbols
/// - `moment`: date and hour of universal time
/// - returns JD [d], or nothing where there is no such date
/// # Valid
/// Dates from 1582-10-15.
/// # Source
/// reda-andreas-2004, equation 4, reprint
/// # Checked by
/// S01, through [`sun_position`]; noon of 2000-01-01 in the tests.
#[must_use]
pub fn julian_date(moment: &Moment) -> Option<f64> {
    let date = JulianDate::from_utc(moment.year, moment.month, moment.day, 0, 0, 0.0, 0.0).ok()?;
    Some(date.julian_date() + moment.hour / 24.0)
}

/// Where the sun stands at a moment and a place.
///
/// # Formula
/// Heliocentric series, nutation, aberration, sidereal time, parallax; refraction where asked
/// # Symbols
/// - `moment`: universal time
/// - `earth_lag_s`: difference of even time and the earth's turn [s]; none takes the library's estimate
/// - `observer`: latitude, longitude [deg], altitude [m]
/// - `air`: pressure [hPa] and temperature [C] for refraction; none gives the true position
/// - returns zenith angle and azimuth [deg], or nothing where date or place do not exist
/// # Valid
/// Years -2000 to 6000 within 0.0003 deg, by its authors.
/// # Source
/// reda-andreas-2004, the whole text, reprint
/// # Checked by
/// S01; `sky_agrees.rs` over 2000 to 2050 and all latitudes.
#[must_use]
pub fn sun_position(
    moment: &Moment,
    earth_lag_s: Option<f64>,
    observer: &Observer,
    air: Option<BendingAir>,
) -> Option<SunPosition> {
    let lag = match earth_lag_s {
        Some(lag) => lag,
        None => delta_t::estimate_from_date(moment.year, moment.month).ok()?,
    };
    let date = JulianDate::new(julian_date(moment)?, lag).ok()?;
    let place = Location { latitude: observer.latitude_deg, longitude: observer.longitude_deg };
    let bent = match air {
        Some(air) => Some(RefractionCorrection::new(air.pressure_hpa, air.air_c).ok()?),
        None => None,
    };
    let found =
        SolarPositions::new().at_from_julian(date, place, observer.altitude_m, bent).ok()?;
    Some(SunPosition { zenith_deg: found.zenith_angle(), azimuth_deg: found.azimuth() })
}

#[cfg(test)]
mod tests {
    use super::{BendingAir, Moment, Observer, julian_date, sun_position};
    use crate::tables::oracles::sky_oracle;

    #[test]
    fn the_worked_case_of_the_authors() {
        for quantity in ["zenith", "azimuth"] {
            let row = sky_oracle("S01", quantity);
            let hour =
                row.input("hour") + row.input("minute") / 60.0 + row.input("second") / 3600.0;
            let moment = Moment { year: 2003, month: 10, day: 17, hour };
            let observer = Observer {
                latitude_deg: row.input("latitude_deg"),
                longitude_deg: row.input("longitude_deg"),
                altitude_m: row.input("altitude_m"),
            };
            let air =
                BendingAir { pressure_hpa: row.input("pressure_hpa"), air_c: row.input("air_c") };
            let found = sun_position(&moment, Some(row.input("lag_s")), &observer, Some(air))
                .expect("a real date and place");
            row.check(if quantity == "zenith" { found.zenith_deg } else { found.azimuth_deg });
        }
    }

    #[test]
    fn the_count_of_days() {
        // The epoch J2000.0 is noon of 2000-01-01 and has the count 2451545 by definition.
        let noon = Moment { year: 2000, month: 1, day: 1, hour: 12.0 };
        let days = julian_date(&noon).expect("a real date");
        assert!((days - 2_451_545.0).abs() < 1e-9, "noon of 2000-01-01 is day {days}");
        let none = Moment { year: 2001, month: 2, day: 29, hour: 12.0 };
        assert_eq!(julian_date(&none), None, "2001 has no 29 February");
    }

    #[test]
    fn refraction_lifts_a_low_sun() {
        let moment = Moment { year: 2026, month: 6, day: 21, hour: 4.0 };
        let at = Observer { latitude_deg: 52.0, longitude_deg: 5.0, altitude_m: 0.0 };
        let air = BendingAir { pressure_hpa: 1013.0, air_c: 12.0 };
        let zenith = |air| sun_position(&moment, None, &at, air).expect("real").zenith_deg;
        assert!(zenith(Some(air)) < zenith(None), "the sun looks higher through air");
    }
}
