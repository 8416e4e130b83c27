//! A line cut into its fields, and fields put into a line.

/// What is wrong, and what to write.
pub(super) type Trouble = (String, String);

/// One field, and whether it stood in quotes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Field {
    pub(super) text: String,
    pub(super) quoted: bool,
}

/// The fields of a line after those three that every entry has.
pub(super) struct Fields {
    pub(super) head: Vec<String>,
    pub(super) value: Option<String>,
    keyed: Vec<(String, String)>,
}

impl Fields {
    pub(super) fn of(fields: Vec<Field>) -> Self {
        let mut fields = fields.into_iter();
        let head = fields.by_ref().take(3).map(|f| f.text).collect();
        let value = fields.next().and_then(|f| (f.quoted || !f.text.is_empty()).then_some(f.text));
        let keyed = fields.filter(|f| f.quoted || !f.text.is_empty()).map(|f| {
            let (key, rest) = f.text.split_once(' ').unwrap_or((&f.text, ""));
            (key.to_lowercase(), rest.to_owned())
        });
        Self { head, value, keyed: keyed.collect() }
    }

    /// Takes the words after a key out of the line.
    pub(super) fn take(&mut self, key: &str) -> Option<String> {
        let at = self.keyed.iter().position(|k| k.0 == key)?;
        Some(self.keyed.remove(at).1)
    }

    /// A field that nobody took.
    pub(super) fn left(&self) -> Option<String> {
        let value = self.value.clone();
        value.or_else(|| self.keyed.first().map(|(key, rest)| format!("{key} {rest}")))
    }
}

/// Cuts a line at its commas.
pub(super) fn split(line: &str) -> Result<Vec<Field>, Trouble> {
    let mut fields = Vec::new();
    let mut rest = line;
    loop {
        let (field, after) = first(rest)?;
        fields.push(field);
        match after {
            Some(more) => rest = more,
            None => return Ok(fields),
        }
    }
}

/// The field a text begins with, and what stands after its comma.
fn first(text: &str) -> Result<(Field, Option<&str>), Trouble> {
    let Some(inside) = text.trim_start().strip_prefix('"') else {
        let (bare, after) = match text.split_once(',') {
            Some((bare, after)) => (bare, Some(after)),
            None => (text, None),
        };
        return Ok((Field { text: plain(bare.trim()), quoted: false }, after));
    };
    let mut said = String::new();
    let mut rest = inside;
    loop {
        let Some((before, after)) = rest.split_once('"') else {
            let says = format!("The quote that begins at \"{inside}\" is never closed.");
            return Err((says, "Close it with a double quote.".to_owned()));
        };
        said.push_str(before);
        if let Some(more) = after.strip_prefix('"') {
            said.push('"');
            rest = more;
            continue;
        }
        let after = after.trim_start();
        let field = Field { text: plain(&said), quoted: true };
        return match (after.is_empty(), after.strip_prefix(',')) {
            (true, _) => Ok((field, None)),
            (false, Some(more)) => Ok((field, Some(more))),
            (false, None) => Err((
                format!("\"{after}\" stands behind a closed quote."),
                "Put a comma after the quote, or double the quote inside it.".to_owned(),
            )),
        };
    }
}

/// A field as it goes into a line: line ends as `\n`, quotes round what needs them.
pub(super) fn quoted(field: &Field) -> String {
    let text = field.text.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r");
    let needs = field.quoted || text.contains([',', '"']) || text.trim() != text;
    if needs { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// Takes the backslashes back.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        if letter != '\\' {
            out.push(letter);
            continue;
        }
        match letters.next() {
            Some('n') => out.push('\n'),
            Some('r') => out.push('\r'),
            Some('\\') => out.push('\\'),
            Some(other) => out.extend(['\\', other]),
            None => out.push('\\'),
        }
    }
    out
}
