//! What the page hands out, one file at a time, made from what is on the sheet.
//!
//! Nothing is written here: the browser keeps what it is handed. Each file goes out as one to be kept,
//! never as a page of this address, so that the strict policy of the page holds for all that it shows.

use super::desk::stem;
use super::route::NOTHING;
use super::session::Session;
use super::wire::Response;
use super::work::Work;
use crate::command::nights::recorded;
use crate::failure::Failure;
use crate::out::{Piece, Source};
use engine::model::design::Design;
use engine::report::Report;

/// Where the files are asked for.
pub(super) const PATH: &str = "/out/";

/// One file, or why there is none.
pub(super) fn given(session: &Session, name: &str) -> Response {
    let Ok(work) = session.shown() else {
        return Response::refused(
            409,
            "The design must be understood before it can be taken away.",
        );
    };
    match made(session, work, name) {
        Ok(Some(piece)) => {
            let file = file_name(work, &piece.name);
            Response::of(200, piece.kind, piece.bytes)
                .with("content-disposition", format!("attachment; filename=\"{file}\""))
        }
        Ok(None) => Response::refused(404, NOTHING),
        Err(failure) => Response::refused(422, &failure.one_line()),
    }
}

fn made(session: &Session, work: &Work, name: &str) -> Result<Option<Piece>, Failure> {
    let tables = &session.ground.tables;
    let design = marked(session, work);
    let study = &work.report.study;
    let evidence = session.evidence(work)?;
    let report = Report::with(&design, study.stage, tables, study.ambient, &evidence)
        .map_err(|e| Failure::table(&e))?;
    let recorded = recorded(&design, session.store.path())?;
    let (design, report, evidence) = (&design, &report, &evidence);
    Source { design, report, tables, evidence, recorded: recorded.as_ref() }.one(name)
}

/// The design as it is on the sheet. What no file holds is said wherever its revision is printed.
fn marked(session: &Session, work: &Work) -> Design {
    let mut design = work.whole.clone();
    if session.is_unsaved() {
        let revision = design.rig.revision.as_deref().unwrap_or("not given");
        design.rig.revision = Some(format!("{revision}, not saved"));
    }
    design
}

/// Rig, stage and what it is, such as `alder-fen-bank-book-letter.html`.
fn file_name(work: &Work, name: &str) -> String {
    let base = name.rsplit('/').next().unwrap_or(name);
    format!("{}-{}-{base}", stem(&work.whole.rig.name), stem(work.stage_name()))
}
