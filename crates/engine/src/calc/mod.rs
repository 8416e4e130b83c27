//! One formula family per file.

pub mod block_resistance;
