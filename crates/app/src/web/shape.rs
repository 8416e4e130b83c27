//! A wish for strings or blocks more or fewer, as changes of the text.
//!
//! Blocks in series cannot go one by one: a string goes whole, or every string loses the same place.
//! What is left is lettered and numbered anew, wherever the file speaks of it.

use super::change::{bank, own_units, pinned, spot, turned, with};
use super::work::Work;
use design_file::renumber::{Renumber, renumber};
use engine::circuit::wiring::Wiring;
use engine::layout::free::{FreePlace, free_place};
use engine::layout::plan::{PlacedBlock, Plan};
use engine::model::bank::{Bank, BlockId, TakeOff};
use engine::model::design::Design;
use engine::model::lead::Terminal;

/// A changed text with a sentence on what else came of it, or why it stays.
pub(super) type Shaped = Result<(String, String), String>;

/// No box holds more strings than this.
const STRINGS_MOST: u32 = 24;
/// No string is longer than this.
const SERIES_MOST: u32 = 32;

/// One string more.
pub(super) fn string_more(text: &str, work: &Work) -> Shaped {
    let bank = bank(work)?;
    let string = bank.parallel;
    if STRINGS_MOST <= string {
        return Err(format!("More than {STRINGS_MOST} strings are no bank any more."));
    }
    let new = (0..bank.series).map(|place| BlockId { string, place });
    let like = |id: BlockId| BlockId { string: id.string - 1, ..id };
    grown(text, work, ("parallel", string + 1), &new.map(|id| (id, like(id))).collect::<Vec<_>>())
}

/// One block more at the minus end of every string.
pub(super) fn block_more(text: &str, work: &Work) -> Shaped {
    let bank = bank(work)?;
    let place = bank.series;
    if SERIES_MOST <= place {
        return Err(format!("A string of more than {SERIES_MOST} blocks is not planned here."));
    }
    let new = (0..bank.parallel).map(|string| BlockId { string, place });
    let like = |id: BlockId| BlockId { place: id.place - 1, ..id };
    grown(text, work, ("series", place + 1), &new.map(|id| (id, like(id))).collect::<Vec<_>>())
}

/// The last string away.
pub(super) fn last_string_away(text: &str, work: &Work) -> Shaped {
    let string = bank(work)?.parallel.saturating_sub(1);
    string_away(text, work, BlockId { string, place: 0 })
}

/// The string of a block away.
pub(super) fn string_away(text: &str, work: &Work, block: BlockId) -> Shaped {
    let bank = bank(work)?;
    if bank.parallel <= 1 {
        return Err("A bank has one string at least.".to_owned());
    }
    known(bank, block)?;
    let (gone, last) = (block.string, bank.parallel - 2);
    let up = |id: BlockId| BlockId { string: id.string - u32::from(gone < id.string), ..id };
    let left = Left {
        block: &|id| (id.string != gone).then(|| up(id)),
        // The string that moves up takes the ends; after the last one there is only the one before it.
        end: &|id| BlockId { string: up(id).string.min(last), ..id },
    };
    shrunk(text, work, ("parallel", bank.parallel - 1), &left)
}

/// The place of a block away from every string.
pub(super) fn place_away(text: &str, work: &Work, block: BlockId) -> Shaped {
    let bank = bank(work)?;
    if bank.series <= 1 {
        return Err("A string has one block at least.".to_owned());
    }
    known(bank, block)?;
    let (gone, last) = (block.place, bank.series - 2);
    let up = |id: BlockId| BlockId { place: id.place - u32::from(gone < id.place), ..id };
    let left = Left {
        block: &|id| (id.place != gone).then(|| up(id)),
        end: &|id| BlockId { place: up(id).place.min(last), ..id },
    };
    shrunk(text, work, ("series", bank.series - 1), &left)
}

/// What is left of a bank.
struct Left<'a> {
    /// The new name of a block; `None` when it goes.
    block: &'a dyn Fn(BlockId) -> Option<BlockId>,
    /// The block, by its new name, on which an end lies afterwards.
    end: &'a dyn Fn(BlockId) -> BlockId,
}

fn known(bank: &Bank, block: BlockId) -> Result<(), String> {
    if block.string < bank.parallel && block.place < bank.series {
        return Ok(());
    }
    Err(format!("No block {block} stands in the bank at this stage."))
}

/// The bank with more blocks, each like one that is there. Where blocks lie as they were laid by hand a
/// new one would come to lie on top of them, so it gets the first free place.
fn grown(text: &str, work: &Work, (key, count): (&str, u32), new: &[(BlockId, BlockId)]) -> Shaped {
    let bank = bank(work)?;
    let counted = (format!("{}.{key}", bank.path), count.to_string());
    if bank.blocks.iter().all(|state| state.at.is_none()) {
        return Ok((with(text, work.stage_name(), &[counted])?, String::new()));
    }
    let mut beside: Vec<String> = Vec::new();
    let mut keys = vec![counted];
    let mut plan: Plan = work.report.study.layout.plan.clone();
    let units = own_units(work);
    for (id, like) in new {
        // The one it is like may itself be new.
        let like = plan.block(*like).ok_or_else(|| format!("Block {like} is not drawn."))?.clone();
        let FreePlace { corner, in_box } = free_place(&plan, [like.length, like.width]);
        if !in_box {
            beside.push(id.to_string());
        }
        let path = format!("{}.{id}", bank.path);
        keys.push((format!("{path}.at"), spot(corner, units)));
        keys.push((format!("{path}.turn"), turned(like.turn)));
        plan.blocks.push(PlacedBlock { id: *id, corner, ..like });
    }
    let says = if beside.is_empty() {
        String::new()
    } else {
        format!("The box has no room: {} beside it, to be moved.", lie(&beside))
    };
    Ok((with(&pinned(text, work)?, work.stage_name(), &keys)?, says))
}

fn lie(names: &[String]) -> String {
    format!("{} {}", names.join(", "), if names.len() == 1 { "lies" } else { "lie" })
}

/// The bank with fewer blocks; the others move up in their names.
fn shrunk(text: &str, work: &Work, (key, count): (&str, u32), left: &Left<'_>) -> Shaped {
    let bank = bank(work)?;
    let design = &work.report.study.design;
    let links = Wiring::of(&smaller(design, (key, count), left));
    let wiring = &work.report.study.wiring;
    let link = |id: &str| -> Option<String> {
        let old = wiring.lead(id)?;
        let (from, to) = (moved(&old.from, left)?, moved(&old.to, left)?);
        links.leads.iter().find(|l| l.from == from && l.to == to).map(|l| l.id.clone())
    };
    let leads: Vec<&str> = design.leads.iter().map(|l| l.part.name.as_str()).collect();
    let names =
        Renumber { bank: &bank.path, leads: &leads, block: left.block, end: left.end, link: &link };
    // As long as no block was laid by hand the row pattern lays those that are left.
    let by_hand = bank.blocks.iter().any(|state| state.at.is_some());
    let before = if by_hand { pinned(text, work)? } else { text.to_owned() };
    let text = renumber(&before, &names).map_err(|fault| fault.one_line())?;
    let counted = (format!("{}.{key}", bank.path), count.to_string());
    Ok((with(&text, work.stage_name(), &[counted])?, ends_moved(design, bank, left)))
}

/// A terminal of a link after the change; `None` when its block goes.
fn moved(terminal: &Terminal, left: &Left<'_>) -> Option<Terminal> {
    match terminal.block() {
        Some(block) => (left.block)(block).map(|block| end_on(terminal, block)),
        None => Some(terminal.clone()),
    }
}

/// The same design with the smaller bank, for the numbers of its links.
fn smaller(design: &Design, (key, count): (&str, u32), left: &Left<'_>) -> Design {
    let mut design = design.clone();
    if let Some(bank) = design.banks.last_mut() {
        if key == "parallel" {
            bank.parallel = count;
        } else {
            bank.series = count;
        }
    }
    let ends = |end: &mut Option<Terminal>| {
        if let Some(terminal) = end
            && let Some(block) = terminal.block()
        {
            *terminal = end_on(terminal, (left.end)(block));
        }
    };
    for lead in &mut design.leads {
        ends(&mut lead.from);
        ends(&mut lead.to);
    }
    for device in &mut design.devices {
        ends(&mut device.mounted_on);
    }
    design
}

/// What ends on a block that goes, in a sentence: it comes to lie on the one that takes its place.
fn ends_moved(design: &Design, bank: &Bank, names: &Left<'_>) -> String {
    let mut all: Vec<String> = Vec::new();
    let mut look = |what: &str, terminal: &Terminal| {
        if let Some(was) = terminal.block().filter(|b| (names.block)(*b).is_none()) {
            let on = end_on(terminal, (names.end)(was));
            all.push(format!("{what} is on {on} now"));
        }
    };
    if let TakeOff::Posts { plus, minus } = &bank.takeoff {
        look("the plus take-off", plus);
        look("the minus take-off", minus);
    }
    for lead in &design.leads {
        for end in [&lead.from, &lead.to].into_iter().flatten() {
            look(&format!("lead {}", lead.part.name), end);
        }
    }
    for device in &design.devices {
        if let Some(on) = &device.mounted_on {
            look(&device.part.name, on);
        }
    }
    if all.is_empty() {
        String::new()
    } else {
        format!("What ended there moved: {}.", all.join(", "))
    }
}

fn end_on(terminal: &Terminal, block: BlockId) -> Terminal {
    match terminal {
        Terminal::Post { plus, .. } => Terminal::Post { block, plus: *plus },
        stud @ Terminal::Stud { .. } => stud.clone(),
    }
}
