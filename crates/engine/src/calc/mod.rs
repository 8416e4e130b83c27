//! One formula family per file.
