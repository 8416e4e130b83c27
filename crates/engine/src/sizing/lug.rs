//! The lug at each end of a lead: stud, hole, barrel, boot, torque, and the heat-shrink over it.

use super::answer::{LugChoice, ShrinkChoice};
use super::fuse;
use super::reuse::stud_name;
use crate::calc::heat_shrink::sleeve_cut_length;
use crate::circuit::wiring::WiredLead;
use crate::cite::Cite;
use crate::model::design::Design;
use crate::model::device::Device;
use crate::model::lead::{LeadEnd, LugForm, Terminal};
use crate::tables::Tables;
use crate::tables::termination::HeatShrink;
use crate::units::conductor::{ConductorSize, Gauge};
use crate::units::{Length, Torque};

/// A lug and the rows behind it.
pub(super) struct Lug {
    pub(super) choice: LugChoice,
    pub(super) cites: Vec<Cite>,
}

/// The lug on one end.
pub(super) fn lug(
    design: &Design,
    tables: &Tables,
    lead: &WiredLead,
    end: (&Terminal, &LeadEnd),
    size: ConductorSize,
) -> Lug {
    let (at, stated) = end;
    let mut cites = Vec::new();
    let (stud, torque) = part_under(design, tables, at, &mut cites);
    let hole = stud.and_then(|s| stud_name(tables, s)).and_then(|name| {
        let row = tables.termination.clearance_hole(name)?;
        cites.push(row.cite);
        Some(row.value)
    });
    let boot = lead.booted(at, stated);
    let form = stated.form.unwrap_or(LugForm::Straight);
    let barrel = size.to_string();
    Lug { choice: LugChoice { stud, hole, barrel, form, boot, torque }, cites }
}

/// The stud of a post or device, and the torque of its own sheet; never a torque from a table.
fn part_under(
    design: &Design,
    tables: &Tables,
    at: &Terminal,
    cites: &mut Vec<Cite>,
) -> (Option<Length>, Option<Torque>) {
    match at {
        Terminal::Post { block, .. } => {
            let bank = design.bank();
            let model = bank.and_then(|b| {
                let name = b.state_of(*block).model.unwrap_or_else(|| b.block.clone());
                design.block_model(&name)
            });
            (model.and_then(|m| m.stud), model.and_then(|m| m.torque))
        }
        Terminal::Stud { device, .. } => {
            let Some(device) = design.device(device) else {
                return (None, None);
            };
            let stud = device.stud.or_else(|| family_stud(tables, device, cites));
            (stud, device.torque)
        }
    }
}

/// The stud that a fuse of this family and rating usually has.
fn family_stud(tables: &Tables, device: &Device, cites: &mut Vec<Cite>) -> Option<Length> {
    let family = fuse::family_word(tables, device.family.as_deref()?)?;
    let row = tables.overcurrent.stud(family, device.rating?)?;
    let diameter = tables.termination.stud_diameter(row.value)?;
    cites.push(row.cite);
    Some(diameter.value)
}

/// Heat-shrink over barrel and jacket: the smallest tube made for the cable, long enough to cover
/// the barrel and an inch of jacket after it has shrunk in length.
pub(super) fn shrink(
    tables: &Tables,
    size: ConductorSize,
    barrel: Length,
) -> Option<(ShrinkChoice, Cite)> {
    let area = tables.conductor.area(size)?.value.as_mm2();
    let of = |word: &str| {
        let gauge = Gauge::from_text(word)?;
        let as_listed = tables.conductor.area(ConductorSize::Awg(gauge))?;
        Some(as_listed.value.as_mm2())
    };
    // A cable of SAE area counts by its gauge number, as the seller's list does.
    let area = match size {
        ConductorSize::Boat(gauge) => {
            tables.conductor.area(ConductorSize::Awg(gauge)).map_or(area, |a| a.value.as_mm2())
        }
        ConductorSize::Awg(_) | ConductorSize::Metric(_) => area,
    };
    let fits = |row: &&HeatShrink| {
        let low = of(&row.cable_smallest).unwrap_or(0.0);
        let high = of(&row.cable_largest).unwrap_or(f64::MAX);
        low <= area * 1.005 && area <= high * 1.005
    };
    let row = tables
        .termination
        .heat_shrink()
        .iter()
        .filter(fits)
        .min_by(|a, b| a.expanded.as_mm().total_cmp(&b.expanded.as_mm()))?;
    let length = sleeve_cut_length(barrel, &tables.limits);
    let sold_as = format!("{} to {} in", inches(row.expanded), inches(row.recovered));
    Some((ShrinkChoice { sold_as, length }, row.cite.clone()))
}

fn inches(length: Length) -> String {
    crate::units::show::length(length, crate::units::show::UnitSystem::Us).replace(" in", "")
}

#[cfg(test)]
mod tests {
    use super::shrink;
    use crate::tables::Tables;
    use crate::units::Length;
    use crate::units::conductor::{ConductorSize, Gauge, MetricSize};

    #[test]
    fn tubes_follow_the_sellers_list() {
        let tables = Tables::load().expect("the data files are sound");
        let boat = |text: &str| ConductorSize::Boat(Gauge::from_text(text).expect("a gauge"));
        // Reading of `data/termination/heat_shrink.csv`: 3/8 for 8 to 6, 3/4 for 8 to 2/0, 1 for 2
        // to 4/0, 1 1/2 from 4/0.
        for (size, want) in [
            (boat("6"), "3/8 to 1/8 in"),
            (boat("2/0"), "3/4 to 1/4 in"),
            (boat("4/0"), "1 to 3/8 in"),
            (ConductorSize::Metric(MetricSize::mm2(50.0).expect("a size")), "3/4 to 1/4 in"),
        ] {
            let (got, _) = shrink(&tables, size, Length::mm(20.0)).expect("the list has it");
            assert_eq!(got.sold_as, want, "{size}");
            // Hand worked: (20 + 25.4) / (1 - 0.15) = 53.41 mm.
            assert!((got.length.as_mm() - 53.41).abs() < 0.01, "{} mm", got.length.as_mm());
        }
        assert!(shrink(&tables, boat("12"), Length::mm(8.0)).is_none(), "not in the list");
    }
}
