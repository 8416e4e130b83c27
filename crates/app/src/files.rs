//! The only place that touches the disk.

use crate::failure::Failure;
use std::fs;
use std::io::Write;
use std::path::Path;
use tempfile::NamedTempFile;

/// Reads a text file.
pub(crate) fn read_text(path: &Path) -> Result<String, Failure> {
    let text = fs::read_to_string(path).map_err(|e| Failure::unreadable(path, &e))?;
    // Some editors begin a text with a byte order mark; it is no part of the design.
    Ok(text.strip_prefix('\u{feff}').map_or(text.clone(), str::to_owned))
}

/// Reads a text file with every byte that is in it, so that it can be written back as it was.
pub(crate) fn read_as_it_is(path: &Path) -> Result<String, Failure> {
    fs::read_to_string(path).map_err(|e| Failure::unreadable(path, &e))
}

/// The folder that the program was started in.
pub(crate) fn here() -> Result<std::path::PathBuf, Failure> {
    std::env::current_dir().map_err(|e| Failure::unreadable(Path::new("."), &e))
}

/// Takes a file away; one that is not there is away already.
pub(crate) fn remove(path: &Path) -> Result<(), Failure> {
    match fs::remove_file(path) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(Failure::unwritable(path, &e)),
        Ok(()) | Err(_) => Ok(()),
    }
}

/// The names of the files in a folder, in order; none where it cannot be listed.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let Ok(all) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let name = |entry: fs::DirEntry| entry.file_name().into_string().ok();
    let mut names: Vec<String> = all.filter_map(|entry| name(entry.ok()?)).collect();
    names.sort();
    names
}

/// Length of a file and when it was last written; `None` where there is none.
pub(crate) fn mark(path: &Path) -> Option<(u64, std::time::SystemTime)> {
    let there = fs::metadata(path).ok()?;
    Some((there.len(), there.modified().ok()?))
}

/// Writes a file whole or not at all, over the one that is there and with its rights, and waits until
/// the disk has it: neither a crash nor a power cut loses both the old text and the new.
pub(crate) fn write_through(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |e: &std::io::Error| Failure::unwritable(path, e);
    let folder = path.parent().unwrap_or_else(|| Path::new("."));
    let mut file = NamedTempFile::new_in(folder).map_err(|e| failed(&e))?;
    file.write_all(bytes).map_err(|e| failed(&e))?;
    match fs::metadata(path) {
        Ok(there) => file.as_file().set_permissions(there.permissions()),
        Err(_) => allow_readers(&file),
    }
    .map_err(|e| failed(&e))?;
    file.as_file().sync_all().map_err(|e| failed(&e))?;
    file.persist(path).map(drop).map_err(|e| failed(&e.error))
}

/// Reads a file of readings.
pub(crate) fn read_readings(path: &Path) -> Result<String, Failure> {
    fs::read_to_string(path).map_err(|e| Failure::no_readings(path, &e))
}

/// Writes a print, over an older one of the same kind but over nothing else. `mark` stands in every
/// print of this kind.
pub(crate) fn write_print(
    path: &Path,
    text: &str,
    (what, mark): (&str, &str),
) -> Result<(), Failure> {
    if path.exists() {
        let older = fs::read_to_string(path).unwrap_or_default();
        if !older.contains(mark) {
            return Err(Failure::not_ours(path, what));
        }
    }
    write_whole(path, text.as_bytes(), true)
}

/// Writes a file for an owner to fill in; one that is there is never touched.
pub(crate) fn write_blank(path: &Path, text: &str) -> Result<(), Failure> {
    if path.exists() {
        return Err(Failure::filled_in_already(path));
    }
    write_whole(path, text.as_bytes(), false)
}

/// Makes a folder, and those above it, where it is not there yet.
pub(crate) fn make_folder(path: &Path) -> Result<(), Failure> {
    fs::create_dir_all(path).map_err(|e| Failure::unwritable(path, &e))
}

/// Writes a file whole or not at all, so that a crash never leaves half a design.
pub(crate) fn write_whole(path: &Path, bytes: &[u8], overwrite: bool) -> Result<(), Failure> {
    let failed = |e: &std::io::Error| Failure::unwritable(path, e);
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = NamedTempFile::new_in(folder).map_err(|e| failed(&e))?;
    file.write_all(bytes).map_err(|e| failed(&e))?;
    allow_readers(&file).map_err(|e| failed(&e))?;
    if overwrite {
        return file.persist(path).map(drop).map_err(|e| failed(&e.error));
    }
    match file.persist_noclobber(path) {
        Ok(_) => Ok(()),
        Err(e) if e.error.kind() == std::io::ErrorKind::AlreadyExists => {
            Err(Failure::already_there(path))
        }
        Err(e) => Err(failed(&e.error)),
    }
}

/// A temporary file is its owner's alone; a design is an ordinary file that others may read.
#[cfg(unix)]
fn allow_readers(file: &NamedTempFile) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.as_file().set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn allow_readers(_file: &NamedTempFile) -> std::io::Result<()> {
    Ok(())
}
