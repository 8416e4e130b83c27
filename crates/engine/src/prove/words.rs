//! What is said of a reading, of a suspect and of the next reading, in the owner's part names.

use super::faults::{Fault, Size};
use super::sheet::{Item, Sheet};
use super::weigh::Fitted;
use super::{Estimate, ExpectIf, Expected, FaultKind, Found, Next, Part, Test};
use crate::model::lead::Terminal;
use crate::number::exp;
use crate::plan::build::PartRef;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::show::{decimal, fixed};

/// What every remedy begins with where metal is touched.
const DEAD: &str = "Take everything off the bank and take the main fuse out first; insulated tools, \
                    no rings, one lug at a time";

/// What sizes are told from.
pub(super) struct Sizes<'a> {
    pub(super) study: &'a Study,
    pub(super) tables: &'a Tables,
    pub(super) sheet: &'a Sheet,
}

/// A suspect about to be told.
pub(super) struct Said<'a> {
    pub(super) part: &'a Part,
    /// The other joint of the same lead, where nothing read tells the two apart.
    pub(super) or_in: Option<&'a Part>,
    pub(super) kind: FaultKind,
    /// Where the end belongs and where it lies.
    pub(super) lies_on: Option<&'a (Terminal, Terminal)>,
    pub(super) estimate: Option<&'a Estimate>,
}

/// A figure with its unit, with a real minus sign.
pub(super) fn figure(value: f64, expected: &Expected) -> String {
    let text = fixed(value, expected.quantity.digits()).replace('-', "\u{2212}");
    format!("{text} {}", expected.quantity.unit())
}

/// One reading held against its band.
pub(super) fn judged(expected: &Expected, value: f64, verdict: Found) -> String {
    let shown = figure(value, expected);
    let band = match (expected.low, expected.high) {
        (Some(low), Some(high)) => {
            format!("{} to {}", figure(low, expected), figure(high, expected))
        }
        _ => "nothing known".to_owned(),
    };
    match verdict {
        Found::Within => format!("{shown}, as a sound bank shows: {band}."),
        Found::Outside => format!("{shown}; a sound bank shows {band}."),
        Found::TooSmall => {
            let needs = expected
                .needs_amps
                .map_or_else(String::new, |a| format!(": it takes {} A", decimal(a, 0)));
            format!("{shown}; this load is too small to judge it by itself{needs}.")
        }
        Found::CannotBe => format!(
            "{shown} does not go with the other readings, whatever is wrong: read it again. A \
             sound bank shows {band}."
        ),
        Found::Unjudged => format!("{shown}; nothing is known to hold it against."),
    }
}

/// A suspect in two or three words: `loose joint 5.from`.
pub(super) fn name(part: &Part, kind: FaultKind) -> String {
    match (part, kind) {
        (Part::Joint { lead, terminal, .. }, _) => {
            format!("a bad joint of lead {lead} on {terminal}")
        }
        (Part::Lead(lead), FaultKind::ThinLead) => format!("lead {lead} thinner than drawn"),
        (Part::Lead(lead), FaultKind::MissingLead) => format!("lead {lead} missing or broken"),
        (Part::Lead(lead), _) => format!("lead {lead} on another post than drawn"),
        (Part::Device(name), _) => format!("{name} open"),
        (Part::Block(id), FaultKind::Reversed) => format!("block {id} the wrong way round"),
        (Part::Block(id), FaultKind::Weak) => format!("block {id} weak"),
        (Part::Block(id), FaultKind::DeadCell) => format!("a dead cell in block {id}"),
        (Part::Block(id), _) => format!("block {id} less charged than the others"),
        (Part::String(_), _) => format!("{part} the wrong way round"),
        (Part::Reading(id), FaultKind::WrongRange) => format!("{id} read on another range"),
        (Part::Reading(id), FaultKind::Swapped) => format!("{id} read with the tips swapped"),
        (Part::Reading(id), _) => format!("{id} mistyped or read elsewhere"),
        (Part::Clamp, FaultKind::NotZeroed) => "the clamp not zeroed".to_owned(),
        (Part::Clamp, _) => "the clamp the wrong way round".to_owned(),
    }
}

/// What else would show the same.
pub(super) fn same_as(names: &[String]) -> String {
    let shown: Vec<&str> = names.iter().take(3).map(String::as_str).collect();
    let more = if names.len() > 3 { ", and others" } else { "" };
    format!(" What was read cannot tell it from {}{more}.", shown.join(", or "))
}

/// Reading a doubtful figure again.
pub(super) fn again(expected: &Expected) -> Next {
    Next {
        id: expected.id.clone(),
        quantity: expected.quantity,
        test: expected.test,
        probes: expected.probes.clone(),
        range: expected.range.clone(),
        expect_if: expected
            .expect
            .map(|value| ExpectIf { suspect: None, says: "nothing is wrong".to_owned(), value })
            .into_iter()
            .collect(),
        gain_bits: 0.0,
        why: "the figure written down does not go with the others; everything else waits for it"
            .to_owned(),
    }
}

/// Why a reading comes next.
pub(super) fn why(expected: &Expected, first: bool) -> String {
    let why = if first {
        format!(
            "of all that is safe to read before anything is known ({}), it tells most",
            expected.test.word()
        )
    } else {
        "of all that may be read now it tells most".to_owned()
    };
    match expected.test {
        Test::Gap => format!(
            "{why}. Every gap on the way to it is read before it is closed: where one shows volts, \
             stop there and write that one"
        ),
        _ => why,
    }
}

/// What the odds rest on that nobody published.
pub(super) fn rests_on(misfit: bool) -> Vec<String> {
    let mut list = vec![
        "How often each fault is met is common practice, without a source: rows prove-odds-* of \
         data/rules/limits.csv."
            .to_owned(),
        "How far sound blocks, joints, leads and meters stray is common practice: rows prove-* \
         and meter-* of the same table."
            .to_owned(),
        "One fault at a time is looked for.".to_owned(),
    ];
    if misfit {
        list.push(
            "No single fault known here explains all readings: more than one thing is wrong, or \
             the rig is not as drawn."
                .to_owned(),
        );
    }
    list
}

/// The name of the sheet nearest to what was written.
pub(super) fn nearest<'a>(what: &str, items: impl Iterator<Item = &'a Item>) -> Option<String> {
    let plain = |text: &str| text.trim().to_lowercase();
    let wanted = plain(what);
    let best = items
        .map(|i| (apart(&wanted, &plain(&i.expected.id)), &i.expected.id))
        .min_by_key(|(apart, _)| *apart)?;
    (best.0 <= 1 + wanted.chars().count() / 3).then(|| best.1.clone())
}

/// Letters to change, put in or leave out to make one word of the other.
fn apart(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let change = corner + usize::from(x != *y);
            corner = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(corner + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

impl Sizes<'_> {
    /// How large a fault is, nineteen times in twenty.
    pub(super) fn estimate(&self, fault: &Fault, fitted: Fitted) -> Option<Estimate> {
        let reach = exp(1.96 * fitted.spread.min(3.0));
        let (low, value, high) = (fitted.size / reach, fitted.size, fitted.size * reach);
        let planned = &self.sheet.rig.values;
        let scaled = |factor: f64, unit: &'static str| Estimate {
            value: value * factor,
            low: low * factor,
            high: high * factor,
            unit,
        };
        Some(match (fault.size, &fault.part) {
            (Size::Extra(_), _) => scaled(1000.0, "mohm"),
            (Size::Times(_), Part::Lead(id)) => {
                let answer = self.study.leads.iter().find(|l| l.id == *id)?;
                let area = self.tables.conductor.area(answer.size)?.value.as_mm2();
                // Twice the resistance is half the copper.
                Estimate { value: area / value, low: area / high, high: area / low, unit: "mm2" }
            }
            (Size::Times(branch), _) => scaled(1000.0 * planned.ohm[branch], "mohm"),
            (Size::Missing(_), _) => scaled(1.0, "V"),
            (Size::Zero, _) => scaled(1.0, "A"),
            (Size::Whole, _) => return None,
        })
    }

    /// Parts to highlight.
    pub(super) fn parts(&self, part: &Part, or_in: Option<&Part>) -> Vec<PartRef> {
        if let Some(Part::Joint { terminal, .. }) = or_in {
            let mut parts = self.parts(part, None);
            parts.push(PartRef::Terminal(terminal.clone()));
            return parts;
        }
        match part {
            Part::Joint { lead, terminal, .. } => {
                vec![PartRef::Lead(lead.clone()), PartRef::Terminal(terminal.clone())]
            }
            Part::Lead(id) => vec![PartRef::Lead(id.clone())],
            Part::Block(id) => vec![PartRef::Block(*id)],
            Part::Device(name) => vec![PartRef::Device(name.clone())],
            Part::String(string) => {
                let blocks = self.study.facts.blocks.iter().filter(|b| b.id.string == *string);
                blocks.map(|b| PartRef::Block(b.id)).collect()
            }
            Part::Reading(id) => self
                .sheet
                .place(id)
                .map_or_else(Vec::new, |p| self.sheet.items[p].expected.parts.clone()),
            Part::Clamp => Vec::new(),
        }
    }

    /// What a suspect is.
    pub(super) fn says(&self, said: &Said<'_>) -> String {
        let size = said.estimate.map(|e| {
            let digits = if e.unit == "mohm" || e.unit == "V" { 2 } else { 1 };
            format!(
                "about {} {} ({} to {})",
                fixed(e.value, digits),
                if e.unit == "mm2" { "mm²" } else { e.unit },
                fixed(e.low, digits),
                fixed(e.high, digits)
            )
        });
        let with = |text: String| match &size {
            Some(size) => format!("{text}: {size}"),
            None => text,
        };
        let part = said.part;
        let text = match said.kind {
            FaultKind::LooseJoint => {
                let either = said.or_in.map_or_else(String::new, |other| format!(" or {other}"));
                with(format!("{part}{either} has more resistance than it should, loose or dirty"))
            }
            FaultKind::ThinLead => {
                with(format!("lead {part} has less copper than drawn{}", self.drawn_size(part)))
            }
            FaultKind::MissingLead => {
                format!("lead {part} is not there, is broken, or is bolted at one end only")
            }
            FaultKind::OpenDevice => format!("{part} is open"),
            FaultKind::MovedLead => match said.lies_on {
                Some((from, to)) => {
                    format!("lead {part} seems to be on {to}; it belongs on {from}")
                }
                None => format!("lead {part} is on another post than drawn"),
            },
            FaultKind::Reversed => format!("block {part} stands the wrong way round"),
            FaultKind::StringBackwards => format!("{part} stands the wrong way round, whole"),
            FaultKind::Weak => {
                with(format!("block {part} has too much resistance, old, sulphated or cold"))
            }
            FaultKind::Undercharged => {
                with(format!("block {part} is less charged than the others, volts missing"))
            }
            FaultKind::DeadCell => {
                with(format!("a cell of block {part} gives nothing, volts missing"))
            }
            FaultKind::WrongRange => format!("{part} was read on another range than written"),
            FaultKind::Swapped if *part == Part::Clamp => {
                "the clamp sat the wrong way round in every reading".to_owned()
            }
            FaultKind::Swapped => format!("{part} was read with the tips swapped"),
            FaultKind::NotZeroed => {
                with("the clamp showed something with nothing in its jaw".to_owned())
            }
            FaultKind::Mistyped => {
                format!("{part} fits nothing else: mistyped, or read somewhere else")
            }
        };
        format!("{text}.")
    }

    fn drawn_size(&self, part: &Part) -> String {
        let Part::Lead(id) = part else { return String::new() };
        let answer = self.study.leads.iter().find(|l| l.id == *id);
        answer.map_or_else(String::new, |a| format!(", which is {}", a.size))
    }

    /// What to do.
    pub(super) fn remedy(&self, said: &Said<'_>) -> String {
        let part = said.part;
        match said.kind {
            FaultKind::LooseJoint => remake(part, said.or_in),
            FaultKind::ThinLead => format!(
                "{DEAD}. Read the size printed on the jacket of lead {part}, and look at both \
                 crimps. If it is not {}, make it new.",
                self.size_of(part)
            ),
            FaultKind::MissingLead => format!(
                "{DEAD}. Follow lead {part} with the hand from lug to lug, pull at both crimps, \
                 and bolt it where it is drawn, torqued to the maker's figure."
            ),
            FaultKind::OpenDevice => format!(
                "Take every load off. See that {part} is in and closed; a blown fuse is looked for \
                 its cause before a new one of the same kind goes in."
            ),
            FaultKind::MovedLead => moved(said),
            FaultKind::Reversed => format!(
                "Close, load and charge nothing. Take every lead off block {part} first, the lugs \
                 taped one by one, insulated tools, eyes covered; then turn the block, and read it \
                 again before any lead goes back. Never turn a block with leads on it."
            ),
            FaultKind::StringBackwards => format!(
                "Close, load and charge nothing. Take the leads that join {part} to the others \
                 off first, lugs taped, insulated tools, eyes covered; then set it right and read \
                 the open string again."
            ),
            FaultKind::Weak => format!(
                "Charge block {part} fully, let it rest, and read its volts at rest and under the \
                 same load again. If it still sags more than its like, replace it, and mind that \
                 a new block among old ones carries most."
            ),
            FaultKind::Undercharged => format!(
                "Charge block {part} alone, off the others, to the maker's volts; let it rest and \
                 read it again before it is joined. If it falls back within days, a cell is failing."
            ),
            FaultKind::DeadCell => format!(
                "Close, load and charge nothing: a shorted cell may boil and burst. Eyes covered, \
                 no spark near it. Take block {part} out and have it replaced; where it has caps, \
                 a hydrometer shows which cell."
            ),
            FaultKind::WrongRange | FaultKind::Mistyped => format!(
                "Read {part} again where the tips belong, on the range the sheet names, and write \
                 the unit beside it."
            ),
            FaultKind::Swapped if *part == Part::Clamp => {
                "Turn the clamp so that its arrow points as the sheet says, and read again."
                    .to_owned()
            }
            FaultKind::Swapped => format!(
                "Read {part} again, red where the sheet says red. If the sign is still minus, it \
                 is the block and not the tips: stop."
            ),
            FaultKind::NotZeroed => {
                "Zero the clamp with nothing in its jaw, away from other leads, and read again."
                    .to_owned()
            }
        }
    }

    fn size_of(&self, part: &Part) -> String {
        let Part::Lead(id) = part else { return "as drawn".to_owned() };
        let answer = self.study.leads.iter().find(|l| l.id == *id);
        answer.map_or_else(|| "as drawn".to_owned(), |a| a.size.to_string())
    }
}

/// Both joints of a lead where nothing tells which: one hand remakes both while the lead is off.
fn remake(part: &Part, or_in: Option<&Part>) -> String {
    let Part::Joint { lead, terminal, .. } = part else { return String::new() };
    let torque = |terminal: &Terminal| match terminal {
        Terminal::Post { .. } => "the battery maker's figure",
        Terminal::Stud { .. } => "the maker's figure for that stud",
    };
    let Some(other @ Part::Joint { terminal: far, .. }) = or_in else {
        return format!(
            "{DEAD}. Take lead {lead} off {terminal}, clean post and lug to bright metal, pull at \
             the crimp, no washer under the lug, and bolt it to {}. Then read {part} again.",
            torque(terminal)
        );
    };
    format!(
        "{DEAD}. Take lead {lead} off {terminal} and off {far}, clean posts and lugs to bright \
         metal, pull at both crimps, no washer under a lug, and bolt it on {terminal} to {} and \
         on {far} to {}. Then read {part} and {other} again.",
        torque(terminal),
        torque(far)
    )
}

fn moved(said: &Said<'_>) -> String {
    let part = said.part;
    let (from, to) = match said.lies_on {
        Some((from, to)) => (from.to_string(), to.to_string()),
        None => ("the post drawn".to_owned(), "another post".to_owned()),
    };
    format!(
        "Close, load and charge nothing, and keep the fuse out. Look where both ends of lead \
         {part} are bolted. If one is on {to}, take it off with insulated tools, eyes covered, tape \
         the lug at once, and measure its gap to {from} before it is bolted there."
    )
}
