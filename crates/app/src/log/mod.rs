//! The log of years beside the design: a file of its own, to which is only ever added.

pub(crate) mod clock;
pub(crate) mod trouble;
pub(crate) mod mark;
pub(crate) mod line;
pub(crate) mod schema;
pub(crate) mod store;
pub(crate) mod parts;
pub(crate) mod words;
pub(crate) mod copy;
pub(crate) mod jump;
pub(crate) mod calendar;
pub(crate) mod entries;
pub(crate) mod sheet;
