//! What the page in the browser shows already, so that only what changed is sent.

use super::route::Node;
use drawing::svg::escaped;
use std::collections::BTreeMap;

/// The pieces as they were sent last.
#[derive(Debug, Default)]
pub(super) struct Sent {
    /// Counts what was sent: a page that has seen this one has seen all before it.
    sheet: u64,
    pieces: BTreeMap<String, Node>,
}

impl Sent {
    /// Every piece is sent; the number of the sheet.
    pub(super) fn all(&mut self, nodes: &[Node]) -> u64 {
        self.pieces = nodes.iter().map(|n| (n.id.clone(), n.clone())).collect();
        self.sheet += 1;
        self.sheet
    }

    /// What a page does not show yet, and the number of the sheet it shows then. Of a piece in parts only
    /// those that changed are sent; where other parts come or go, or what stands around them changes, the
    /// piece is sent with the parts that stay only named. A page that saw another sheet last, as a second
    /// window would, gets everything.
    pub(super) fn changed(&mut self, nodes: Vec<Node>, seen: Option<u64>) -> (u64, Vec<Node>) {
        if seen != Some(self.sheet) {
            return (self.all(&nodes), nodes);
        }
        let mut sent = Vec::new();
        for node in nodes {
            match self.pieces.get(&node.id) {
                Some(old) if old.html == node.html => continue,
                Some(old) if !node.parts.is_empty() && rest(old) == rest(&node) => {
                    sent.extend(changed_parts(old, &node));
                }
                Some(old) if !node.parts.is_empty() => sent.push(with_parts_named(old, &node)),
                _ => sent.push(Node { parts: Vec::new(), ..node.clone() }),
            }
            self.pieces.insert(node.id.clone(), node);
        }
        self.sheet += 1;
        (self.sheet, sent)
    }
}

/// The names of the parts of a picture, and what stands around and between them.
fn rest(node: &Node) -> (Vec<&str>, Vec<&str>) {
    let names = node.parts.iter().map(|(id, _)| id.as_str()).collect();
    let mut from = 0;
    let mut between = Vec::new();
    for (_, range) in &node.parts {
        between.push(node.html.get(from..range.start).unwrap_or_default());
        from = range.end;
    }
    between.push(node.html.get(from..).unwrap_or_default());
    (names, between)
}

fn changed_parts(old: &Node, new: &Node) -> Vec<Node> {
    let html = |node: &Node, n: usize| -> Option<String> {
        node.html.get(node.parts.get(n)?.1.clone()).map(str::to_owned)
    };
    let part = |n: usize| {
        let (id, _) = new.parts.get(n)?;
        let changed = html(new, n).filter(|now| html(old, n).as_ref() != Some(now))?;
        Some(Node { id: id.clone(), html: changed, part: true, parts: Vec::new() })
    };
    (0..new.parts.len()).filter_map(part).collect()
}

/// A piece in which each part that the page shows already is only named: an empty element of its kind.
fn with_parts_named(old: &Node, new: &Node) -> Node {
    let html = |node: &Node, range: &std::ops::Range<usize>| -> Option<String> {
        node.html.get(range.clone()).map(str::to_owned)
    };
    let shown: BTreeMap<&str, Option<String>> =
        old.parts.iter().map(|(id, range)| (id.as_str(), html(old, range))).collect();
    let (mut out, mut from) = (String::with_capacity(new.html.len()), 0);
    for (id, range) in &new.parts {
        out.push_str(new.html.get(from..range.start).unwrap_or_default());
        let part = new.html.get(range.clone()).unwrap_or_default();
        let stays = shown.get(id.as_str()).is_some_and(|was| was.as_deref() == Some(part));
        let kind = part.trim_start_matches('<').split([' ', '>']).next().unwrap_or_default();
        if stays {
            out.push_str(&format!("<{kind} data-was=\"{}\"></{kind}>", escaped(id)));
        } else {
            out.push_str(part);
        }
        from = range.end;
    }
    out.push_str(new.html.get(from..).unwrap_or_default());
    Node { id: new.id.clone(), html: out, ..Node::default() }
}

#[cfg(test)]
mod tests {
    use super::Sent;
    use crate::web::route::Node;

    fn nodes(pieces: &[(&str, &str)]) -> Vec<Node> {
        let node = |(id, html): &(&str, &str)| Node {
            id: (*id).to_owned(),
            html: (*html).to_owned(),
            ..Node::default()
        };
        pieces.iter().map(node).collect()
    }

    fn sent(nodes: &[Node]) -> Vec<(&str, &str, bool)> {
        nodes.iter().map(|n| (n.id.as_str(), n.html.as_str(), n.part)).collect()
    }

    #[test]
    fn only_what_changed_is_sent_to_a_page_that_saw_the_last_sheet() {
        let mut page = Sent::default();
        let first = page.all(&nodes(&[("head", "a"), ("plan", "b"), ("notes", "c")]));
        let (second, next) = page.changed(nodes(&[("head", "a"), ("plan", "B")]), Some(first));
        assert_eq!(sent(&next), [("plan", "B", false)], "the head is as it was");
        // What was left out meanwhile is as it was sent.
        let (_, next) = page.changed(nodes(&[("plan", "B"), ("notes", "c")]), Some(second));
        assert_eq!(sent(&next), [], "nothing has changed");
        for seen in [Some(second), None] {
            let (_, next) = page.changed(nodes(&[("plan", "B")]), seen);
            assert_eq!(sent(&next), [("plan", "B", false)], "a page that saw {seen:?} gets all");
        }
    }

    /// A picture of two parts with something before, between and after them.
    fn picture(frame: &str, a: &str, b: &str) -> Vec<Node> {
        let [a, b] = [("plan-a", a), ("plan-b", b)]
            .map(|(id, says)| (id, format!("<g id=\"{id}\">{says}</g>")));
        let html = format!("<svg {frame}>{}-{}</svg>", a.1, b.1);
        let from_a = "<svg ".len() + frame.len() + 1;
        let from_b = from_a + a.1.len() + 1;
        let parts = vec![
            (a.0.to_owned(), from_a..from_a + a.1.len()),
            (b.0.to_owned(), from_b..from_b + b.1.len()),
        ];
        vec![Node { id: "plan".to_owned(), html, part: false, parts }]
    }

    #[test]
    fn of_a_picture_only_the_parts_that_changed_are_sent() {
        let mut page = Sent::default();
        let first = page.all(&picture("x", "one", "two"));
        let (second, next) = page.changed(picture("x", "one", "three"), Some(first));
        assert_eq!(
            sent(&next),
            [("plan-b", "<g id=\"plan-b\">three</g>", true)],
            "the other stands"
        );
        let (third, next) = page.changed(picture("y", "one", "four"), Some(second));
        let want = "<svg y><g data-was=\"plan-a\"></g>-<g id=\"plan-b\">four</g></svg>";
        assert_eq!(
            sent(&next),
            [("plan", want, false)],
            "another frame, and the part that stays by name"
        );
        let (_, next) = page.changed(picture("y", "one", "two"), Some(third));
        assert_eq!(sent(&next), [("plan-b", "<g id=\"plan-b\">two</g>", true)], "parts again");
        let (_, next) = page.changed(picture("z", "one", "two"), None);
        assert!(!next[0].html.contains("data-was"), "a page that saw nothing gets all: {next:?}");
    }
}
