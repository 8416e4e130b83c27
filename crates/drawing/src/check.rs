//! Faults of lettering that a test can see: labels over labels, cut by the edge, or too small to read.

use crate::scene::Scene;
use crate::style::size;

/// Labels may touch this deep before they count as overlapping [mm]; boxes are a little larger than ink.
const TOUCH: f64 = 0.2;

/// Pairs of labels that lie over each other.
#[must_use]
pub fn overlapping_labels(scene: &Scene) -> Vec<(String, String)> {
    let boxes = scene.text_boxes();
    let mut found = Vec::new();
    for (i, (a, box_a)) in boxes.iter().enumerate() {
        for (b, box_b) in &boxes[i + 1..] {
            if box_a.overlaps(box_b, TOUCH) {
                found.push(((*a).to_owned(), (*b).to_owned()));
            }
        }
    }
    found
}

/// Labels that the picture's edge cuts.
#[must_use]
pub fn outside(scene: &Scene) -> Vec<String> {
    let cut = |[left, top, right, bottom]: [f64; 4]| {
        left < 0.0 || top < 0.0 || scene.width < right || scene.height < bottom
    };
    let boxes = scene.text_boxes().into_iter();
    boxes.filter(|(_, c)| cut(c.bounds())).map(|(text, _)| text.to_owned()).collect()
}

/// Labels under ten points in print.
#[must_use]
pub fn too_small(scene: &Scene) -> Vec<String> {
    // A rounding of the tenth decimal is not a smaller letter.
    let labels = scene.labels().into_iter();
    labels.filter(|l| l.size < size::SMALL - 1e-9).map(|l| l.text.clone()).collect()
}

/// Labels with a sign that the face lacks, so that another face would stand in for it.
#[must_use]
pub fn unknown_signs(scene: &Scene) -> Vec<String> {
    let strange = |text: &str| text.chars().any(|c| !crate::text::has_sign(c));
    scene.labels().into_iter().filter(|l| strange(&l.text)).map(|l| l.text.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::{outside, overlapping_labels, too_small, unknown_signs};
    use crate::geometry::at;
    use crate::scene::{Anchor, Label, Scene};

    fn scene(labels: Vec<Label>) -> Scene {
        Scene {
            id: "t".to_owned(),
            title: "t".to_owned(),
            description: String::new(),
            width: 50.0,
            height: 30.0,
            view: None,
            items: labels.into_iter().map(Into::into).collect(),
        }
    }

    #[test]
    fn faults_of_lettering_are_named() {
        let good = Label::new(at(5.0, 10.0), "A1", 4.0);
        let over = Label::new(at(7.0, 11.0), "55 A", 4.0);
        let cut = Label::new(at(45.0, 20.0), "main fuse", 4.0);
        let turned =
            Label::new(at(2.0, 25.0), "430 mm", 4.0).anchored(Anchor::Middle).turned(-90.0);
        let tiny = Label::new(at(20.0, 28.0), "tiny", 2.0);
        let strange = Label::new(at(30.0, 8.0), "\u{4e2d}", 4.0);
        let scene = scene(vec![good, over, cut, turned, tiny, strange]);
        let pair = ("A1".to_owned(), "55 A".to_owned());
        assert_eq!(overlapping_labels(&scene), [pair], "the two that lie over each other");
        // Hand worked: 430 mm is about 15 mm long; turned, it reaches from 17 to 33, below 30.
        assert_eq!(outside(&scene), ["main fuse", "430 mm"], "cut at the right and at the bottom");
        assert_eq!(too_small(&scene), ["tiny"], "2 mm is under ten points");
        assert_eq!(unknown_signs(&scene), ["\u{4e2d}"], "not a Latin sign");
    }
}
