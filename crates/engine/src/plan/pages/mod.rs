//! The pages of the book, in the order of hands.

pub mod ready;
pub mod dead;
pub mod old;
pub mod place;
pub mod make;
pub mod join;
pub mod feed;
pub mod energise;
pub mod prove;
pub mod finish;
pub mod trouble;
