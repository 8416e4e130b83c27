//! Block models and banks.

use crate::value::{Named, RawTakeOff};
use crate::walk::{Node, Walk};
use crate::words;
use engine::model::bank::{Bank, BlockId, BlockState, TakeOff};
use engine::model::block::{BlockModel, Chemistry, PostAt};
use engine::model::design::Stage;
use engine::model::device::DeviceKind;
use engine::model::lead::Terminal;

/// More blocks than this are a slip of the pen.
const BLOCKS_MAX: u32 = 96;

pub(super) fn block(node: &Node) -> BlockModel {
    let chemistry = node.text("chemistry").unwrap_or_default();
    let post = |key: &str| node.point(key).map(|p| PostAt { x: p.x, y: p.y });
    BlockModel {
        name: node.name.clone(),
        chemistry: Chemistry::ALL.into_iter().find(|c| c.word() == chemistry),
        volts: node.block_voltage("volts"),
        rating: node.rating("rating"),
        rates: node.ratings("rates"),
        resistance: node.resistance("resistance"),
        short_circuit: node.current("short_circuit"),
        cranking: node.current("cranking"),
        mass: node.mass("mass"),
        case: node.text("case"),
        length: node.length("length"),
        width: node.length("width"),
        height: node.length("height"),
        case_height: node.length("case_height"),
        handle_height: node.length("handle_height"),
        plus_at: post("plus_at"),
        minus_at: post("minus_at"),
        stud: node.length("stud"),
        terminal: node.text("terminal"),
        torque: node.torque("torque"),
        discharge_max: node.current("discharge_max"),
        charge_max: node.current("charge_max"),
        absorption: node.voltage("absorption"),
        float: node.voltage("float"),
        lockout_below: node.temperature("lockout_below"),
        join_within: node.voltage("join_within"),
        price: node.number("price"),
        age: node.duration("age"),
    }
}

/// The banks in order of their stages. A bank without a model or a shape is no bank yet.
pub(super) fn banks(walk: &mut Walk<'_>, root: &Node, stages: &[Stage]) -> Vec<Bank> {
    let busbars: Vec<&str> = root
        .of("device.*")
        .filter(|d| super::device::kind(d) == DeviceKind::Busbar)
        .map(|d| d.name.as_str())
        .collect();
    let mut banks: Vec<Bank> =
        root.of("bank").filter_map(|node| bank(walk, node, &busbars)).collect();
    let from = |bank: &Bank| {
        let stage = bank.stage.as_deref().unwrap_or("");
        stages.iter().position(|s| s.name == stage).unwrap_or(0)
    };
    banks.sort_by_key(from);
    banks
}

fn bank(walk: &mut Walk<'_>, node: &Node, busbars: &[&str]) -> Option<Bank> {
    let (series, parallel) = (node.whole("series"), node.whole("parallel"));
    let (series, parallel) = (series.unwrap_or(1), parallel.unwrap_or(1));
    if series * parallel > BLOCKS_MAX {
        let span = node.cells.get("parallel").map_or(node.span.clone(), |c| c.span.clone());
        let path = format!("{}.parallel", node.path);
        walk.fault(words::too_many_blocks("bank", series, parallel), &path, span);
        return None;
    }
    let takeoff = takeoff(walk, node, (parallel, busbars));
    let mut blocks: Vec<BlockState> = node.of("bank.*").filter_map(block_state).collect();
    blocks.sort_by_key(|b| b.id);
    Some(Bank {
        path: node.path.clone(),
        stage: node.text("stage"),
        block: node.text("block").unwrap_or_default(),
        series,
        parallel,
        takeoff,
        link_size: node.size("link"),
        link_length: node.length("link_length"),
        link_temperature: node.temperature("link_temperature"),
        joint: node.resistance("joint"),
        soc: node.share("soc"),
        discharge: node.current("discharge"),
        have: node.flag("have").unwrap_or(false),
        blocks,
    })
}

fn takeoff(walk: &mut Walk<'_>, node: &Node, (parallel, busbars): (u32, &[&str])) -> TakeOff {
    let Some(raw) = node.raw_takeoff() else {
        if parallel > 1 && !node.keys.iter().any(|k| k == "takeoff") {
            let path = format!("{}.takeoff", node.path);
            walk.fault(words::takeoff_needed("bank", parallel), &path, node.span.clone());
        }
        return TakeOff::OppositeCorners;
    };
    let (plus, minus) = match raw {
        RawTakeOff::SameEnd => return TakeOff::SameEnd,
        RawTakeOff::OppositeCorners => return TakeOff::OppositeCorners,
        RawTakeOff::Two { plus, minus } => (plus, minus),
    };
    let is_bar = |side: &Named| busbars.contains(&side.text.trim());
    if is_bar(plus) && is_bar(minus) {
        let name = |side: &Named| side.text.trim().to_owned();
        return TakeOff::Busbars { plus: name(plus), minus: name(minus) };
    }
    let plus = side(walk, node, plus);
    let minus = side(walk, node, minus);
    match (plus, minus) {
        (Some(plus), Some(minus)) => TakeOff::Posts { plus, minus },
        _ => TakeOff::OppositeCorners,
    }
}

/// One side of a take-off as a post or stud.
fn side(walk: &mut Walk<'_>, node: &Node, side: &Named) -> Option<Terminal> {
    match crate::terminals::read(&side.text) {
        Ok(terminal) => Some(terminal),
        Err(trouble) => {
            let path = format!("{}.takeoff", node.path);
            walk.fault(trouble("bank, takeoff"), &path, side.span.clone());
            None
        }
    }
}

fn block_state(node: &Node) -> Option<BlockState> {
    Some(BlockState {
        id: BlockId::from_text(&node.name)?,
        model: node.text("block"),
        age: node.duration("age"),
        cycles: node.number("cycles"),
        soc: node.share("soc"),
        rest: node.voltage("rest"),
        resistance: node.resistance("resistance"),
        reversed: node.flag("reversed").unwrap_or(false),
        at: node.point("at"),
        turn: node.turn("turn"),
        have: node.flag("have"),
    })
}
