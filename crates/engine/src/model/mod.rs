//! The design as data: what the owner said, and nothing that can be derived from it.
//!
//! Everything optional is `None` when the owner did not say; the report lists what was assumed.

pub mod as_built;
pub mod bank;
pub mod block;
pub mod design;
pub mod device;
pub mod enclosure;
pub mod hold;
pub mod lead;
pub mod load;
pub mod mains;
pub mod obstacle;
pub mod part;
pub mod rig;
pub mod source;
pub mod stock;
pub mod vehicle;
