//! What holds the blocks in their box and the box on the rig.

use crate::walk::Node;
use engine::model::bank::BlockId;
use engine::model::hold::{Ground, Held, Hold, HoldKind};

pub(super) fn hold(node: &Node) -> Hold {
    let said = |key: &str| node.text(key);
    let kind = HoldKind::WORDS.into_iter().find(|w| Some(w.0) == said("kind").as_deref());
    // A set without a word that says what it is is told as a fault; a rivet holds least of all.
    let mut hold = Hold::named(&node.name, kind.map_or(HoldKind::Rivet, |w| w.1));
    hold.part = node.part();
    hold.held = match said("holds").as_deref() {
        Some("blocks") => Held::Blocks,
        Some("box") => Held::Box,
        _ => hold.held,
    };
    hold.number = node.whole("number");
    hold.size = said("size");
    hold.grade = said("grade");
    hold.into =
        Ground::WORDS.into_iter().find(|w| Some(w.0) == said("into").as_deref()).map(|w| w.1);
    hold.wall = node.length("wall");
    hold.plate = node.length("plate");
    hold.grip = node.length("grip");
    hold.rating = node.mass("rating");
    hold.anchor = node.mass("anchor");
    hold.closed = node.flag("closed");
    hold.angle = node.angle("angle");
    hold.over = node.texts("over").iter().filter_map(|t| BlockId::from_text(t)).collect();
    hold.spacing = node.length("spacing");
    hold.edge = node.length("edge");
    hold.apart = node.point("apart").map(|p| (p.x, p.y));
    hold
}
