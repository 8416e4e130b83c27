//! The design file on disk, what lies beside it, and nothing else.
//!
//! What was not saved lies beside the design as `NAME.unsaved` from the first change on. A file that
//! somebody else changed in the meantime is never overwritten unseen, and never without its text being
//! laid beside first. A page that only reads writes nothing at all.

use crate::failure::Failure;
use crate::files;
use crate::log::store::beside;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Names tried for a file laid beside the design.
const NAMES_TRIED: u32 = 1000;

/// Ends of the names under which the other one of a what-if lies beside the design, and whether the
/// sheet then shows the rig as it is.
const KEPT: [(&str, bool); 2] = [(".as-it-is", false), (".what-if", true)];

/// A design file that is open.
#[derive(Debug)]
pub(super) struct Store {
    path: PathBuf,
    /// As the owner named it; the log lies beside that name.
    named: PathBuf,
    read_only: bool,
    /// Its text when it was last read or written here.
    known: String,
}

/// How long the files of a log are and when they were last written; it changes with every entry.
pub(super) type LogMark = Vec<Option<(u64, SystemTime)>>;

/// What became of saving.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Saved {
    /// It is on disk.
    Done,
    /// Somebody else wrote the file; this is their text, and nothing was written.
    Changed(String),
}

impl Store {
    /// Opens a design file: the store, and the work that was not saved when it was last open.
    pub(super) fn open(path: &Path, read_only: bool) -> Result<(Self, Option<String>), Failure> {
        let known = files::read_as_it_is(path)?;
        // Behind a link lies the file that is to be written.
        let named = path.to_owned();
        let path = path.canonicalize().unwrap_or_else(|_| named.clone());
        let store = Self { path, named, read_only, known };
        let unsaved = files::read_as_it_is(&store.unsaved()).ok();
        let unsaved = unsaved.filter(|text| *text != store.known);
        Ok((store, unsaved))
    }

    /// A design that lies on no disk, and never will.
    pub(super) fn in_hand(path: &Path, text: &str) -> Self {
        let (path, named) = (path.to_owned(), path.to_owned());
        Self { path, named, read_only: true, known: text.to_owned() }
    }

    /// The text on disk, as far as it is known here.
    pub(super) fn known(&self) -> &str {
        &self.known
    }

    /// Whether nothing is written.
    pub(super) const fn is_read_only(&self) -> bool {
        self.read_only
    }

    /// Its name without folders.
    pub(super) fn file_name(&self) -> String {
        self.path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned())
    }

    /// Where it lies.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// The folder it lies in.
    pub(super) fn folder(&self) -> &Path {
        self.path.parent().unwrap_or_else(|| Path::new("."))
    }

    fn beside(&self, end: &str) -> PathBuf {
        self.folder().join(format!("{}{end}", self.file_name()))
    }

    fn unsaved(&self) -> PathBuf {
        self.beside(".unsaved")
    }

    /// Lays work that is not saved beside the design, or takes it away when there is none.
    pub(super) fn keep(&self, text: &str) -> Result<(), Failure> {
        if self.read_only {
            return Ok(());
        }
        if text == self.known {
            return files::remove(&self.unsaved());
        }
        files::write_through(&self.unsaved(), text.as_bytes())
    }

    /// The other one of a what-if that was left open, and whether the sheet showed the rig as it is.
    pub(super) fn kept(&self) -> Option<(String, bool)> {
        KEPT.into_iter()
            .find_map(|(end, shown)| Some((files::read_as_it_is(&self.beside(end)).ok()?, shown)))
    }

    /// Lays the other one of a what-if beside the design, or takes it away when there is none.
    pub(super) fn keep_other(&self, other: Option<(&str, bool)>) -> Result<(), Failure> {
        if self.read_only {
            return Ok(());
        }
        for (end, shown) in KEPT {
            match other.filter(|(_, is)| *is == shown) {
                Some((text, _)) => files::write_through(&self.beside(end), text.as_bytes())?,
                None => files::remove(&self.beside(end))?,
            }
        }
        Ok(())
    }

    /// The design file, as the owner named it.
    pub(super) fn named(&self) -> &Path {
        &self.named
    }

    /// The log beside the design, as far as can be told without reading it.
    pub(super) fn log_mark(&self) -> LogMark {
        let log = beside(&self.named);
        let mut ahead = log.clone().into_os_string();
        ahead.push("-wal");
        [log, PathBuf::from(ahead)].iter().map(|path| files::mark(path)).collect()
    }

    /// Writes the design, unless somebody else has written it meanwhile.
    pub(super) fn save(&mut self, text: &str) -> Result<Saved, Failure> {
        if self.read_only {
            return Err(Failure::only_read(&self.path));
        }
        match files::read_as_it_is(&self.path) {
            Ok(theirs) if theirs != self.known && theirs != text => {
                return Ok(Saved::Changed(theirs));
            }
            // A file that is gone is written again: nobody's text is lost by it.
            Ok(_) | Err(_) => {}
        }
        files::write_through(&self.path, text.as_bytes())?;
        text.clone_into(&mut self.known);
        files::remove(&self.unsaved())?;
        Ok(Saved::Done)
    }

    /// Lays a text beside the design under a name that is free, such as `rig.theirs.toml`.
    pub(super) fn lay_beside(&self, word: &str, text: &str) -> Result<String, Failure> {
        if self.read_only {
            return Err(Failure::only_read(&self.path));
        }
        let mut last = Failure::already_there(&self.path);
        for free in self.names(word, "toml") {
            match files::write_whole(&self.folder().join(&free), text.as_bytes(), false) {
                Ok(()) => return Ok(free),
                Err(failure) if failure.is_already_there() => last = failure,
                Err(failure) => return Err(failure),
            }
        }
        Err(last)
    }

    /// Lays a file of readings beside the design, such as `rig.readings.toml`; one that lies there
    /// already is the one that is told.
    pub(super) fn keep_readings(&self, end: &str, text: &str) -> Result<String, Failure> {
        if self.read_only {
            return Err(Failure::only_read(&self.path));
        }
        let mut last = Failure::already_there(&self.path);
        for name in self.names("readings", end) {
            let path = self.folder().join(&name);
            match files::write_whole(&path, text.as_bytes(), false) {
                Ok(()) => return Ok(name),
                Err(failure) if failure.is_already_there() => {
                    if files::read_as_it_is(&path).is_ok_and(|there| there == text) {
                        return Ok(name);
                    }
                    last = failure;
                }
                Err(failure) => return Err(failure),
            }
        }
        Err(last)
    }

    /// The file of readings beside the design that was written last: its name and its text.
    pub(super) fn kept_readings(&self) -> Option<(String, String)> {
        let kept = files::names(self.folder()).into_iter().filter(|name| {
            let end = name.rsplit('.').next().unwrap_or_default();
            self.names("readings", end).any(|one| one == *name) && matches!(end, "toml" | "csv")
        });
        let written = kept.map(|name| (files::mark(&self.folder().join(&name)).map(|m| m.1), name));
        let (_, name) = written.max()?;
        let text = files::read_as_it_is(&self.folder().join(&name)).ok()?;
        Some((name, text))
    }

    /// Names beside the design, in the order in which they are tried.
    fn names(&self, word: &str, end: &str) -> impl Iterator<Item = String> {
        let name = self.file_name();
        let stem = name.strip_suffix(".toml").unwrap_or(&name);
        let first = format!("{stem}.{word}");
        let end = end.to_owned();
        (1..=NAMES_TRIED).map(move |number| match number {
            1 => format!("{first}.{end}"),
            n => format!("{first}-{n}.{end}"),
        })
    }

    /// From now on the text on disk is this one: somebody wrote it, and it was looked at.
    pub(super) fn accept(&mut self, theirs: &str) {
        theirs.clone_into(&mut self.known);
    }
}

#[cfg(test)]
mod tests {
    use super::{Saved, Store};
    use std::fs::{read_to_string, write};
    use std::path::PathBuf;
    use tempfile::TempDir;

    fn rig(text: &str) -> (TempDir, PathBuf) {
        let folder = TempDir::new().expect("a folder");
        let path = folder.path().join("rig.toml");
        write(&path, text).expect("it can be written");
        (folder, path)
    }

    #[test]
    fn saving_writes_whole_and_takes_the_unsaved_away() {
        let (folder, path) = rig("one");
        let (mut store, unsaved) = Store::open(&path, false).expect("it is there");
        assert_eq!(unsaved, None, "nothing was left");
        store.keep("two").expect("kept");
        let beside = folder.path().join("rig.toml.unsaved");
        assert_eq!(read_to_string(&beside).ok().as_deref(), Some("two"), "a crash finds it");
        let (_, unsaved) = Store::open(&path, false).expect("opened again after a crash");
        assert_eq!(unsaved.as_deref(), Some("two"), "it is offered");
        assert_eq!(store.save("two").ok(), Some(Saved::Done), "saved");
        assert_eq!(read_to_string(&path).ok().as_deref(), Some("two"), "on disk");
        assert!(!beside.exists(), "nothing is unsaved any more");
        store.keep("three").expect("kept");
        store.keep("two").expect("undone");
        assert!(!beside.exists(), "what is as on disk is not unsaved");
    }

    #[test]
    fn a_file_that_somebody_else_wrote_is_not_overwritten() {
        let (folder, path) = rig("one");
        let (mut store, _) = Store::open(&path, false).expect("it is there");
        write(&path, "theirs").expect("somebody else");
        let saved = store.save("mine").ok();
        assert_eq!(saved, Some(Saved::Changed("theirs".to_owned())), "told, not written");
        assert_eq!(read_to_string(&path).ok().as_deref(), Some("theirs"), "theirs stands");
        let names: Vec<_> = (0..2).filter_map(|_| store.lay_beside("mine", "mine").ok()).collect();
        assert_eq!(names, ["rig.mine.toml", "rig.mine-2.toml"], "never over another");
        let laid = read_to_string(folder.path().join("rig.mine.toml")).ok();
        assert_eq!(laid.as_deref(), Some("mine"), "mine is kept");
        store.accept("theirs");
        assert_eq!(store.save("mine").ok(), Some(Saved::Done), "once it was looked at");
    }

    #[test]
    fn a_page_that_only_reads_writes_nothing() {
        let (folder, path) = rig("one");
        let (mut store, _) = Store::open(&path, true).expect("it is there");
        store.keep("two").expect("nothing to keep");
        assert!(store.save("two").is_err(), "it says so");
        assert!(store.lay_beside("mine", "two").is_err(), "nor beside it");
        let all = std::fs::read_dir(folder.path()).expect("it can be listed").count();
        assert_eq!(all, 1, "only the design lies there");
        assert_eq!(read_to_string(&path).ok().as_deref(), Some("one"), "as it was");
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link_and_rights_stay_as_they_were() {
        use std::os::unix::fs::PermissionsExt;
        let (folder, path) = rig("one");
        let rights = std::fs::Permissions::from_mode(0o600);
        std::fs::set_permissions(&path, rights).expect("own file");
        let link = folder.path().join("link.toml");
        std::os::unix::fs::symlink(&path, &link).expect("a link");
        let (mut store, _) = Store::open(&link, false).expect("it is there");
        assert_eq!(store.save("two").ok(), Some(Saved::Done), "saved");
        let linked = std::fs::symlink_metadata(&link).is_ok_and(|m| m.is_symlink());
        assert!(linked, "the link is still one");
        let mode = std::fs::metadata(&path).map_or(0, |m| m.permissions().mode() & 0o777);
        assert_eq!(mode, 0o600, "nobody else may read it now either");
    }
}
