//! Everything that can be done without a pointer, and how.

use maud::{Markup, html};

/// What each key does.
const KEYS: [(&str, &str); 12] = [
    ("Tab, Shift + Tab", "to the next thing on the plan, and back"),
    (
        "arrows",
        "move the block in hand by 1 mm, the box in the rig by 10 mm; with Shift ten times as far",
    ),
    ("T", "turn the block in hand a quarter"),
    ("Enter", "say what it is, what it carries and why"),
    (
        "M",
        "on a post: take the lead end in hand; then arrows choose another post, Enter bolts it there, Esc puts it back",
    ),
    ("+", "one string more"),
    ("Delete", "take the string of the block in hand away; elsewhere the last one"),
    ("Z", "undo; with Shift: do it again"),
    ("S", "save"),
    ("U", "millimetres or inches"),
    ("W", "keep the rig as it is and try a what-if; again: show the other"),
    ("Esc", "put back what is only tried; close what is told"),
];

/// The list.
pub(super) fn piece() -> Markup {
    html! {
        p { "The keys work while the plan, or a thing on it, is in hand. With a pointer: drag a block, drag from post to post, drag the box in the rig, click anything to be told about it. With a finger: touch the thing first, then drag it; a finger that only swipes moves the sheet." }
        dl.keys { @for (key, does) in KEYS { div { dt { (key) } dd { (does) } } } }
    }
}
