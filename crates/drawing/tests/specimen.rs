//! One sheet with every mark: no label over another, none cut, none too small, the same bytes each time.

mod specimen_scene;

use drawing::check::{outside, overlapping_labels, struck_labels, too_small, unknown_signs};
use drawing::svg::{Setting, svg};
use specimen_scene::specimen;

#[test]
fn lettering_is_whole_on_the_specimen() {
    let scene = specimen();
    assert_eq!(overlapping_labels(&scene), [], "no label over another");
    assert_eq!(struck_labels(&scene), Vec::<String>::new(), "no line through a label");
    assert_eq!(outside(&scene), Vec::<String>::new(), "no label is cut by the edge");
    assert_eq!(too_small(&scene), Vec::<String>::new(), "ten points at least");
    assert_eq!(unknown_signs(&scene), Vec::<String>::new(), "the face has every sign");
}

#[test]
fn ids_are_unique_and_bytes_repeat() {
    let text = svg(&specimen(), Setting::Standalone);
    let mut ids: Vec<&str> =
        text.split(" id=\"").skip(1).filter_map(|t| t.split('"').next()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "each id stands once");
    assert_eq!(text, svg(&specimen(), Setting::Standalone), "the same scene, the same bytes");
    assert!(!text.contains("NaN") && !text.contains("inf"), "every number is one");
}
