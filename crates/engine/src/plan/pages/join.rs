//! Strings made and joined: G3, then G4 at every link that closes a loop.

use crate::circuit::error::SolveError;
use crate::circuit::wiring::WiredLead;
use crate::model::bank::{Bank, BlockId};
use crate::model::lead::Terminal;
use crate::plan::build::{GateMark, PartRef, Step};
use crate::plan::cautions;
use crate::plan::fit::Hands;
use crate::plan::order::{Phase, phase};
use crate::plan::readings;
use crate::plan::tools::Tool;
use crate::plan::writer::Head;

/// Series links, string by string, then every open string.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn strings(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    let job = hands.job;
    let Some(bank) = job.design.bank() else {
        return Ok(());
    };
    let links = of_phase(hands, Phase::Series);
    if links.is_empty() {
        return Ok(());
    }
    let above = above_extra_low(hands);
    let intro = "Inside each string, plus to minus. Each link joins two loose blocks: a meter \
                 across its gap shows nothing steady, so the check is the string afterwards.";
    let mut head = Head::new("Make the strings", intro).caution(cautions::bridging(job.words()));
    if above {
        head = head.caution(cautions::shock());
    }
    hands.writer.page(head);
    for link in links {
        let reading = string_so_far(hands, bank, link)?;
        hands.fit(link, reading)?;
    }
    measure_strings(hands, bank)
}

/// What the string reads once this link is on, for strings of more than two blocks.
fn string_so_far(
    hands: &Hands<'_>,
    bank: &Bank,
    link: &WiredLead,
) -> Result<Option<crate::plan::build::Reading>, SolveError> {
    let Some(last) = link.to.block().filter(|_| bank.series > 2) else {
        return Ok(None);
    };
    let first = Terminal::plus(BlockId { string: last.string, place: 0 });
    let mut state = hands.state.clone();
    state.leads.insert(link.id.clone());
    let black = Terminal::minus(last);
    let id = format!("after {}", link.id);
    readings::volts(hands.job, &hands.bench, &state, &id, (&first, &black)).map(Some)
}

fn measure_strings(hands: &mut Hands<'_>, bank: &Bank) -> Result<(), SolveError> {
    let job = hands.job;
    hands.writer.page(
        Head::new("Measure every string", "Each string stands open, joined to nothing else.")
            .caution(cautions::bridging(job.words())),
    );
    for string in 0..bank.parallel {
        let (red, black) = readings::string_ends(bank, string);
        let letters = BlockId::string_letters(string);
        let id = format!("string {letters}");
        let reading = readings::volts(job, &hands.bench, &hands.state, &id, (&red, &black))?;
        let step = Step::new("Measure", &format!("string {letters} from end to end."))
            .tools(&[Tool::Meter])
            .part(PartRef::Terminal(red))
            .part(PartRef::Terminal(black))
            .reading(reading);
        hands.step(step);
    }
    let block = job.string_volts() / f64::from(bank.series.max(1));
    let twice = crate::units::show::fixed(2.0 * block, 1);
    let unless = format!(
        "every open string reads inside its band, plus on plus. {twice} V too little: a block in \
         it is reversed. A minus sign: the string is backwards."
    );
    hands.gate(GateMark::Strings, &unless);
    Ok(())
}

/// Strings joined: plus side, then minus side.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn strings_joined(hands: &mut Hands<'_>) -> Result<(), SolveError> {
    side(hands, Phase::PlusSide, "plus")?;
    side(hands, Phase::MinusSide, "minus")
}

fn side(hands: &mut Hands<'_>, wanted: Phase, name: &str) -> Result<(), SolveError> {
    let links = of_phase(hands, wanted);
    if links.is_empty() {
        return Ok(());
    }
    let title = format!("Join the strings, {name} side");
    let intro = "A link that closes no loop joins two parts with nothing else in common: its gap \
                 reads nothing whatever is wrong, and proves nothing. The links that close a loop \
                 come behind a dark bar of their own.";
    let head = Head::new(&title, intro).caution(cautions::bridging(hands.job.words()));
    hands.writer.page(head.clone());
    let mut on_own_page = false;
    for link in links {
        let closes = matches!(hands.gap(link)?, crate::plan::bench::Gap::Loop(_));
        if on_own_page && !closes {
            hands.writer.page(head.clone());
        }
        on_own_page = closes;
        hands.fit(link, None)?;
    }
    Ok(())
}

/// Leads of a phase that still go on.
pub(super) fn of_phase<'a>(hands: &Hands<'a>, wanted: Phase) -> Vec<&'a WiredLead> {
    hands.to_come.iter().copied().filter(|l| phase(l) == wanted).collect()
}

fn above_extra_low(hands: &Hands<'_>) -> bool {
    hands.job.string_volts() > hands.job.figures.touch_v
}
