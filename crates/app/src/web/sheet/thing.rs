//! What was touched: what it is, what it carries, why, by which rule, and what to do.

use super::common::{bound, cut_words, held, memory, sources, terms, wish, wish_flag};
use super::leads::size_choice;
use crate::command::leads::{fuse_words, lugs, reuse};
use crate::glossary;
use crate::web::intent::ThingKind;
use crate::web::session::Session;
use crate::web::work::Work;
use book::words::{capital, sign};
use engine::checks::things::{Thing, spoken_of};
use engine::cite::Cite;
use engine::model::bank::{Bank, BlockId};
use engine::model::block::BlockModel;
use engine::model::lead::Terminal;
use engine::units::capacity::Rating;
use engine::units::show::{self, decimal, fixed};
use engine::units::{Current, Voltage};
use maud::{Markup, html};

/// What is told, if anything was touched.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let told = session.touched.as_ref().and_then(|(kind, id)| match kind {
        ThingKind::Block => block(work, id),
        ThingKind::Post => post(work, id),
        ThingKind::Lead => lead(session, work, id),
        ThingKind::Device => device(work, id),
        ThingKind::Finding => finding(session, work, id),
    });
    html! {
        @if session.word.is_some() || told.is_some() {
            div.told {
                button.close type="button" data-key="leave" data-do=(wish(&[("do", "leave")])) { "Close" }
                @if let Some(word) = &session.word { (explained(word)) }
                @if let Some(told) = told { (told) }
            }
        }
    }
}

/// A word of the trade.
fn explained(word: &str) -> Markup {
    let found = glossary::explained(word);
    html! {
        @if found.is_empty() { p { "\"" (word) "\" is no word known here." } }
        @for term in found {
            p { b { (capital(&term.term)) } ": " (term.meaning)
                @if !term.us.is_empty() { " In American: " (term.us) "." }
                @if !term.uk.is_empty() { " In British: " (term.uk) "." } }
        }
    }
}

/// Findings that speak of a thing.
fn said_of(work: &Work, thing: &Thing) -> Markup {
    let study = &work.report.study;
    let findings = work.report.findings.iter();
    let own: Vec<_> = findings.filter(|f| spoken_of(study, &f.path).contains(thing)).collect();
    html! {
        @for f in own { p { (sign(f.severity)) " " (f.code) ": " (f.says) " " b { (f.remedy) } } }
    }
}

/// Where the figures come from, for whoever wants to look them up.
fn from(cites: &[Cite], session: &Session) -> Markup {
    html! {
        @if !cites.is_empty() {
            details.from { summary { "Where the figures come from" } p.small { (sources(cites, &session.ground.tables)) } }
        }
    }
}

/// What a table says with a dash is nothing here.
fn said(words: String) -> String {
    if words == "-" { String::new() } else { words }
}

/// Rows of a name and what it says; those that say nothing are left out.
fn rows(rows: &[(&str, String)]) -> Markup {
    html! {
        dl.facts {
            @for (name, says) in rows {
                @if !says.is_empty() { div { dt { (name) } dd { (bound(says)) } } }
            }
        }
    }
}

fn block(work: &Work, id: &str) -> Option<Markup> {
    let id = BlockId::from_text(id)?;
    let study = &work.report.study;
    let placed = study.layout.plan.block(id)?;
    let units = work.units();
    let model = study.design.block_model(&placed.model);
    let share = study.discharge.as_ref().ok();
    let carried = share.and_then(|s| s.blocks.iter().find(|b| b.id == id));
    let carries = carried.map_or(String::new(), |b| {
        held_all(&[show::current(Current::amps(b.amps)), show::voltage(Voltage::volts(b.volts))])
    });
    let length = |l| held(&show::length(l, units));
    let lies = format!(
        "{} from the left wall, {} from the near wall, turned {}°; {}",
        length(placed.corner.x),
        length(placed.corner.y),
        placed.turn.degrees(),
        if placed.by_owner { "laid by you" } else { "laid by the row pattern" }
    );
    let size =
        format!("{} × {} × {}", length(placed.length), length(placed.width), length(placed.height));
    let name = id.to_string();
    Some(html! {
        h2 { "Block " (name) }
        (rows(&[
            ("is", model.map_or_else(|| placed.model.clone(), model_words)),
            ("measures", size),
            ("carries", carries),
            ("under", share.map_or(String::new(), |s| s.says.clone())),
            ("lies", lies),
            ("weighs", model.and_then(|m| m.mass).map_or(String::new(), |m| held(&show::mass(m, units)))),
        ]))
        (said_of(work, &Thing::Block(id)))
        p.do {
            button type="button" data-key="turn" data-do=(wish(&[("do", "turn"), ("block", &name)])) { "Turn a quarter" }
            button type="button" data-key="more" data-do=(wish_flag("strings", ("more", true))) { "One string more" }
            @if let Some(bank) = study.design.bank() { (fewer(bank, id)) }
        }
        (terms(&["block", "string", "bank", "link"]))
    })
}

/// Blocks in series go with their string, or with the same place of every string.
fn fewer(bank: &Bank, id: BlockId) -> Markup {
    let (name, letters) = (id.to_string(), BlockId::string_letters(id.string));
    let place: Vec<String> =
        (0..bank.parallel).map(|string| BlockId { string, ..id }.to_string()).collect();
    html! {
        @if 1 < bank.parallel {
            button type="button" data-key="away" data-do=(wish(&[("do", "away"), ("block", &name)])) {
                "Take string " (letters) " away" @if 1 < bank.series { ", all " (bank.series) " of it" }
            }
        }
        button type="button" data-key="longer" data-do=(wish(&[("do", "longer")])) {
            "One block more in " (if bank.parallel == 1 { "the string" } else { "every string" })
        }
        @if 1 < bank.series {
            button type="button" data-key="shorter" data-do=(wish(&[("do", "shorter"), ("block", &name)])) {
                "Take " (crate::failure::listed(&place)) " away, for fewer volts"
            }
        }
    }
}

fn held_all(parts: &[String]) -> String {
    parts.iter().map(|p| held(p)).collect::<Vec<_>>().join(" at ")
}

fn model_words(model: &BlockModel) -> String {
    let mut words = vec![model.name.clone()];
    words.extend(model.chemistry.map(|c| c.word().to_owned()));
    words.extend(model.volts.map(|v| held(&format!("{} V", decimal(v.as_volts(), 1)))));
    words.extend(model.rating.map(rating_words));
    words.join(", ")
}

fn rating_words(rating: Rating) -> String {
    match rating {
        Rating::Capacity(c) => format!(
            "{} at {}",
            held(&format!("{} Ah", decimal(c.as_amp_hours(), 1))),
            held(&format!("{} h", decimal(c.rate().as_hours(), 1)))
        ),
        Rating::Reserve(time) => {
            format!("{} of reserve", held(&format!("{} min", decimal(time.as_hours() * 60.0, 0))))
        }
        Rating::Cranking(amps) => format!("{} cold cranking", held(&show::current(amps))),
    }
}

fn post(work: &Work, id: &str) -> Option<Markup> {
    let post = Terminal::from_text(id).filter(|t| t.block().is_some())?;
    let study = &work.report.study;
    let on: Vec<_> = study.wiring.at(&post).collect();
    let answer = |lead: &str| study.leads.iter().find(|l| l.id == lead);
    let others: Vec<String> = study
        .layout
        .plan
        .blocks
        .iter()
        .flat_map(|b| [Terminal::plus(b.id), Terminal::minus(b.id)])
        .filter(|t| *t != post)
        .map(|t| t.to_string())
        .collect();
    let name = post.to_string();
    Some(html! {
        h2 { "Post " (name) }
        @if on.is_empty() { p { "No lead lies on it." } }
        @else {
            p { "On it lie:" }
            ul { @for lead in &on {
                li { "lead " (lead.id) ", " (lead.from) " to " (lead.to)
                    @if let Some(a) = answer(&lead.id) { ", " (a.size.to_string()) ", carries " (held(&show::current(a.design_amps))) } }
            } }
        }
        (said_of(work, &Thing::Post(post.clone())))
        p.do {
            label { "Move the lead end to "
                select data-key="end" data-value="to" data-change=(wish_end(&name)) {
                    option value="" { "choose a post" }
                    @for other in &others { option value=(other) { (other) } }
                }
            }
        }
        (terms(&["post", "take-off", "lug", "lead"]))
    })
}

fn wish_end(from: &str) -> String {
    serde_json::json!({ "do": "end", "from": from, "commit": true }).to_string()
}

fn lead(session: &Session, work: &Work, id: &str) -> Option<Markup> {
    let study = &work.report.study;
    let answer = study.leads.iter().find(|l| l.id == id)?;
    let units = work.units();
    let share = study.discharge.as_ref().ok();
    let now = share.and_then(|s| s.leads.iter().find(|l| l.id == id));
    let now = now.map_or(String::new(), |l| {
        format!(
            "{}, {} lost",
            held(&show::current(Current::amps(l.amps))),
            held(&format!("{} mV", fixed(l.drop_mv, 1)))
        )
    });
    let length = format!(
        "cut {} within {}; route {} ({})",
        cut_words(study, answer, units),
        held(&show::length(answer.length.tolerance, units)),
        held(&show::length(answer.length.route.length(), units)),
        answer.length.from
    );
    let fuse = answer.fuse.as_ref().map_or_else(|| "none".to_owned(), |f| fuse_words(f, units));
    Some(html! {
        h2 { "Lead " (answer.id) }
        (rows(&[
            ("runs", format!("{} to {}, {}", answer.from, answer.to, answer.colour)),
            ("is sized for", format!("{}: {}", held(&show::current(answer.design_amps)), answer.design_why)),
            ("carries now", now),
            ("under", share.map_or(String::new(), |s| s.says.clone())),
            ("size", format!("{}; may carry {}", answer.size, held(&show::current(answer.ampacity)))),
            ("why", format!("{}{}", answer.why, memory(answer.status))),
            ("length", length),
            ("fuse", fuse),
            ("lugs", lugs(answer, units)),
            ("in hand", said(reuse(&answer.reuse, units))),
        ]))
        p.do { label { "Size " (size_choice(session, answer, "thing")) } }
        (said_of(work, &Thing::Lead(id.to_owned())))
        (from(&answer.cites, session))
        (terms(&["lead", "lug", "ampacity", "route"]))
    })
}

fn device(work: &Work, id: &str) -> Option<Markup> {
    let study = &work.report.study;
    let device = study.design.device(id)?;
    let current = study.currents.iter().find(|c| c.device == id);
    let steady = current.map_or(String::new(), |c| {
        let amps = c.current.steady.as_amps();
        let flow = if amps < 0.0 { "charges with" } else { "draws" };
        format!("{flow} {}", held(&show::current(Current::amps(amps.abs()))))
    });
    let on: Vec<String> = study
        .wiring
        .leads
        .iter()
        .filter(|l| [&l.from, &l.to].iter().any(|t| t.device() == Some(id)))
        .map(|l| l.id.clone())
        .collect();
    Some(html! {
        h2 { (capital(device.kind.word())) " \"" (id) "\"" }
        (rows(&[
            ("rating", device.rating.map_or(String::new(), |r| held(&show::current(r)))),
            ("family", device.family.clone().unwrap_or_default()),
            ("steady", steady),
            ("leads", on.join(", ")),
            ("note", device.part.note.clone().unwrap_or_default()),
        ]))
        (said_of(work, &Thing::Device(id.to_owned())))
        (terms(&[device.kind.word()]))
    })
}

fn finding(session: &Session, work: &Work, id: &str) -> Option<Markup> {
    let found = work.report.findings.iter().find(|f| format!("{} {}", f.code, f.path) == id)?;
    let gates: Vec<&str> = found.blocks.iter().map(|g| g.word()).collect();
    let line = work.read.spans.line_of(&found.path);
    Some(html! {
        h2 { (sign(found.severity)) " " (found.part) }
        p { (bound(&found.says)) }
        p { b { (bound(&found.remedy)) } }
        (rows(&[
            ("why", found.why.clone()),
            ("holds shut", gates.join(", ")),
            ("rule", format!("{}; `bankwright explain {}` has it in full", found.code, found.code)),
            ("in the file", line.map_or(String::new(), |l| format!("line {l}, {}", found.path))),
        ]))
        (from(&found.sources, session))
    })
}
