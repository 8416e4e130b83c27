//! What many stays say together: nights by certainty, month by month.

use super::run::{StayEnd, StayYears, WeekHour};

/// Hours of a day.
const DAY_H: f64 = 24.0;

/// Nights that are reached in so many of a hundred years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sure {
    /// In 50.
    pub in_50: f64,
    /// In 90.
    pub in_90: f64,
    /// In 95.
    pub in_95: f64,
}

impl Sure {
    /// From the ends of stays; nothing from none.
    #[must_use]
    pub fn of(ends: &[StayEnd]) -> Self {
        let nights = |percent: usize| {
            reached(ends.iter().map(|e| e.hours / DAY_H).collect(), percent).unwrap_or(0.0)
        };
        Self { in_50: nights(50), in_90: nights(90), in_95: nights(95) }
    }
}

/// The figure that at least so many in a hundred reach; `None` of an empty list.
#[must_use]
pub fn reached(mut figures: Vec<f64>, percent: usize) -> Option<f64> {
    figures.sort_by(f64::total_cmp);
    // Of 1000 years, 900 lie at or above the one at place 100.
    let below = figures.len() * (100 - percent.min(100)) / 100;
    figures.get(below.min(figures.len().saturating_sub(1))).copied()
}

/// The figure that at most so many in a hundred exceed; `None` of an empty list.
#[must_use]
pub fn stays_within(figures: Vec<f64>, percent: usize) -> Option<f64> {
    reached(figures.iter().map(|f| -f).collect(), percent).map(|f| -f)
}

/// One month of the year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthNights {
    /// 1 is January.
    pub month: u32,
    /// Nights by certainty.
    pub sure: Sure,
    /// Light on the flat [kWh/m2 a day].
    pub sun_kwh_m2_day: f64,
    /// What the loads take [Wh a day].
    pub load_wh_day: f64,
    /// What the arrays offered while the stays lasted [Wh a day].
    pub offered_wh_day: f64,
}

/// How likely it is to get through a night.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NightChance {
    /// 1 is the first night.
    pub night: u32,
    /// Share of the years.
    pub p: f64,
}

/// Nights until fewer than this share of years are left are listed.
const LAST_SHARE: f64 = 0.01;

/// The chance of each night: a night is got through when the morning comes first, so many hours
/// after the evening of the start.
#[must_use]
pub fn chances(ends: &[StayEnd], morning_h: f64, most: u32) -> Vec<NightChance> {
    let count = f64::from(u32::try_from(ends.len()).unwrap_or(u32::MAX)).max(1.0);
    let mut all = Vec::new();
    for night in 1..=most {
        let needed = morning_h + DAY_H * f64::from(night - 1);
        let through = ends.iter().filter(|e| e.outlasted || needed <= e.hours).count();
        let p = f64::from(u32::try_from(through).unwrap_or(u32::MAX)) / count;
        all.push(NightChance { night, p });
        if p < LAST_SHARE {
            break;
        }
    }
    all
}

/// Energy of the mean stay, from its evening to its end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EnergyAccount {
    /// Taken from sun and other sources [Wh].
    pub in_wh: f64,
    /// Given to the loads [Wh].
    pub out_wh: f64,
    /// Lost in the bank [Wh].
    pub lost_wh: f64,
    /// Change of what the bank holds [Wh].
    pub stored_wh: f64,
    /// What the four leave over: in - out - lost - stored [Wh].
    pub residual_wh: f64,
}

impl EnergyAccount {
    /// The mean of many stays.
    #[must_use]
    pub fn of(ends: &[StayEnd]) -> Self {
        let count = f64::from(u32::try_from(ends.len()).unwrap_or(u32::MAX)).max(1.0);
        let mean = |of: fn(&StayEnd) -> f64| ends.iter().map(of).sum::<f64>() / count;
        let (in_wh, out_wh) = (mean(|e| e.in_wh), mean(|e| e.out_wh));
        let (lost_wh, stored_wh) = (mean(|e| e.lost_wh), mean(|e| e.stored_wh));
        let residual_wh = in_wh - out_wh - lost_wh - stored_wh;
        Self { in_wh, out_wh, lost_wh, stored_wh, residual_wh }
    }
}

/// The worst week of the first years.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Day of the year on which it begins in the evening, 0 is 1 January.
    pub start_day: usize,
    /// State of charge hour by hour; nothing left is nothing, though a slow draw can take more than the label.
    pub soc: Vec<f64>,
    /// Sun taken, hour by hour [W].
    pub sun_w: Vec<f64>,
    /// Taken of the other sources, hour by hour [W].
    pub other_w: Vec<f64>,
}

/// The week in which the bank came lowest, and by the mean where several touched the same.
#[must_use]
pub fn worst_week(years: &StayYears) -> Option<Week> {
    let lowest = |week: &[WeekHour]| week.iter().map(|h| h.soc).fold(f64::INFINITY, f64::min);
    let sum = |week: &[WeekHour]| week.iter().map(|h| h.soc).sum::<f64>();
    let worst = (0..years.weeks.len()).min_by(|a, b| {
        let (a, b) = (&years.weeks[*a], &years.weeks[*b]);
        lowest(a).total_cmp(&lowest(b)).then(sum(a).total_cmp(&sum(b)))
    })?;
    let week = &years.weeks[worst];
    let hourly = |of: fn(&WeekHour) -> f64| week.iter().map(of).collect();
    Some(Week {
        start_day: years.starts[worst],
        soc: hourly(|h| h.soc.max(0.0)),
        sun_w: hourly(|h| h.sun_w),
        other_w: hourly(|h| h.other_w),
    })
}

#[cfg(test)]
mod tests {
    use super::{reached, stays_within};

    #[test]
    fn a_tenth_of_the_years_may_fall_short() {
        // Hand worked: of the nights 1 to 10, nine in ten reach 2 or more; half reach 6.
        let nights: Vec<f64> = (1..=10).map(f64::from).collect();
        for (percent, night) in [(90, 2.0), (50, 6.0), (95, 1.0), (100, 1.0)] {
            let got = reached(nights.clone(), percent);
            assert!(got.is_some_and(|n| (n - night).abs() < 1e-12), "{percent} %: {got:?}");
        }
        assert!(reached(Vec::new(), 90).is_none(), "nothing from nothing");
        // And nine in ten stay at 9 or under.
        let got = stays_within(nights, 90);
        assert!(got.is_some_and(|n| (n - 9.0).abs() < 1e-12), "{got:?}");
    }
}
