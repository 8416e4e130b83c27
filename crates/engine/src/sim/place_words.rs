//! What a place's climate rests on, in words: what was assumed and how far it may be off.

use super::place::Site;
use crate::finding::Assumed;
use crate::tables::generator::GeneratorTables;
use crate::units::show::{self, UnitSystem};
use crate::units::{Length, Temperature};

/// A height above the sea, in whole units.
fn height(metres: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} m", show::decimal(metres, 0)),
        UnitSystem::Us => format!("{} ft", show::decimal(Length::m(metres).as_feet(), 0)),
    }
}

impl Site {
    /// What the answer rests on, in short sentences.
    #[must_use]
    pub fn rests_on(&self, units: UnitSystem) -> Vec<String> {
        let far = show::far(Length::m(self.nearest_km * 1000.0), units);
        let mut words = vec![format!(
            "Sun: a built-in map of the world's land in squares of 3 degrees; the nearest square's \
             middle is {far} away."
        )];
        if self.typed {
            words.push("Your twelve monthly figures set how bright each month is.".to_owned());
        }
        words.push(
            "Spells: days remember the day before, as station records do; each weather year is made \
             from a seed."
                .to_owned(),
        );
        words.push("Air: monthly means of 1981 to 2010, brought to your altitude.".to_owned());
        words
    }

    /// Where the answer may be wrong here, in short sentences.
    #[must_use]
    pub fn limits(&self, numbers: &GeneratorTables, units: UnitSystem) -> Vec<String> {
        let percent = |id| show::decimal(numbers.number(id) * 100.0, 0);
        let mut words = vec![format!(
            "A square is 3 degrees wide: valleys, fog, sea breeze and mountain shade are not in it. \
             Expect a month to be off by {} % and a year by {} %, more in cloudy winters.",
            percent("month-error"),
            percent("year-error"),
        )];
        if numbers.number("reach-km") < self.nearest_km {
            let far = show::far(Length::m(self.nearest_km * 1000.0), units);
            words.push(format!(
                "The map has no land here. Your figures set how bright a month is; how its days \
                 differ is taken from land {far} away."
            ));
        } else if !self.typed {
            words.push(
                "Twelve monthly figures of your own under place.sun_hours remove most of this error."
                    .to_owned(),
            );
        }
        if self.in_bright_africa(numbers) && !self.typed {
            words.push(format!(
                "Here the map looks about {} % too bright.",
                percent("bright-africa-share")
            ));
        }
        words.push(
            "The map was checked in the USA, Central America, New Zealand and around the \
             Mediterranean; not in the British Isles, northern Europe, India, Australia, South \
             America or southern Africa."
                .to_owned(),
        );
        words.push(
            "Weather alone: no snow or dirt on the panels, no trees, no smoke, no change of climate \
             since 2015."
                .to_owned(),
        );
        words.push("Hours are in solar time and know no morning fog.".to_owned());
        words
    }

    fn in_bright_africa(&self, numbers: &GeneratorTables) -> bool {
        let number = |id| numbers.number(id);
        self.latitude_deg.abs() <= number("bright-africa-latitude-deg")
            && number("bright-africa-west-deg") <= self.longitude_deg
            && self.longitude_deg <= number("bright-africa-east-deg")
    }

    /// What was filled in because the owner did not say.
    #[must_use]
    pub fn assumed(&self, numbers: &GeneratorTables, units: UnitSystem) -> Vec<Assumed> {
        let mut list = vec![Assumed {
            path: "place.sun_hours".to_owned(),
            value: format!(
                "each weather year is brighter or duller than the mean by {} % and by {} % (one \
                 standard deviation), for the year itself and for {}",
                show::decimal(self.recipe.year_sd * 100.0, 1),
                show::decimal(self.map_sd * 100.0, 1),
                if self.typed { "your monthly figures" } else { "the error of the map" },
            ),
            how_to_measure: "compare a year of your own meter with the monthly figures".to_owned(),
            matters:
                "it widens the range of nights; near the balance of sun and load, 10 % of sun \
                      is a factor of 2 in nights"
                    .to_owned(),
            cite: numbers.value(if self.typed { "typed-sd" } else { "map-sd" }).cite,
        }];
        if self.altitude_of_map {
            let error = height(numbers.number("altitude-error-95"), units);
            list.push(Assumed {
                path: "place.altitude".to_owned(),
                value: height(self.altitude_m, units),
                how_to_measure: "read it off a map or a phone".to_owned(),
                matters: format!(
                    "the map's altitude may be off by {error}: 0.6 °C of air for every 100 m"
                ),
                cite: numbers.value("altitude-error-95").cite,
            });
        }
        list
    }

    /// The lowest temperature of a typical year and the level to prepare for, as texts.
    #[must_use]
    pub fn freeze_words(&self, units: UnitSystem) -> (String, String) {
        let show = |c: f64| show::temperature(Temperature::celsius(c), units);
        (show(self.extremes.lowest_typical_c), show(self.extremes.freeze_warning_c))
    }
}
