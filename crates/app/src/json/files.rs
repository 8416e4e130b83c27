//! What a word that writes files says as JSON.

use serde::Serialize;

/// Files that were written.
#[derive(Debug, Serialize)]
pub(crate) struct Files {
    /// Their paths, in the order of writing.
    pub(crate) files: Vec<String>,
    /// How many STOP findings stand at the stage; absent where no stage was looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) stop_count: Option<usize>,
}
