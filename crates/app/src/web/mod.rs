//! The page: one local sheet that can be taken hold of.
//!
//! [`serve`] is the only part that waits for anything: it turns what comes in over the loopback into a
//! [`wire::Request`], lets [`gate`] judge it, and hands it to [`route::respond`], a plain function from
//! the session and a request to an answer. The truth is the text of the design file in
//! [`session::Session`]; every [`intent`] becomes a change of that text, and the sheet is drawn anew
//! from what the engine says of it.

pub(crate) mod wire;
pub(crate) mod gate;
pub(crate) mod serve;
pub(crate) mod route;
mod intent;
mod change;
mod shape;
mod work;
mod store;
mod sent;
mod brought;
mod take_away;
pub(crate) mod session;
mod sheet;
pub(crate) mod desk;

#[cfg(test)]
mod tests;
