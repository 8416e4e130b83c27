//! Bank and array sizes by the steps of four handbooks, each kept apart from the others.

use crate::number::{exp, ln};
use crate::tables::{Sourced, Tables};
use crate::units::Temperature;

/// Bank by days without sun, one depth and one temperature factor: the simplified method.
///
/// # Formula
/// C = E n f/(d U)
/// # Symbols
/// - `daily_wh`: E [Wh]
/// - `days`: n
/// - `depth`: d, greatest depth of discharge [1]
/// - `factor`: f, for cold [1]
/// - `volts`: U [V]
/// - returns C [Ah]
/// # Valid
/// Any chemistry, with its own depth and factor.
/// # Source
/// offgrid-blog, read; the same steps in three other worked examples
/// # Checked by
/// WE01, WE02, WE04, WE05, WE06
#[must_use]
pub fn simplified_ah(daily_wh: f64, days: f64, depth: f64, factor: f64, volts: f64) -> f64 {
    daily_wh * days / depth * factor / volts
}

/// What the steps of IEEE 1013 are given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DailyLoad {
    /// Amp-hours a day at the posts.
    pub daily_ah: f64,
    /// Days without sun.
    pub days: f64,
    /// Coldest the acid gets.
    pub coldest: Temperature,
}

/// The steps of IEEE 1013, one figure each [Ah].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ieee1013 {
    /// Daily load times days.
    pub unadjusted: f64,
    /// For the greatest depth.
    pub for_depth: f64,
    /// For the greatest daily depth.
    pub for_daily_depth: f64,
    /// For the end of life.
    pub for_end_of_life: f64,
    /// Factor for the cold.
    pub factor: f64,
    /// The bank.
    pub size: f64,
}

/// Bank by IEEE 1013: the largest of three demands, times cold and margin.
///
/// # Formula
/// C = max(L n/0.8, L/0.2, L n/0.8) f(T) 1.10
/// # Symbols
/// - `load`: L daily amp-hours, n days, T coldest
/// - returns each step [Ah]
/// # Valid
/// Lead, stand-alone solar. The cold counts below 25 C only. The hour rate of the cell must then be read at
/// size over the largest running current.
/// # Source
/// ieee-1013: contents and definitions read, formulas recalled; factor ieee-485, recalled
/// # Checked by
/// O120, an example of our own by the recalled steps: it cannot detect a step remembered wrongly
#[must_use]
pub fn ieee_1013(tables: &Tables, load: DailyLoad) -> Option<Sourced<Ieee1013>> {
    let limit = |id: &str| tables.limits.value(id);
    let depth = limit("ieee-1013-depth-max");
    let unadjusted = load.daily_ah * load.days;
    let for_depth = unadjusted / depth.value;
    let for_daily_depth = load.daily_ah / limit("ieee-1013-daily-depth-max").value;
    let for_end_of_life = unadjusted / limit("ieee-1013-end-of-life").value;
    let largest = for_depth.max(for_daily_depth).max(for_end_of_life);
    let factor = tables.battery.size_factor(load.coldest)?.value.max(1.0);
    let size = largest * factor * limit("ieee-1013-margin").value;
    let steps = Ieee1013 { unadjusted, for_depth, for_daily_depth, for_end_of_life, factor, size };
    Some(Sourced::new(steps, depth.cite))
}

/// One period of a duty cycle: amps and hours.
pub type Period = (f64, f64);

/// Amp-hours at the 20 h rate that each section of a duty cycle asks, by IEEE 485.
///
/// # Formula
/// Sn = sum over i up to n of (Ai - Ah) K(t), t from the start of period i to the end of section n;
/// K(t) = C20/I(t) from the table of rates
/// # Symbols
/// - `periods`: Ai and how long; Ah is that of the period before [A], [h]
/// - `rates`: hours and amp-hours of one block; the row of 20 h gives C20
/// - returns Sn [Ah]
/// # Valid
/// Lead; times outside the table hold its end capacity. Made for hours, stretched to days here.
/// # Source
/// ieee-485, recalled; the axis of its example read in doe-hdbk-1084
/// # Checked by
/// O121, an example of our own
#[must_use]
pub fn ieee_485_sections(periods: &[Period], rates: &[(f64, f64)]) -> Vec<f64> {
    let Some(label) = rates.iter().find(|r| (r.0 - 20.0).abs() < 1e-9) else {
        return Vec::new();
    };
    let factor = |hours: f64| label.1 / amps_for(rates, hours);
    let ends: Vec<f64> = periods
        .iter()
        .scan(0.0, |end, p| {
            *end += p.1;
            Some(*end)
        })
        .collect();
    let section = |n: usize| {
        let step = |i: usize| {
            let before = if i == 0 { 0.0 } else { periods[i - 1].0 };
            let start = if i == 0 { 0.0 } else { ends[i - 1] };
            (periods[i].0 - before) * factor(ends[n] - start)
        };
        (0..=n).map(step).sum()
    };
    (0..periods.len()).map(section).collect()
}

/// The current that empties the block of the table in a time: ln I straight against ln t.
fn amps_for(rates: &[(f64, f64)], hours: f64) -> f64 {
    let (Some(first), Some(last)) = (rates.first(), rates.last()) else {
        return f64::NAN;
    };
    if hours <= first.0 {
        return first.1 / hours;
    }
    for pair in rates.windows(2) {
        let ((t1, c1), (t2, c2)) = (pair[0], pair[1]);
        if hours <= t2 {
            let share = ln(hours / t1) / ln(t2 / t1);
            return exp(ln(c1 / t1) + share * ln((c2 / t2) / (c1 / t1)));
        }
    }
    last.1 / hours
}

/// Bank by IEEE 485: the largest section, times cold, margin and ageing.
///
/// # Formula
/// C = max(Sn) f(T) 1.10 1.25
/// # Symbols
/// - `sections`: Sn [Ah]
/// - `coldest`: T
/// - returns C [Ah]
/// # Valid
/// Lead; a random load, where there is one, is added to the largest section first.
/// # Source
/// ieee-485, recalled
/// # Checked by
/// O121, an example of our own
#[must_use]
pub fn ieee_485_ah(
    tables: &Tables,
    sections: &[f64],
    coldest: Temperature,
) -> Option<Sourced<f64>> {
    let largest = sections.iter().copied().fold(0.0, f64::max);
    let factor = tables.battery.size_factor(coldest)?;
    let margin = tables.limits.value("ieee-485-margin").value;
    let ageing = tables.limits.value("ieee-485-ageing").value;
    Some(factor.map(|f| largest * f * margin * ageing))
}

/// Bank by the Sandia worksheets of 1987: the corrected daily load, and the amp-hours required.
///
/// # Formula
/// Lc = L/(0.98 0.90); C = Lc n/(d t)
/// # Symbols
/// - `daily_ah`: L [Ah]
/// - `days`: n days of storage
/// - `depth`: d, greatest depth [1]
/// - `derate`: t, share of capacity left in the cold [1]
/// - returns Lc and C [Ah]
/// # Valid
/// Lead, stand-alone solar.
/// # Source
/// sand87-7023 sheets 1 and 3, recalled; the document was not read
/// # Checked by
/// O122, an example of our own
#[must_use]
pub fn sandia_1987(
    tables: &Tables,
    daily_ah: f64,
    days: f64,
    depth: f64,
    derate: f64,
) -> Sourced<(f64, f64)> {
    let wire = tables.limits.value("sand87-wire");
    let corrected = daily_ah / (wire.value * tables.limits.value("sand87-battery").value);
    Sourced::new((corrected, corrected * days / (depth * derate)), wire.cite)
}

/// Strings of panels by IEEE 1562, the sun-hour method.
///
/// # Formula
/// n = 1.2 L/((1 - 0.15) h Imp)
/// # Symbols
/// - `daily_ah`: L [Ah]
/// - `sun_h`: h, sun hours of the worst month
/// - `working_a`: Imp of one string [A]
/// - returns n, to be rounded up
/// # Valid
/// Loads that may sit out a dull week; critical ones ask a third more.
/// # Source
/// ieee-1562: contents read, formula and figures recalled with low confidence
/// # Checked by
/// O123, an example of our own
#[must_use]
pub fn ieee_1562_strings(
    tables: &Tables,
    daily_ah: f64,
    sun_h: f64,
    working_a: f64,
) -> Sourced<f64> {
    let losses = tables.limits.value("ieee-1562-losses").value;
    let ratio = tables.limits.value("ieee-1562-ratio");
    ratio.map(|r| r * daily_ah / ((1.0 - losses) * sun_h * working_a))
}

#[cfg(test)]
mod tests {
    use super::{
        DailyLoad, ieee_485_ah, ieee_485_sections, ieee_1013, ieee_1562_strings, sandia_1987,
        simplified_ah,
    };
    use crate::tables::Tables;
    use crate::tables::oracles::battery_oracle;
    use crate::units::Temperature;

    fn tables() -> Tables {
        Tables::load().expect("the tables are well formed")
    }

    #[test]
    fn the_published_examples_of_the_simplified_steps() {
        for id in ["WE01", "WE02"] {
            let row = battery_oracle(id, "size");
            let of = |name: &str| row.input(name);
            row.check(simplified_ah(
                of("wh_day"),
                of("days"),
                of("depth"),
                of("factor"),
                of("volts"),
            ));
        }
        let row = battery_oracle("WE01", "asked");
        row.check(simplified_ah(row.input("wh_day"), row.input("days"), 1.0, 1.0, 1.0));
        let deep = battery_oracle("WE01", "deep");
        deep.check(simplified_ah(deep.input("wh_day"), deep.input("days"), 0.5, 1.0, 1.0));
        battery_oracle("WE04", "deep").check(simplified_ah(500.0, 1.0, 0.5, 1.0, 1.0));
        battery_oracle("WE04", "size").check(simplified_ah(500.0, 1.0, 0.5, 1.65, 1.0));
        // A loss of a fifth added to the load: 1 + 0.2.
        let row = battery_oracle("WE05", "size");
        row.check(simplified_ah(
            row.input("wh_day"),
            row.input("days"),
            1.0,
            1.0 + row.input("loss"),
            12.0,
        ));
        battery_oracle("WE06", "size").check(simplified_ah(300.0, 2.0, 0.8, 1.0, 12.0));
        // The stationary chain: growth and contingency on the load, then age, cold and rate.
        let row = battery_oracle("WE07", "size");
        let of = |name: &str| row.input(name);
        let factor = of("ka") * of("kt") * of("kc");
        let load = of("vah") * of("growth") * of("contingency");
        row.check(simplified_ah(load, 1.0, of("depth"), factor, of("volts")));
        battery_oracle("WE26", "factor").check(25.0 / 60.0);
    }

    #[test]
    fn ieee_1013_of_our_own_example() {
        let coldest = Temperature::fahrenheit(50.0);
        let load = DailyLoad { daily_ah: 95.0, days: 3.0, coldest };
        let steps = ieee_1013(&tables(), load).expect("a factor").value;
        battery_oracle("O120", "size").check(steps.size);
        battery_oracle("O120", "rate").check(steps.size / 25.0);
        // Hand worked: 95 x 3 = 285; 285/0.8 = 356.25; 95/0.2 = 475.
        assert!((steps.unadjusted - 285.0).abs() < 1e-9, "{steps:?}");
        assert!((steps.for_depth - 356.25).abs() < 1e-9, "{steps:?}");
        assert!((steps.for_daily_depth - 475.0).abs() < 1e-9, "{steps:?}");
    }

    #[test]
    fn ieee_485_of_our_own_example() {
        let t = tables();
        let curve = t.battery.rate_curves().iter().find(|c| c.name.starts_with("6 V GC2"));
        let rates = &curve.expect("the table").rows;
        let sections = ieee_485_sections(&[(40.0, 2.0), (10.0, 6.0), (25.0, 2.0)], rates);
        for (name, got) in ["section 1", "section 2", "section 3"].iter().zip(&sections) {
            battery_oracle("O121", name).check(*got);
        }
        let size = ieee_485_ah(&t, &sections, Temperature::fahrenheit(50.0)).expect("a factor");
        battery_oracle("O121", "size").check(size.value);
    }

    #[test]
    fn sandia_and_ieee_1562_of_our_own_examples() {
        let t = tables();
        let (corrected, size) = sandia_1987(&t, 95.0, 3.0, 0.5, 0.84).value;
        battery_oracle("O122", "corrected").check(corrected);
        battery_oracle("O122", "size").check(size);
        battery_oracle("O123", "strings").check(ieee_1562_strings(&t, 95.0, 4.6, 5.6).value);
    }
}
