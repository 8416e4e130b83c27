//! Lines as wide as a reader's eye likes, with a hanging indent.

/// The widest line printed. The same everywhere, so that the same design prints the same bytes.
pub(crate) const WIDTH: usize = 96;

/// A paragraph: the first line begins with `head`, all others with blanks of the same width. A
/// no-break space keeps its neighbours together.
pub(crate) fn hanging(head: &str, text: &str) -> String {
    let indent = head.chars().count();
    let mut out = String::from(head);
    let mut at = indent;
    let mut fresh = true;
    for word in text.split([' ', '\n']).filter(|w| !w.is_empty()) {
        let wide = word.chars().count();
        if !fresh && at + 1 + wide > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            at = indent;
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += wide;
        fresh = false;
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, hanging};

    #[test]
    fn no_line_is_too_wide_and_no_word_is_lost() {
        let text = "one two three four five six seven eight nine ten ".repeat(6);
        let shown = hanging("  do  ", &text);
        assert!(shown.lines().all(|l| l.chars().count() <= WIDTH), "{shown}");
        assert!(shown.lines().skip(1).all(|l| l.starts_with("      ")), "hangs: {shown}");
        let words: Vec<&str> = shown.split_whitespace().skip(1).collect();
        assert_eq!(words, text.split_whitespace().collect::<Vec<_>>(), "every word");
    }

    #[test]
    fn a_sign_stays_with_its_post() {
        let text = format!("{} A1\u{a0}+", "x".repeat(WIDTH - 3));
        let shown = hanging("", &text);
        assert!(shown.ends_with("\nA1\u{a0}+\n"), "the pair wraps together: {shown}");
    }
}
