//! The strip of the share: what each string, block and lead carries.

use super::common::{cell, held, paper, picture, table};
use crate::web::session::Session;
use drawing::pictures::Subject;
use drawing::pictures::share::{Half, SharePicture, share as share_picture};
use engine::circuit::share::Share;
use engine::draws::judged_paths;
use engine::units::show::{self, fixed};
use engine::units::{Current, Voltage};
use maud::{Markup, html};

/// Widest paper of the picture [mm].
const WIDEST_MM: f64 = 180.0;

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let study = &work.report.study;
    let share = match &study.discharge {
        Ok(share) => share,
        Err(error) => return html! { p { (error) } },
    };
    let paper = paper("share-picture", session.window, WIDEST_MM);
    let now = Half { says: "now", share };
    let scene = share_picture(&SharePicture {
        subject: Subject::of(study),
        now,
        then: None,
        setting: &paper,
    });
    html! {
        p { (share.says) " Bank " (held(&show::voltage(Voltage::volts(share.bank_volts)))) ", "
            (held(&show::current(Current::amps(share.total_amps)))) " in all, spread between strings "
            (held(&format!("{} %", fixed(share.spread_percent, 1)))) "." }
        div.columns {
            div { (strings(share)) }
            div { (blocks(share)) }
            @if 1 < share.strings.len() { div { (picture(&scene)) } }
        }
        (paths(session, share))
        p.small { "Amps above zero leave a string or a block; below zero they charge it." }
    }
}

fn strings(share: &Share) -> Markup {
    let rows = share.strings.iter().map(|s| vec![cell(&s.id), cell(&fixed(s.amps, 2))]);
    table("Strings", &[("string", false), ("A", true)], &rows.collect::<Vec<_>>())
}

fn blocks(share: &Share) -> Markup {
    let rows = share
        .blocks
        .iter()
        .map(|b| vec![cell(&b.id.to_string()), cell(&fixed(b.amps, 2)), cell(&fixed(b.volts, 3))]);
    let columns = [("block", false), ("A", true), ("V", true)];
    table("Blocks", &columns, &rows.collect::<Vec<_>>())
}

fn paths(session: &Session, share: &Share) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let judged = judged_paths(&work.report.study, &session.ground.tables, share);
    if judged.is_empty() {
        return html! { p { "Nothing that draws or charges is connected yet, so no way to it is judged." } };
    }
    let rows = judged.iter().map(|p| {
        let within = match p.within {
            Some(true) => "within",
            Some(false) => "OVER",
            None => "no limit",
        };
        vec![
            cell(&p.share.id),
            cell(&fixed(p.share.amps, 2)),
            cell(&fixed(p.share.drop_mv, 1)),
            cell(&fixed(p.percent, 2)),
            cell(&show::decimal(p.limit_percent, 1)),
            cell(within),
            cell(&format!("{} ({})", p.governed_by, p.cite.status.says())),
        ]
    });
    let columns = [
        ("to and from", false),
        ("A", true),
        ("mV lost", true),
        ("%", true),
        ("limit %", true),
        ("judged", false),
        ("limit by", false),
    ];
    table("Volts lost on the way", &columns, &rows.collect::<Vec<_>>())
}
