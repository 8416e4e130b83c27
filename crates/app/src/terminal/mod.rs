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

/// Says something on the error stream. Nobody can be told when that stream is gone.
pub(crate) fn warn(text: &str) {
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
