//! A small generator, so that the same sheets are written everywhere.

/// A state that a seed begins.
pub(crate) struct Dice(u64);

impl Dice {
    /// Dice for a seed and a use, so that two uses of one seed have nothing in common.
    pub(crate) fn new(seed: u64, used_for: u64) -> Self {
        let mixed =
            seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ used_for.wrapping_mul(0xD1B5_4A32_D192_ED03);
        let mut dice = Self(mixed | 1);
        for _ in 0..8 {
            dice.part();
        }
        dice
    }

    /// A number from zero up to one.
    pub(crate) fn part(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        // The upper 32 bits are a whole number that f64 holds exactly.
        f64::from(u32::try_from(self.0 >> 32).expect("32 bits are left")) / 4_294_967_296.0
    }

    /// A number between two others, evenly.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.part()
    }

    /// A whole number under `count`.
    pub(crate) fn under(&mut self, count: usize) -> usize {
        let wide = u64::try_from(count).expect("a count fits").max(1);
        self.part();
        usize::try_from((self.0 >> 20) % wide).expect("smaller than a count")
    }
}
