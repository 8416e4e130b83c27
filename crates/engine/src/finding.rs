//! What the tool says about the owner's design.
