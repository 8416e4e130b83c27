//! What a reader at a terminal sees.

pub(crate) mod style;
pub(crate) mod wrap;
pub(crate) mod table;
pub(crate) mod findings;

use crate::failure::Failure;
use std::io::{ErrorKind, Write};

/// Prints a finished answer. A reader that hung up, such as `head`, is no failure.
pub(crate) fn say(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        Err(error) => Err(Failure::not_printed(&error)),
    }
}

/// Adds a part under its title, with a line of air above; a part that says nothing is left out.
pub(crate) fn add_part(text: &mut String, style: style::Style, title: &str, body: &str) {
    if !body.is_empty() {
        text.push('\n');
        text.push_str(&style.bold(title));
        text.push('\n');
        text.push_str(body);
    }
}

/// Says something on the error stream. Nobody can be told when that stream is gone.
pub(crate) fn warn(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
