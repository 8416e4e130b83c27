//! The strip of what is taken away: each file that can be made from the sheet, in one place.

use super::common::{cell, table};
use crate::out::{CUT_LIST, End, HAND_OVER, PHONE, Source, TEMPLATES, book_name, papers};
use crate::web::session::Session;
use crate::web::take_away::PATH;
use crate::web::work::Work;
use book::paper::Paper;
use book::pictures::standalone_names;
use drawing::templates::Template;
use maud::{Markup, html};

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! { p { "The design must be understood before it can be taken away." } };
    };
    let papers = papers(&work.whole);
    html! {
        (made_from(session, work))
        div.columns {
            div {
                h3 { "To print and to read" }
                ul.files {
                    @for paper in papers {
                        li { (file(&book_name(paper), book_words(paper))) " every step in the order of hands" }
                    }
                    li { (file(HAND_OVER, "Hand-over folder")) " for a surveyor or whoever comes after you" }
                }
                p.small { "Each is one page file: open it in any browser and print it, at 100 %." }
            }
            div {
                h3 { "In the driveway" }
                ul.files { li { (file(PHONE, "Copy for the phone")) " ticks, takes readings and torque, needs no network" } }
                p.small { "Mail it to the phone. What it hands back is read in under \"Proved\"." }
                (pictures(work))
            }
        }
        h3 { "For the shop" }
        ul.files { li { (file(CUT_LIST, "Cut list")) " a table (CSV) of every piece to cut, length to buy and rest" } }
        (templates(session, work, papers))
    }
}

/// What it is all made from, and whether a file holds the same.
fn made_from(session: &Session, work: &Work) -> Markup {
    let name = session.store.file_name();
    html! {
        p { "Made from what is on this sheet: " (work.whole.rig.name) ", stage \"" (work.stage_name()) "\", "
            @if session.is_unsaved() { b { "not saved" } ". The paper then says \"not saved\" beside its revision; save first if it is to agree with " (name) "." }
            @else { "as saved in " (name) "." } }
        p.small { "Your browser keeps each where it keeps what it downloads; nothing is written beside the design. All of them at once: "
            code { "bankwright book " (name) " --out FOLDER" } "." }
    }
}

fn pictures(work: &Work) -> Markup {
    let names = standalone_names(&work.report.study);
    html! {
        @if !names.is_empty() {
            h3 { "Pictures" }
            ul.files { @for name in names { li { (file(name, picture(name))) } } }
        }
    }
}

fn picture(name: &str) -> &'static str {
    match name {
        "plan.svg" => "Plan to scale (SVG)",
        "diagram.svg" => "Single-line diagram (SVG)",
        _ => "Current share (SVG)",
    }
}

/// Each template with what it is written as.
fn templates(session: &Session, work: &Work, papers: [Paper; 2]) -> Markup {
    let source = Source {
        design: &work.whole,
        report: &work.report,
        tables: &session.ground.tables,
        evidence: &session.ground.evidence,
        recorded: None,
    };
    let all = source.templates();
    let ends = [End::Pdf(papers[0]), End::Pdf(papers[1]), End::Svg, End::Dxf];
    let row = |t: &Template| {
        let mut cells = vec![cell(&t.title)];
        cells.extend(ends.iter().map(|end| {
            let name = format!("{TEMPLATES}/{}{}", t.name, end.says());
            html! { (named(&name, end_words(*end), &format!("{}, {}", t.title, end_words(*end)))) }
        }));
        cells
    };
    let rows: Vec<Vec<Markup>> = all.iter().map(row).collect();
    let columns = [
        ("template at true size", false),
        ("to print", false),
        ("to print", false),
        ("drawing", false),
        ("for a cutter", false),
    ];
    html! {
        @if !rows.is_empty() {
            (table("Templates", &columns, &rows))
            p.small { "Print the PDF at 100 %, never \"fit to page\", and measure its check bar before you drill." }
        }
    }
}

const fn book_words(paper: Paper) -> &'static str {
    match paper {
        Paper::Letter => "Build book on letter paper",
        Paper::A4 => "Build book on A4 paper",
    }
}

const fn end_words(end: End) -> &'static str {
    match end {
        End::Svg => "SVG",
        End::Dxf => "DXF",
        End::Pdf(Paper::Letter) => "PDF, letter",
        End::Pdf(Paper::A4) => "PDF, A4",
    }
}

fn file(name: &str, words: &str) -> Markup {
    html! { a href={ (PATH) (name) } { (words) } }
}

fn named(name: &str, words: &str, label: &str) -> Markup {
    html! { a href={ (PATH) (name) } aria-label=(label) { (words) } }
}
