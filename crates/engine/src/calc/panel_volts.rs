//! Volts of a solar panel in the cold and in the heat, by the straight line of its datasheet.

/// Volts of one panel at a cell temperature, from its volts at 25 C.
///
/// # Formula
/// V = V25 + Voc25 b (T - 25)
/// # Symbols
/// - `at_25_v`: V25, open or working volts at 25 C [V]
/// - `open_25_v`: Voc25, open volts at 25 C [V]
/// - `per_kelvin`: b, change of the open volts per kelvin, as a share, negative [1/K]
/// - `cell_c`: T, temperature of the cells [C]
/// - returns V [V]
/// # Valid
/// The straight line of the datasheet. For working volts it takes the volts that the open volts
/// lose; a real panel's working volts fall a little more, so a margin stays with the rule.
/// # Source
/// pv-cold-note, the datasheet's coefficient, read; the step to working volts practice
/// # Checked by
/// `the_puzzle_of_the_cabin`; these points cannot detect a coefficient printed for the power
#[must_use]
pub fn panel_volts(at_25_v: f64, open_25_v: f64, per_kelvin: f64, cell_c: f64) -> f64 {
    at_25_v + open_25_v * per_kelvin * (cell_c - 25.0)
}

#[cfg(test)]
mod tests {
    use super::panel_volts;

    #[test]
    fn the_puzzle_of_the_cabin() {
        // Demo figures of the cabin: 41.6 V, -0.25 %/K, at -35 C: 2, 3, 4 in series give 96, 143.5
        // and 191 V; half a volt is their rounding.
        let cold = panel_volts(41.6, 41.6, -0.0025, -35.0);
        for (count, want) in [(2.0, 96.0), (3.0, 143.5), (4.0, 191.0)] {
            assert!((cold * count - want).abs() < 0.5, "{count} in series: {}", cold * count);
        }
        // The boat: 37.5 V, -0.27 %/K at -10 C: 3 in series 123 V, 4 in series 164 V.
        let cold = panel_volts(37.5, 37.5, -0.0027, -10.0);
        assert!((cold * 3.0 - 123.0).abs() < 0.5, "three: {}", cold * 3.0);
        assert!((cold * 4.0 - 164.0).abs() < 0.5, "four: {}", cold * 4.0);
        // The trailer: 24.3 V, -0.28 %/K at -25 C: 2 in series 55.4 V.
        let cold = panel_volts(24.3, 24.3, -0.0028, -25.0);
        assert!((cold * 2.0 - 55.4).abs() < 0.1, "two: {}", cold * 2.0);
        // Working volts of two of the cabin's panels with cells at 70 C; the demo's 58 V takes a
        // panel that loses more, the straight line of its open volts gives 59.6.
        let hot = panel_volts(34.5, 41.6, -0.0025, 70.0) * 2.0;
        assert!((hot - 59.64).abs() < 0.01, "hot: {hot}");
    }
}
