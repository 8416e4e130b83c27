//! Published numbers, read from the tables in `data/`.
