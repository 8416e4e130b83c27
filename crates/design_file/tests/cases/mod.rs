//! Files that are broken on purpose, each with what is said of it beside it.

use std::path::{Path, PathBuf};

/// The files of a folder of cases with one of these endings, in order of their names.
pub(crate) fn cases(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(folder);
    let mut files: Vec<PathBuf> = folder
        .read_dir()
        .expect("the folder of cases is there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|p| p.extension().and_then(|e| e.to_str()).is_some_and(|e| endings.contains(&e)))
        .collect();
    files.sort();
    files
}
