//! Cutting pieces from the cable in hand and the lengths sold.
