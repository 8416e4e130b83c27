//! A wish as changes of the text: which keys get which values. Comments and order stay.

use super::work::Work;
use design_file::edit::{remove, set};
use engine::circuit::wiring::{resolved, take_off_terminals};
use engine::layout::plan::PlacedBlock;
use engine::layout::snap::snapped;
use engine::model::bank::{Bank, BlockId, TakeOff};
use engine::model::lead::Terminal;
use engine::model::part::{PlanPoint, Turn};
use engine::units::Length;
use engine::units::show::{UnitSystem, decimal};

/// A hand is this far out and still means the wall or the gap [mm].
const SNAP_MM: f64 = 8.0;

/// A changed text, or why it stays.
pub(super) type Changed = Result<String, String>;

/// Sets keys one after the other.
pub(super) fn with(text: &str, stage: &str, keys: &[(String, String)]) -> Changed {
    keys.iter().try_fold(text.to_owned(), |text, (path, value)| {
        set(&text, path, value, Some(stage)).map_err(|fault| fault.one_line())
    })
}

/// A length in the unit that the rig is written in.
fn written(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} mm", decimal(length.as_mm(), 1)),
        UnitSystem::Us => format!("{} in", decimal(length.as_inches(), 3)),
    }
}

/// A name as one piece of a dotted path.
fn piece(name: &str) -> String {
    if name.contains('.') { format!("\"{name}\"") } else { name.to_owned() }
}

/// The units that the file itself is written in, whatever is shown.
pub(super) fn own_units(work: &Work) -> UnitSystem {
    work.read.design.as_ref().map_or(work.units(), |d| d.rig.units)
}

pub(super) fn bank(work: &Work) -> Result<&Bank, String> {
    work.report.study.design.bank().ok_or_else(|| "No bank stands at this stage.".to_owned())
}

pub(super) fn placed<'a>(work: &'a Work, block: &str) -> Result<&'a PlacedBlock, String> {
    let id = BlockId::from_text(block);
    let found = id.and_then(|id| work.report.study.layout.plan.block(id));
    found.ok_or_else(|| format!("No block {block} lies in the box at this stage."))
}

pub(super) fn spot(at: PlanPoint, units: UnitSystem) -> String {
    format!("[\"{}\", \"{}\"]", written(at.x, units), written(at.y, units))
}

pub(super) fn turned(turn: Turn) -> String {
    format!("{} deg", turn.degrees())
}

/// The text with every block lying where it is drawn. As long as nobody has laid a block by hand the
/// row pattern lays them all, and would lay the rest anew when one is taken out of it.
pub(super) fn pinned(text: &str, work: &Work) -> Changed {
    let bank = bank(work)?;
    let units = own_units(work);
    let mut keys = Vec::new();
    for block in &work.report.study.layout.plan.blocks {
        let state = bank.state_of(block.id);
        if state.at.is_none() {
            keys.push((format!("{}.{}.at", bank.path, block.id), spot(block.corner, units)));
        }
        if state.turn.is_none() {
            keys.push((format!("{}.{}.turn", bank.path, block.id), turned(block.turn)));
        }
    }
    with(text, work.stage_name(), &keys)
}

/// A block moved from where it lies. By hand it rests at walls, gaps and in line; by keys it does not.
pub(super) fn moved(
    pinned: &str,
    work: &Work,
    block: &str,
    (dx, dy): (f64, f64),
    fine: bool,
) -> Changed {
    let lies = placed(work, block)?;
    let wanted = PlanPoint { x: lies.corner.x + Length::mm(dx), y: lies.corner.y + Length::mm(dy) };
    let plan = &work.report.study.layout.plan;
    let reach = if fine { Length::ZERO } else { Length::mm(SNAP_MM) };
    let at = if fine { wanted } else { snapped(plan, lies.id, wanted, reach).unwrap_or(wanted) };
    let path = format!("{}.{}.at", bank(work)?.path, lies.id);
    with(pinned, work.stage_name(), &[(path, spot(at, own_units(work)))])
}

/// A block turned a quarter about its middle.
pub(super) fn quarter(pinned: &str, work: &Work, block: &str) -> Changed {
    let lies = placed(work, block)?;
    let turn = match lies.turn {
        Turn::None => Turn::Quarter,
        Turn::Quarter => Turn::Half,
        Turn::Half => Turn::ThreeQuarters,
        Turn::ThreeQuarters => Turn::None,
    };
    let aside = (lies.length - lies.width) / 2.0;
    let at = PlanPoint { x: lies.corner.x + aside, y: lies.corner.y - aside };
    let units = own_units(work);
    let path = format!("{}.{}", bank(work)?.path, lies.id);
    let keys = [(format!("{path}.turn"), turned(turn)), (format!("{path}.at"), spot(at, units))];
    with(pinned, work.stage_name(), &keys)
}

/// The lead end on one post moved to another.
pub(super) fn end(text: &str, work: &Work, from: &str, to: &str) -> Changed {
    let post = |words: &str| {
        let found = Terminal::from_text(words).filter(|t| t.block().is_some());
        found.ok_or_else(|| format!("{words} is no post of the bank."))
    };
    let (from, to) = (post(from)?, post(to)?);
    let bank = bank(work)?;
    let words = |t: &Terminal| t.to_string().replace('\u{a0}', " ").replace('−', "-");
    let (mut plus, mut minus) = take_off_terminals(bank);
    if !matches!(bank.takeoff, TakeOff::Busbars { .. }) && (from == plus || from == minus) {
        if from == plus {
            plus = to;
        } else {
            minus = to;
        }
        let value = format!("{{ plus = \"{}\", minus = \"{}\" }}", words(&plus), words(&minus));
        return with(text, work.stage_name(), &[(format!("{}.takeoff", bank.path), value)]);
    }
    for lead in &work.report.study.design.leads {
        for (key, stated) in [("from", &lead.from), ("to", &lead.to)] {
            let here = stated.as_ref().filter(|t| t.block().is_some());
            if here.is_some_and(|t| resolved(Some(bank), t) == from) {
                let path = format!("lead.{}.{key}", piece(&lead.part.name));
                return with(text, work.stage_name(), &[(path, words(&to))]);
            }
        }
    }
    let links: Vec<&str> = work.report.study.wiring.at(&from).map(|l| l.id.as_str()).collect();
    Err(match links.as_slice() {
        [] => format!("No lead ends on {from}."),
        links => format!(
            "On {from} lie links of the bank only ({}); they follow from strings and series. The \
             take-off and leads of your own can be moved.",
            links.join(", ")
        ),
    })
}

/// Which way the box is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// Along the vehicle, backwards positive.
    Along,
    /// Across a boat, to starboard positive.
    Across,
}

/// The box moved in the rig.
pub(super) fn slid(text: &str, work: &Work, way: Way, by_mm: f64) -> Changed {
    let design = &work.report.study.design;
    let enclosure = design.enclosure.as_ref().ok_or("No box stands at this stage.")?;
    let units = own_units(work);
    let spot = &enclosure.spot;
    let found = match way {
        Way::Across => spot.off_centre.map(|at| ("off_centre", at, by_mm)),
        Way::Along => {
            let behind = spot.behind_ball.map(|at| ("behind_ball", at, by_mm));
            behind
                .or_else(|| spot.behind_front_axle.map(|at| ("behind_front_axle", at, by_mm)))
                .or_else(|| spot.ahead_of_middle.map(|at| ("ahead_of_middle", at, -by_mm)))
        }
    };
    let Some((key, at, by)) = found else {
        return Err("Nobody has said where the box sits in the rig. Measure it to the middle of \
                    the box and write it under [box] first."
            .to_owned());
    };
    // Nobody measures along a rig to less than a centimetre.
    let to = Length::mm(((at.as_mm() + by) / 10.0).round() * 10.0);
    with(text, work.stage_name(), &[(format!("box.{key}"), written(to, units))])
}

/// A lead of another size, or as the tool sizes it.
pub(super) fn sized(text: &str, work: &Work, lead: &str, size: &str) -> Changed {
    if work.report.study.wiring.lead(lead).is_none() {
        return Err(format!("No lead {lead} stands at this stage."));
    }
    let path = format!("lead.{}.size", piece(lead));
    if size.trim().is_empty() {
        return remove(text, &path, Some(work.stage_name())).map_err(|fault| fault.one_line());
    }
    with(text, work.stage_name(), &[(path, size.trim().to_owned())])
}

/// Hours a day of a load; a bare number means hours.
pub(super) fn hours(text: &str, work: &Work, load: &str, hours: &str) -> Changed {
    if !work.report.study.design.loads.iter().any(|l| l.part.name == load) {
        return Err(format!("No load {load} runs at this stage."));
    }
    let hours = hours.trim();
    let bare = hours.parse::<f64>().is_ok();
    let value = if bare { format!("{hours} h") } else { hours.to_owned() };
    with(text, work.stage_name(), &[(format!("load.{}.daily", piece(load)), value)])
}

#[cfg(test)]
mod tests {
    use super::{Way, end, hours, moved, pinned, quarter, sized, slid};
    use crate::web::shape::{last_string_away, string_more};
    use crate::web::work::{Ground, Look, Work};
    use engine::evidence::Evidence;
    use engine::tables::Tables;

    const DEMO: &str = include_str!("../../../../examples/alder-fen.toml");

    fn work(text: &str) -> Work {
        let tables = Tables::load().expect("the tables are sound");
        let ground = Ground { tables, evidence: Evidence::default(), read_in: None };
        let look = Look { stage: None, units: None };
        Work::of(text, &look, &ground).expect("the demo is understood")
    }

    /// Corner of a block in the text [mm].
    fn corner(text: &str, block: &str) -> (f64, f64) {
        let work = work(text);
        let found = super::placed(&work, block).expect("it lies in the box");
        (found.corner.x.as_mm(), found.corner.y.as_mm())
    }

    #[test]
    fn pinning_moves_nothing_and_keeps_every_line() {
        let before = work(DEMO);
        let text = pinned(DEMO, &before).expect("it can be pinned");
        let after = work(&text);
        let (was, is) = (&before.report.study.layout.plan, &after.report.study.layout.plan);
        for (a, b) in was.blocks.iter().zip(&is.blocks) {
            // A tenth of a millimetre is what the file keeps.
            let off = (a.corner.x - b.corner.x)
                .as_mm()
                .abs()
                .max((a.corner.y - b.corner.y).as_mm().abs());
            assert!(off < 0.1 && a.turn == b.turn, "{} moved by {off} mm", a.id);
        }
        for line in DEMO.lines() {
            assert!(text.contains(line), "this line is gone: {line}");
        }
        assert_eq!(pinned(&text, &after).as_deref(), Ok(&*text), "once is enough");
    }

    #[test]
    fn a_block_moves_by_what_is_asked_and_no_other_does() {
        let work = work(DEMO);
        let text = pinned(DEMO, &work).expect("pinned");
        let was = corner(&text, "A1");
        let text = moved(&text, &work, "A1", (0.0, -1.0), true).expect("it can be moved");
        let is = corner(&text, "A1");
        assert!((is.0 - was.0).abs() < 0.11 && (is.1 - was.1 + 1.0).abs() < 0.11, "{was:?} {is:?}");
        assert!((corner(&text, "C2").0 - corner(DEMO, "C2").0).abs() < 0.1, "the others stay");
        assert!(moved(&text, &work, "Z9", (0.0, 0.0), true).is_err(), "no such block");
    }

    #[test]
    fn four_quarters_are_a_whole_turn() {
        let mut text = pinned(DEMO, &work(DEMO)).expect("pinned");
        let was = corner(&text, "B1");
        for _ in 0..4 {
            text = quarter(&text, &work(&text), "B1").expect("it can be turned");
        }
        let is = corner(&text, "B1");
        assert!((is.0 - was.0).abs() < 0.3 && (is.1 - was.1).abs() < 0.3, "{was:?} {is:?}");
    }

    #[test]
    fn the_take_off_moves_and_a_link_does_not() {
        let rig = work(DEMO);
        let text = end(DEMO, &rig, "C2 −", "A2 -").expect("the minus take-off");
        assert!(text.contains("takeoff = { plus = \"A1 +\", minus = \"A2 -\" }"), "{text}");
        let refused = end(DEMO, &rig, "B1 -", "C1 -").expect_err("a series link");
        assert!(refused.contains("links of the bank only"), "{refused}");
        assert!(end(DEMO, &rig, "main in", "C1 -").is_err(), "no post");
    }

    #[test]
    fn strings_sizes_hours_and_the_box_change_one_key_each() {
        let rig = work(DEMO);
        let (more, _) = string_more(DEMO, &rig).expect("a fourth string");
        assert!(more.contains("parallel = 4"), "the bank of this stage: {more}");
        let (less, _) = last_string_away(&more, &work(&more)).expect("and away again");
        assert_eq!(less, DEMO, "as it was");
        let text = sized(DEMO, &rig, "plus 2", "4/0 AWG").expect("a size");
        let lead = text.split("[lead.\"plus 2\"]").nth(1).unwrap_or_default();
        assert!(lead.trim_start().contains("size = \"4/0 AWG\""), "{lead}");
        assert!(sized(DEMO, &rig, "plus 2", "thick").is_err(), "no size");
        let text = hours(DEMO, &rig, "fridge", "8").expect("bare hours");
        assert!(text.contains("daily = \"8 h\""), "{text}");
        assert!(hours(DEMO, &rig, "fridge", "25").is_err(), "a day has 24");
        let text = slid(DEMO, &rig, Way::Along, 104.0).expect("the box slides");
        assert!(text.contains("behind_ball = \"2250 mm\""), "to the centimetre: {text}");
    }
}
