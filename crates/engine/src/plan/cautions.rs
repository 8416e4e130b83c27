//! Cautions, each for the page where the hands are.

use super::build::Caution;
use super::words::Words;

fn caution(danger: &str, so: &str) -> Caution {
    Caution { danger: danger.to_owned(), so: so.to_owned() }
}

/// A tool across two posts.
#[must_use]
pub fn bridging(words: Words) -> Caution {
    let tool = words.spanner();
    let so = format!(
        "Rings and watch off. Glasses on. Tape the handle of the {tool}. Cover every post you are \
         not working on."
    );
    caution("A tool across two posts welds, burns and spits metal.", &so)
}

/// Acid.
#[must_use]
pub fn acid() -> Caution {
    caution(
        "The acid blinds and eats cloth and skin.",
        "Glasses and rubber gloves on. Clean water within reach: rinse eyes at once and keep on \
         until help is there. Soda on surfaces only, never in a cell.",
    )
}

/// A drill into what cannot be seen.
#[must_use]
pub fn drilling() -> Caution {
    caution(
        "A drill finds the gas line, the brake line or the cable behind the wall, and chips blind.",
        "Eye protection on. Look and feel behind every hole first; a stop on the drill. Ask the maker \
         of the frame before you drill or weld it. Sparks only while no block is in the box.",
    )
}

/// Gas over lead blocks.
#[must_use]
pub fn hydrogen() -> Caution {
    caution(
        "Blocks on charge give off gas that a spark sets off.",
        "No charging today until this book says so. Open the box, let it air, no flame, no smoking. \
         Never break a lead while current flows in it.",
    )
}

/// Heavy blocks.
#[must_use]
pub fn lifting(heavy: Option<&str>) -> Caution {
    let so = heavy.map_or_else(
        || "Weigh one first. Two people and a strap for a heavy one, and for any reach over a rail.".to_owned(),
        |mass| format!("One block is {mass}: two people, or a plank and a strap. Back straight, no reach over a rail."),
    );
    caution("A block crushes fingers and hurts backs.", &so)
}

/// A lithium module.
#[must_use]
pub fn lithium() -> Caution {
    caution(
        "A lithium module can feed a short far longer than it can be held.",
        "Its own switch, if it has one, is ON whenever a gap is measured: a module that is off \
         shows zero and hides a fault. Never charge it when it is freezing cold. Never open its \
         case.",
    )
}

/// More than extra-low volts.
#[must_use]
pub fn shock() -> Caution {
    caution(
        "This bank is above 50 V on charge: touching both poles can hurt.",
        "Gloves on, one hand at a time, a shroud over every post as soon as it is done.",
    )
}

/// House voltage.
#[must_use]
pub fn mains(words: Words) -> Caution {
    let danger = format!("{} kills.", capital(words.mains()));
    caution(&danger, "A licensed electrician does this page and signs it. You only make ready.")
}

/// Capacitors of an inverter.
#[must_use]
pub fn capacitors() -> Caution {
    caution(
        "An inverter holds its charge after it is off, and takes a great gulp when it is joined.",
        "Let it discharge as its own sheet says. Fill it through the pre-charge resistor, never \
         with a lug.",
    )
}

/// The rig moves.
#[must_use]
pub fn moving(words: Words) -> Caution {
    if words.floats() {
        return caution(
            "A boat that heels under a weight crushes and drowns.",
            "Nobody else steps aboard while blocks are carried. One hand for yourself.",
        );
    }
    let danger = format!("A {} that tips or rolls crushes.", words.rig());
    caution(&danger, "Nobody inside while weight moves. Chocks on both sides of a wheel first.")
}

/// First letter upper case.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
