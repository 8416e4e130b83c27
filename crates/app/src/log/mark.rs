//! A name for an entry that is the same wherever the same entry is written down.

/// Start value of the hash.
const BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
/// What each byte multiplies it by.
const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;

/// The 128-bit FNV-1a hash of some bytes. It tells texts apart; it guards against nobody.
pub(crate) fn hash(bytes: &[u8]) -> u128 {
    bytes.iter().fold(BASIS, |hash, byte| (hash ^ u128::from(*byte)).wrapping_mul(PRIME))
}

/// The mark of an entry: of its text, of the mark of the entry it corrects, and of how many others
/// say exactly the same.
pub(crate) fn of(line: &str, corrects: Option<&str>, same: u32) -> String {
    let whole = format!("{line}\n{}\n{same}", corrects.unwrap_or(""));
    format!("{:032x}", hash(whole.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::{hash, of};

    #[test]
    fn the_hash_is_the_published_one() {
        // Test vectors of FNV-1a with 128 bits, from its authors' page: the empty text and "a"; from memory.
        assert_eq!(hash(b""), 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d, "nothing");
        assert_eq!(hash(b"a"), 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964, "a");
    }

    #[test]
    fn another_text_place_or_repeat_is_another_mark() {
        let marks = [of("a", None, 0), of("b", None, 0), of("a", Some("x"), 0), of("a", None, 1)];
        for (at, mark) in marks.iter().enumerate() {
            assert_eq!(mark.len(), 32, "{mark}");
            assert!(!marks[at + 1..].contains(mark), "{mark} twice");
        }
    }
}
