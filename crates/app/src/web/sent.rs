//! What the page in the browser shows already, so that only what changed is sent.

use super::route::Node;
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
    /// those that changed are sent. A page that saw another sheet last, as a second window would, gets
    /// everything.
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
        let html = format!("<svg {frame}>{a}-{b}</svg>");
        let from_a = "<svg ".len() + frame.len() + 1;
        let from_b = from_a + a.len() + 1;
        let parts = vec![
            ("plan-a".to_owned(), from_a..from_a + a.len()),
            ("plan-b".to_owned(), from_b..from_b + b.len()),
        ];
        vec![Node { id: "plan".to_owned(), html, part: false, parts }]
    }

    #[test]
    fn of_a_picture_only_the_parts_that_changed_are_sent() {
        let mut page = Sent::default();
        let first = page.all(&picture("x", "one", "two"));
        let (second, next) = page.changed(picture("x", "one", "three"), Some(first));
        assert_eq!(sent(&next), [("plan-b", "three", true)], "the other part stands");
        let (third, next) = page.changed(picture("y", "one", "three"), Some(second));
        assert_eq!(next.len(), 1, "another frame is another picture");
        assert!(next[0].id == "plan" && !next[0].part, "sent whole");
        let (_, next) = page.changed(picture("y", "one", "two"), Some(third));
        assert_eq!(sent(&next), [("plan-b", "two", true)], "parts again");
    }
}
