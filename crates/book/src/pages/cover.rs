//! The first side: whose rig, which stage, what it makes, and what must not be done yet.

use super::plain;
use crate::book::Context;
use crate::lettering::Size;
use crate::pager::Chapter;
use crate::part::{Parts, Piece, Table};
use crate::words::{capital, counted, sign, text};
use engine::circuit::wiring::Polarity;
use engine::facts::device::nominal_volts;
use engine::finding::{Finding, Gate, Severity};
use engine::units::show::decimal;
use maud::html;

pub(super) fn chapter(cx: &Context<'_>) -> Chapter {
    let design = &cx.input.report.study.design;
    let mut parts = Parts::new(cx.width);
    let name = &design.rig.name;
    parts.push(Piece::new(html! { div.rig-name { (name) } }, 18.0));
    parts.push(made(&stage_line(cx), cx.width));
    if let Some(bank) = bank_line(cx) {
        parts.push(made(&bank, cx.width));
    }
    parts.push(made(&work_line(cx), cx.width));
    parts.push(stop_box(cx));
    parts.heading("Fill in before you begin");
    parts.push(Table::to_write(&[
        ["date begun", "done by"],
        ["helper", "place and temperature"],
        ["meter used", "clamp meter used"],
        ["last read through with the maker's sheets", "initials"],
    ]));
    parts.paragraph(
        "Work page by page, line by line. Tick a line when it is done. Write what the meter shows, \
         not what it ought to show. A dark bar is a gate: nobody goes past it until what it says is \
         so. If the layout changes, print the book again and throw this one away.",
    );
    Chapter { parts: parts.all, ..plain("cover", "Build book", "cover") }
}

/// Which stage, and what it is for.
pub(super) fn stage_line(cx: &Context<'_>) -> String {
    let name = &cx.input.report.stage;
    let stage = cx.input.report.study.design.stages.iter().find(|s| s.name == *name);
    let note = stage.and_then(|s| s.note.clone()).unwrap_or_default();
    if note.is_empty() { format!("Stage {name}.") } else { format!("Stage {name}: {note}.") }
}

pub(super) fn made(says: &str, width: f64) -> Piece {
    Piece::new(html! { p.made { (text(says)) } }, Size::Step.height(says, width) + 2.0)
}

/// What the bank is: blocks, strings, volts, amp-hours.
pub(super) fn bank_line(cx: &Context<'_>) -> Option<String> {
    let design = &cx.input.report.study.design;
    let bank = design.bank()?;
    let model = design.block_model(&bank.block)?;
    let blocks = counted(usize::try_from(bank.count()).ok()?, "block", "blocks");
    let volts = nominal_volts(design)
        .map_or_else(String::new, |v| format!(", {} V", decimal(v.as_volts(), 1)));
    let hours = model.rating.and_then(engine::units::capacity::Rating::capacity).map_or_else(
        String::new,
        |c| {
            let all = c.in_parallel(bank.parallel);
            let rate = decimal(all.rate().as_hours(), 1);
            format!(", {} Ah at {rate} h", decimal(all.as_amp_hours(), 0))
        },
    );
    let chemistry = model.chemistry.map_or_else(String::new, |c| format!(" {}", c.word()));
    let string = format!(
        "{} in series, {}",
        bank.series,
        counted(usize::try_from(bank.parallel).ok()?, "string", "strings side by side")
    );
    Some(format!("The bank: {blocks}{chemistry} of {}, {string}{volts}{hours}.", model.name))
}

fn work_line(cx: &Context<'_>) -> String {
    let job = cx.input.job;
    let leads = job.fitted_leads();
    let plus = leads.iter().filter(|l| l.polarity == Polarity::Plus).count();
    let devices = job.new_devices().count();
    let pages = cx.input.build.pages.len();
    let sides = counted(pages, "page of steps", "pages of steps");
    let blocks = if job.bank_is_new() { "the blocks, " } else { "" };
    format!(
        "This stage fits {blocks}{} ({plus} of them plus) and {}, in {sides}.",
        counted(leads.len(), "lead", "leads"),
        counted(devices, "device", "devices")
    )
}

/// The gates that STOP findings hold shut, each with what holds it.
pub(super) fn stop_box(cx: &Context<'_>) -> Piece {
    let report = cx.input.report;
    let kind = report.study.design.rig.kind;
    let held: Vec<(Gate, Vec<&Finding>)> = Gate::ALL
        .into_iter()
        .filter(|gate| kind.meets(*gate))
        .map(|gate| (gate, report.holding(gate).collect::<Vec<_>>()))
        .filter(|(_, holding)| !holding.is_empty())
        .collect();
    if held.is_empty() {
        let says = "No STOP finding holds a gate of this stage. The gates in the book still ask \
                    for their readings.";
        let height = Size::Step.height(says, cx.width - 10.0) + 14.0;
        return Piece::new(html! { div.hold { div.say { (says) } } }, height);
    }
    let gates: Vec<String> = held.iter().map(|(g, _)| g.word().to_uppercase()).collect();
    let say = format!("DO NOT {} UNLESS these are settled", gates.join(" / "));
    let lines: Vec<(String, String)> = held
        .iter()
        .map(|(gate, holding)| (format!("Do not {}", gate.word()), by_rule(holding)))
        .collect();
    let page =
        cx.page("findings").map_or_else(String::new, |p| format!(" Each is told on page {p}."));
    let foot = format!(
        "A STOP is settled when the design no longer shows it: change the design or the rig and print again, or write beside it on the gate how it was settled and who says so.{page}"
    );
    let inner = cx.width - 10.0;
    let height = Size::Step.height(&say, inner - 24.0)
        + lines.iter().map(|(_, l)| Size::Body.height(l, inner - 30.0).max(5.2) + 1.0).sum::<f64>()
        + Size::Small.height(&foot, inner)
        + 14.0;
    let html = html! {
        div.hold.stops {
            div.say { (sign(Severity::Stop)) " " (say) }
            @for (gate, line) in &lines {
                div.line { b { (gate) } span { (capital(line)) } }
            }
            div.small { (foot) }
        }
    };
    Piece::new(html, height)
}

/// Findings by rule with the parts they speak of: `R16 on charge fuse and panel fuse; R06 on A1`.
fn by_rule(findings: &[&Finding]) -> String {
    let mut rules: Vec<(String, Vec<String>)> = Vec::new();
    for finding in findings {
        let code = finding.code.to_string();
        match rules.iter_mut().find(|(c, _)| *c == code) {
            Some((_, parts)) => parts.push(finding.part.clone()),
            None => rules.push((code, vec![finding.part.clone()])),
        }
    }
    let lines: Vec<String> = rules
        .iter()
        .map(|(code, parts)| format!("{code} on {}", crate::words::listed(parts)))
        .collect();
    lines.join("; ")
}
