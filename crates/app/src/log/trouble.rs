//! What is wrong with a log's file or with an entry, in words; there is one constructor per message.

use crate::failure::Failure;
use std::path::Path;

/// Why the log's file cannot be used. Whatever is wrong, the file stays as it is.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// It cannot be opened, or the disk refused.
    Disk(rusqlite::Error),
    /// It is no database.
    NotADatabase,
    /// It is a database of something else.
    Foreign,
    /// A newer program wrote it, in this form.
    Newer(i32),
    /// Something in it is broken.
    Broken(String),
    /// Another program kept it to itself for too long.
    Busy,
    /// A copy corrects something that is neither in it nor in the log.
    Orphan(String),
    /// An entry is to be corrected that is not there.
    NoEntry(i64),
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::NotADatabase,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DatabaseCorrupt) => Self::Broken(error.to_string()),
            _ => Self::Disk(error),
        }
    }
}

impl Trouble {
    /// What is, in one sentence, and what to do.
    pub(crate) fn words(&self, path: &Path) -> (String, String) {
        let name = path.display();
        let kept = "Nothing was changed.";
        match self {
            Self::Disk(error) => (
                format!("The log {name} cannot be used: {}.", disk_words(error)),
                "Check that you may write to that folder and that the disk is not full.".to_owned(),
            ),
            Self::NotADatabase => (
                format!("{name} is not a log: it is some other kind of file. {kept}"),
                format!("Move it elsewhere; the log of the rig takes the name {name} for itself."),
            ),
            Self::Foreign => (
                format!("{name} is a database, but not a log of this program. {kept}"),
                format!("Move it elsewhere; the log of the rig takes the name {name} for itself."),
            ),
            Self::Newer(form) => (
                format!(
                    "The log {name} was written by a newer Bankwright (form {form}; this one knows \
                     form {}). {kept}",
                    super::schema::VERSION
                ),
                "Update this program, or go on with the newer one.".to_owned(),
            ),
            Self::Broken(what) => (
                format!("The log {name} is damaged: {what}. {kept}"),
                "Put a copy of it away first. Then take back your last `log export` or your last \
                 copy of the file."
                    .to_owned(),
            ),
            Self::Busy => (
                format!("The log {name} is in use by another program for too long. {kept}"),
                "Close the other program, then try again.".to_owned(),
            ),
            Self::Orphan(line) => (
                format!(
                    "\"{line}\" corrects an entry that is neither in the file nor in the log {name}. \
                     {kept}"
                ),
                "Take in the whole export, or clear the row's fields mark and corrects to add it \
                 as a new entry."
                    .to_owned(),
            ),
            Self::NoEntry(id) => (
                format!("The log {name} has no entry {id}. {kept}"),
                "`log RIG show --all` lists every entry with its number.".to_owned(),
            ),
        }
    }

    /// The failure of a word that needed the log.
    pub(crate) fn at(&self, path: &Path) -> Failure {
        let (says, hint) = self.words(path);
        Failure::log(says, hint)
    }
}

fn disk_words(error: &rusqlite::Error) -> String {
    use rusqlite::ErrorCode;
    match error.sqlite_error_code() {
        Some(ErrorCode::CannotOpen) => "it cannot be opened".to_owned(),
        Some(ErrorCode::PermissionDenied) => "this is not allowed here".to_owned(),
        Some(ErrorCode::ReadOnly) => "it can only be read".to_owned(),
        Some(ErrorCode::DiskFull) => "the disk is full".to_owned(),
        Some(ErrorCode::SystemIoFailure) => "the disk does not answer as it should".to_owned(),
        _ => error.to_string(),
    }
}
