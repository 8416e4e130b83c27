//! Conductor sizes: a gauge number of building wire, the same number of boat or battery cable
//! (less copper), or square millimetres.

use std::fmt;

/// A wire gauge: 4/0 is -3, 3/0 is -2, 2/0 is -1, 1/0 is 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gauge(i8);

impl Gauge {
    /// A gauge by its number in the drawing law, where 1/0 is 0 and 4/0 is -3.
    #[must_use]
    pub const fn number(n: i8) -> Option<Self> {
        if -3 <= n && n <= 36 { Some(Self(n)) } else { None }
    }

    /// The number in the drawing law.
    #[must_use]
    pub const fn as_number(self) -> i8 {
        self.0
    }

    /// Reads "2", "1/0", "4/0" or "0000".
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some(aughts) = text.strip_suffix("/0") {
            let n: i8 = aughts.parse().ok()?;
            return if (1..=4).contains(&n) { Self::number(1 - n) } else { None };
        }
        if !text.is_empty() && text.bytes().all(|b| b == b'0') {
            let n = i8::try_from(text.len()).ok()?;
            return if n <= 4 { Self::number(1 - n) } else { None };
        }
        let n: i8 = text.parse().ok()?;
        if n < 1 { None } else { Self::number(n) }
    }
}

impl fmt::Display for Gauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 <= 0 { write!(f, "{}/0", 1 - self.0) } else { write!(f, "{}", self.0) }
    }
}

/// Hundredths of a square millimetre, so that sizes compare exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MetricSize(u32);

impl MetricSize {
    /// A metric size; refuses nothing and absurdly large sizes.
    #[must_use]
    pub fn mm2(value: f64) -> Option<Self> {
        if !(0.05..=1000.0).contains(&value) {
            return None;
        }
        let hundredths = (value * 100.0).round();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 5 and 100 000 by the check above"
        )]
        let whole = hundredths as u32;
        Some(Self(whole))
    }

    /// Square millimetres.
    #[must_use]
    pub fn as_mm2(self) -> f64 {
        f64::from(self.0) / 100.0
    }
}

/// The size printed on a jacket, with the family that says how much copper it means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ConductorSize {
    /// AWG copper: building wire and welding cable drawn to the gauge law.
    Awg(Gauge),
    /// Boat or battery cable to SAE areas: the same number, 3 to 11 % less copper.
    Boat(Gauge),
    /// Metric, IEC 60228 class 5.
    Metric(MetricSize),
}

impl fmt::Display for ConductorSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(g) => write!(f, "{g} AWG"),
            Self::Boat(g) => write!(f, "{g} AWG boat cable"),
            Self::Metric(m) => {
                let text = format!("{:.2}", m.as_mm2());
                let text = text.trim_end_matches('0').trim_end_matches('.');
                write!(f, "{text} mm²")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ConductorSize, Gauge, MetricSize};

    #[test]
    fn gauges_read_as_printed_on_jackets() {
        for (text, number, shown) in
            [("2/0", -1, "2/0"), ("0000", -3, "4/0"), ("0", 0, "1/0"), ("14", 14, "14")]
        {
            let gauge = Gauge::from_text(text).expect("a real gauge");
            assert_eq!(gauge.as_number(), number, "{text}");
            assert_eq!(gauge.to_string(), shown, "{text}");
        }
        for text in ["5/0", "-1", "99", "", "2/1", "00000"] {
            assert_eq!(Gauge::from_text(text), None, "{text} is no gauge");
        }
    }

    #[test]
    fn sizes_show_their_family() {
        let metric = MetricSize::mm2(2.5).expect("a real size");
        assert_eq!(ConductorSize::Metric(metric).to_string(), "2.5 mm²", "metric");
        let two = Gauge::from_text("2").expect("a real gauge");
        assert_ne!(ConductorSize::Awg(two), ConductorSize::Boat(two), "not the same copper");
    }
}
