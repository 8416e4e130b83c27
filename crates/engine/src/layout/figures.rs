//! The published figures the layout needs: case sizes, cable diameters, bends, lugs, clearances.
//!
//! This is the only file of the layout that knows where they are kept.

use crate::calc::bend_radius::least_bend_radius;
use crate::tables::battery::{CaseSize, PostHabit};
use crate::tables::limits::Limits;
use crate::tables::{Sourced, Tables};
use crate::units::conductor::{ConductorSize, Gauge};
use crate::units::{BlockVoltage, Length};

/// A block is of a nominal voltage when its label is this near: 12.8 V is taken for 12 V.
const SAME_VOLTS: f64 = 1.0;

/// The thickest cable the layout keeps clear for while no size is known.
const THICKEST: i8 = -3;

/// A cable as it lies and as it bends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cable {
    /// Diameter over the jacket.
    pub(super) diameter: Length,
    /// Radius of the centre line of its tightest bend; `None` while the size is not known.
    pub(super) radius: Option<Length>,
    /// Depth of the barrel of a lug for it; `None` where no table has it.
    pub(super) barrel: Option<Length>,
}

/// Everything the layout looks up.
pub(super) struct Figures<'a> {
    tables: &'a Tables,
    /// Air between flooded blocks.
    pub(super) gap: Sourced<Length>,
    /// Air between blocks that give off no gas in ordinary use.
    pub(super) gap_sealed: Sourced<Length>,
    /// How far a post stands from the two sides of its corner when nobody has measured it: near the
    /// corner, far enough in for a lug palm to stay inside the case.
    pub(super) post_inset: Length,
    /// No post is assumed further in than this share of the shorter side, or the two posts of a
    /// small case would meet.
    pub(super) post_inset_share: f64,
    /// The stud taken for granted while nobody has measured it.
    pub(super) stud: Sourced<Length>,
    /// From the stud centre to the closed end of a lug's barrel, in stud diameters.
    pub(super) lug_palm: f64,
    /// Depth of a barrel in cable diameters where the table has none.
    pub(super) lug_barrel: f64,
    /// From the centre of a bare post to the jacket of a lead that passes it: a lug palm and a
    /// spanner on that post must not rub on the lead.
    pub(super) off_post: Length,
    /// From the centre of a filler cap to the jacket of a lead that passes it, so that fingers can
    /// turn the cap.
    pub(super) off_cap: Length,
    /// What a boot keeps straight of the cable beyond the mouth of the barrel.
    pub(super) boot_past_barrel: Length,
    /// Width of a strap of which nobody said it.
    pub(super) strap_width: Length,
    /// Thickness of a strap on the cases.
    pub(super) strap_thickness: Length,
    /// Top of a post over its case while nobody has measured it.
    pub(super) post_over_case: Length,
    /// Lug, washers, nut and stud end above the face of a post.
    pub(super) stack: Length,
    /// Each further lug on a stud.
    pub(super) lug_thickness: Length,
    /// Clear height between the tallest stack and the lid.
    pub(super) lid: Length,
    /// Allowance at each end of a lead that bends or leaves the bank.
    pub(super) slack: Length,
    /// Error of a tape on the bench.
    pub(super) tape_bench: Length,
    /// Error of a tape along a route.
    pub(super) tape_route: Length,
}

impl<'a> Figures<'a> {
    /// The figures of the layout among all tables.
    pub(super) fn of(tables: &'a Tables) -> Self {
        let length = |id| millimetres(&tables.limits, id);
        Self {
            tables,
            gap: length("block-gap"),
            gap_sealed: length("block-gap-sealed"),
            post_inset: length("post-inset").value,
            post_inset_share: tables.limits.value("post-inset-share").value,
            stud: length("stud-usual"),
            lug_palm: tables.limits.value("lug-palm").value,
            lug_barrel: tables.limits.value("lug-barrel").value,
            off_post: length("lead-off-post").value,
            off_cap: length("cap-radius").value + length("lead-off-cap").value,
            boot_past_barrel: length("boot-past-barrel").value,
            strap_width: length("strap-width-usual").value,
            strap_thickness: length("strap-thickness").value,
            post_over_case: length("post-over-case").value,
            stack: length("stack-over-face").value,
            lug_thickness: length("lug-thickness").value,
            lid: length("lid-clearance").value,
            slack: length("lead-slack-each-end").value,
            tape_bench: length("tape-error-bench").value,
            tape_route: length("tape-error-route").value,
        }
    }

    /// The usual size of a case group, however its name is written.
    pub(super) fn case(&self, group: &str) -> Option<&'a CaseSize> {
        let plain = |s: &str| s.replace([' ', '-'], "").to_uppercase();
        let wanted = plain(group);
        self.tables.battery.cases().iter().find(|row| plain(&row.group) == wanted)
    }

    /// Where a size usually has its posts; none is published.
    pub(super) fn posts(&self, group: &str) -> Option<Sourced<PostHabit>> {
        let own = self.case(group)?;
        self.tables.battery.case_posts(&own.group).cloned()
    }

    /// The case a block of those volts is taken to have when nothing was said of its size.
    pub(super) fn usual_case(&self, volts: Option<BlockVoltage>) -> Option<&'a CaseSize> {
        let cases = self.tables.battery.cases();
        let fits = |row: &&CaseSize| {
            volts.is_none_or(|v| (v.as_volts() - row.voltage.as_volts()).abs() < SAME_VOLTS)
        };
        cases.iter().find(fits).or_else(|| cases.first())
    }

    /// A cable of that size; without a size, or with one no table covers, as thick as any, and its
    /// bends are not judged.
    pub(super) fn cable(&self, size: Option<ConductorSize>) -> Cable {
        let conductor = &self.tables.conductor;
        let known = size.and_then(|size| Some((size, conductor.outer_diameter(size)?.value)));
        let Some((size, diameter)) = known else {
            let thickest = Gauge::number(THICKEST).map(ConductorSize::Awg);
            let diameter = thickest.and_then(|size| conductor.outer_diameter(size));
            let diameter = diameter.map_or(Length::ZERO, |d| d.value);
            return Cable { diameter, radius: None, barrel: None };
        };
        // Flexible battery cable has a thinner jacket than the first row of the table ends with.
        let inside = least_bend_radius(self.tables, diameter, Length::ZERO);
        let barrel = match size {
            ConductorSize::Awg(gauge) | ConductorSize::Boat(gauge) => {
                self.tables.termination.barrel_depth(gauge)
            }
            ConductorSize::Metric(_) => None,
        };
        Cable {
            diameter,
            radius: inside.map(|r| centre_line(r.value, diameter)),
            barrel: barrel.map(|b| b.value),
        }
    }
}

/// A limit that the data holds in millimetres.
fn millimetres(limits: &Limits, id: &str) -> Sourced<Length> {
    limits.value(id).map(Length::mm)
}

/// Radius of the centre line of a bend, along which length is measured.
///
/// # Formula
/// R = r + D / 2
/// # Symbols
/// - `inside`: r, radius of the inside of the bend [mm]
/// - `diameter`: D, diameter over the jacket [mm]
/// - returns R [mm]
/// # Valid
/// A round cable whose neutral line is its middle.
/// # Source
/// physics, circles about one centre, computed
/// # Checked by
/// hand-worked 2/0 cable in the tests of this file; it cannot detect a wrong table.
fn centre_line(inside: Length, diameter: Length) -> Length {
    inside + diameter / 2.0
}

#[cfg(test)]
pub(super) mod tests {
    use super::Figures;
    use crate::tables::Tables;
    use crate::units::conductor::{ConductorSize, Gauge, MetricSize};
    use crate::units::{BlockVoltage, Length};
    use std::sync::LazyLock;

    static TABLES: LazyLock<Tables> =
        LazyLock::new(|| Tables::load().expect("the data is readable, by the tests of the tables"));

    /// The tables of the project.
    pub(in crate::layout) fn tables() -> &'static Tables {
        &TABLES
    }

    /// A gauge by its printed number.
    pub(in crate::layout) fn awg(text: &str) -> ConductorSize {
        ConductorSize::Awg(Gauge::from_text(text).expect("a real gauge"))
    }

    #[test]
    fn a_bend_is_measured_on_the_centre_line() {
        // Hand worked: 2/0 is 0.61 in = 15.494 mm; four times that inside and half of it more are
        // 69.723 mm.
        let radius = Figures::of(tables()).cable(Some(awg("2/0"))).radius;
        let radius = radius.expect("a row covers it");
        assert!(radius.near(Length::mm(69.723), Length::mm(0.001)), "{} mm", radius.as_mm());
    }

    #[test]
    fn groups_are_found_however_they_are_written() {
        let figures = Figures::of(tables());
        assert!(figures.case("gc-2").is_some(), "gc-2 is GC2");
        assert!(figures.case("GC3").is_none(), "GC3 is no group of the table");
    }

    #[test]
    fn every_size_has_a_width_to_keep_clear() {
        let figures = Figures::of(tables());
        let metric = ConductorSize::Metric(MetricSize::mm2(35.0).expect("a real size"));
        for size in [None, Some(metric), Some(awg("14")), Some(awg("2/0")), Some(awg("4/0"))] {
            let cable = figures.cable(size);
            assert!(Length::mm(2.0) < cable.diameter, "{size:?}: {:?}", cable.diameter);
            assert_eq!(cable.radius.is_some(), size.is_some(), "{size:?} has its bend");
        }
    }

    #[test]
    fn a_block_of_no_stated_size_takes_a_case_of_its_volts() {
        let figures = Figures::of(tables());
        let group = |volts| {
            figures.usual_case(Some(BlockVoltage::volts(volts))).map(|row| row.group.as_str())
        };
        assert_eq!(group(6.0), Some("GC2"), "the usual 6 V case");
        let twelve = figures.usual_case(Some(BlockVoltage::volts(12.8))).map(|row| row.voltage);
        assert_eq!(twelve, Some(BlockVoltage::volts(12.0)), "12.8 V goes with 12 V cases");
    }
}
