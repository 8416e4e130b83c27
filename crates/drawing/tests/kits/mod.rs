//! Fasteners, straps and openings such as a builder would choose.

use drawing::pictures::Subject;
use drawing::templates::{Fasteners, Kit, Opening};
use engine::layout::straps::Straps;
use engine::units::Length;

/// A rig with fasteners, straps and openings such as a builder would choose.
pub(crate) fn fitted(subject: Subject<'_>) -> Kit<'_> {
    let mm = Length::mm;
    let opening = |high| Opening { high, holes: 9, drill: mm(25.0), edge: mm(50.0) };
    Kit {
        subject,
        fasteners: vec![Fasteners {
            name: "bolt".to_owned(),
            number: Some(6),
            drill: Some(mm(8.5)),
            apart: Some((mm(700.0), mm(300.0))),
        }],
        straps: vec![Straps {
            name: "strap".to_owned(),
            number: Some(2),
            width: Some(mm(50.0)),
            over: Vec::new(),
        }],
        openings: vec![opening(false), opening(true)],
    }
}
