//! The words of a page as a reader sees them.

/// What stands in a text, with its tags taken out and its escapes undone.
pub(crate) fn plain(html: &str) -> String {
    let mut out = String::with_capacity(html.len());
    let mut in_tag = false;
    for sign in html.chars() {
        match sign {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ if !in_tag => out.push(sign),
            _ => {}
        }
    }
    out.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}
