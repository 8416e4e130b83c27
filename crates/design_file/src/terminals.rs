//! Posts and studs as text: which studs a kind of device has, and what a text may have meant.

use crate::fault::Trouble;
use crate::words;
use engine::circuit::wiring::has_pole;
use engine::model::bank::BlockId;
use engine::model::device::DeviceKind;
use engine::model::lead::{Pole, Terminal};

/// A sentence that still wants its subject.
type Unsaid = Box<dyn Fn(&str) -> Trouble>;

/// Reads a post or stud; refuses a block without its sign and a sign that sticks to its name.
pub(crate) fn read(text: &str) -> Result<Terminal, Unsaid> {
    let terminal = Terminal::from_text(text);
    let stuck = glued(text);
    let text = text.to_owned();
    match (terminal, stuck) {
        (_, Some(apart)) => Err(Box::new(move |subject| sign_apart(subject, &text, &apart))),
        (Some(terminal), None) => Ok(terminal),
        (None, None) => Err(Box::new(move |subject| no_terminal(subject, &text))),
    }
}

/// The words people write for the sign of a post.
const SIGNS: [(&str, &str); 10] = [
    (" plus", " +"),
    (" positive", " +"),
    (" pos", " +"),
    (" pos.", " +"),
    ("(+)", " +"),
    (" minus", " -"),
    (" negative", " -"),
    (" neg", " -"),
    (" neg.", " -"),
    ("(-)", " -"),
];

/// A post or stud with its sign as a sign.
pub(crate) fn with_sign(text: &str) -> String {
    let low = text.trim().to_lowercase();
    let said = SIGNS.iter().find(|s| low.ends_with(s.0));
    let cut = said.and_then(|s| Some((text.trim().get(..text.trim().len() - s.0.len())?, s.1)));
    cut.map_or_else(|| text.trim().to_owned(), |(name, sign)| format!("{}{sign}", name.trim()))
}

/// `A1+`, `a1 +` and `A1 plus` as they should be written.
fn glued(text: &str) -> Option<String> {
    let signed = with_sign(text);
    let trimmed = signed.as_str();
    let sign = trimmed.chars().last().filter(|c| matches!(c, '+' | '-' | '−'))?;
    let name = trimmed.strip_suffix(sign)?;
    let apart = name.ends_with(' ');
    let upper = name.trim().to_uppercase();
    let block = BlockId::from_text(&upper)?;
    let right = apart && upper == name.trim() && signed == text.trim();
    let sign = if sign == '+' { '+' } else { '-' };
    (!right).then(|| format!("{block} {sign}"))
}

fn sign_apart(subject: &str, text: &str, apart: &str) -> Trouble {
    let says = format!("{subject}: {} is not how a post is written.", words::quoted(text));
    Trouble::error(says, format!("Write \"{apart}\".")).meaning(Some(apart.to_owned()))
}

fn no_terminal(subject: &str, text: &str) -> Trouble {
    let name = text.trim();
    let block = name.split(' ').next().and_then(BlockId::from_text);
    match block {
        Some(block) => {
            let says = format!("{subject}: {} does not say which post.", words::quoted(text));
            Trouble::error(says, format!("Write \"{block} +\" or \"{block} -\"."))
        }
        None => {
            let says = format!("{subject}: {} names no post and no stud.", words::quoted(text));
            Trouble::error(says, "Write \"A1 +\", \"bank -\" or \"main in\".".to_owned())
        }
    }
}

/// The studs that a kind of device has.
pub(crate) fn poles(kind: DeviceKind) -> Vec<Pole> {
    let all = [Pole::Plus, Pole::Minus, Pole::In, Pole::Out, Pole::Bar];
    all.into_iter().filter(|pole| has_pole(kind, *pole)).collect()
}

/// A stud as a lead names it, in plain signs.
pub(crate) fn written(device: &str, pole: Pole) -> String {
    match pole {
        Pole::Plus => format!("{device} +"),
        Pole::Minus => format!("{device} -"),
        Pole::In => format!("{device} in"),
        Pole::Out => format!("{device} out"),
        Pole::Bar => device.to_owned(),
    }
}
