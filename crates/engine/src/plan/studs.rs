//! Studs by the names the trade gives them, and the spanner for each.

use crate::tables::Tables;
use crate::units::Length;
use crate::units::show::decimal;

/// A stud of the tables.
#[derive(Clone, Debug, PartialEq)]
struct Stud {
    name: String,
    diameter: Length,
    spanner: Option<String>,
}

/// Every stud the tables know.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Studs {
    studs: Vec<Stud>,
}

/// Farther than this a diameter is not that stud: 5/16 in and M8 are 0.06 mm apart [mm].
const NEAR_MM: f64 = 0.03;

impl Studs {
    /// Reads the tables.
    #[must_use]
    pub fn of(tables: &Tables) -> Self {
        let table = &tables.termination;
        let studs = table.studs().filter_map(|name| {
            let spanner =
                table.spanner(name).map(|s| format!("{}, {}", s.value, s.cite.status.says()));
            Some(Stud {
                name: name.to_owned(),
                diameter: table.stud_diameter(name)?.value,
                spanner,
            })
        });
        Self { studs: studs.collect() }
    }

    fn find(&self, diameter: Length) -> Option<&Stud> {
        self.studs.iter().find(|s| s.diameter.near(diameter, Length::mm(NEAR_MM)))
    }

    /// The name of a stud, such as `M8` or `5/16 in`; its millimetres where no stud is so thick.
    #[must_use]
    pub fn name(&self, diameter: Length) -> String {
        self.find(diameter)
            .map_or_else(|| format!("{} mm", decimal(diameter.as_mm(), 1)), |s| s.name.clone())
    }

    /// The spanner for its nut, with how far that can be trusted.
    #[must_use]
    pub fn spanner(&self, diameter: Length) -> Option<&str> {
        self.find(diameter)?.spanner.as_deref()
    }
}

#[cfg(test)]
mod tests {
    use super::Studs;
    use crate::tables::Tables;
    use crate::units::Length;

    #[test]
    fn an_inch_stud_is_not_taken_for_a_metric_one() {
        let tables = Tables::load().expect("the tables are read");
        let studs = Studs::of(&tables);
        for (mm, name) in [(8.0, "M8"), (7.9375, "5/16 in"), (9.525, "3/8 in"), (9.0, "9 mm")] {
            assert_eq!(studs.name(Length::mm(mm)), name, "{mm} mm");
        }
        let spanner = studs.spanner(Length::inches(0.3125));
        assert_eq!(spanner, Some("1/2 in, from memory, not verified"), "5/16 in");
    }
}
