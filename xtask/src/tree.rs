//! The tracked files of the project.

use crate::shell::{self, Line};
use std::path::Path;

/// A tracked text file.
pub(crate) struct File {
    /// Path from the root, with forward slashes.
    pub(crate) path: String,
    /// Its text; empty when it is not text.
    pub(crate) text: String,
    /// Its size in bytes.
    pub(crate) bytes: u64,
}

/// Every file git tracks, and every new file it does not ignore.
pub(crate) fn files() -> Result<Vec<File>, String> {
    let list =
        Line::new("git", &["ls-files", "--cached", "--others", "--exclude-standard"]).output()?;
    let root = shell::root();
    let mut files = Vec::new();
    for path in list.lines() {
        let full = root.join(path);
        let Ok(bytes) = std::fs::read(&full) else {
            continue; // Deleted in the working tree and not yet committed.
        };
        let size = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        let text = String::from_utf8(bytes).unwrap_or_default();
        files.push(File { path: path.to_owned(), text, bytes: size });
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(files)
}

/// The text of one file under the root.
pub(crate) fn text(path: &str) -> Result<String, String> {
    std::fs::read_to_string(shell::root().join(path)).map_err(|e| format!("{path}: {e}"))
}

/// Writes a file under the root, making its folder.
pub(crate) fn write(path: &str, text: &str) -> Result<(), String> {
    let full = shell::root().join(path);
    if let Some(folder) = full.parent() {
        std::fs::create_dir_all(folder).map_err(|e| format!("{path}: {e}"))?;
    }
    std::fs::write(full, text).map_err(|e| format!("{path}: {e}"))
}

/// Whether a path has this ending.
pub(crate) fn ends(path: &str, extension: &str) -> bool {
    Path::new(path).extension().is_some_and(|e| e.eq_ignore_ascii_case(extension))
}
