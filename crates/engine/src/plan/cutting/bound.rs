//! The least that any plan for the waiting pieces must still buy.
//!
//! The pieces have to be covered by lengths; how they fall into the lengths is left aside. That can only
//! make the answer smaller, so the search may drop whatever is already worse.

use super::search::{Offer, Value};

/// Cells in the covering table; more offers or longer totals make the table coarser, never wrong.
const CELLS_MAX: u64 = 3_000_000;

/// Longest length for which the reachable sums are worked out [mm]; longer ones count in full.
const REACH_MAX: u64 = 200_000;

/// Cheapest cover for every total.
#[derive(Debug)]
pub struct Cover {
    unit: u64,
    table: Vec<Option<Value>>,
}

impl Cover {
    /// Table up to `total`, from offers whose usable room is given beside them.
    #[must_use]
    pub fn new(offers: &[Offer], usable: &[u64], total: u64) -> Self {
        let width = u64::try_from(offers.len().max(1)).unwrap_or(u64::MAX);
        let unit = (total.saturating_mul(width) / CELLS_MAX).max(1);
        let cells = usize::try_from(total / unit).unwrap_or(0) + 1;
        let mut table: Vec<Option<Value>> = vec![None; cells];
        table[0] = Some(Value { cost: 0, opened: 0 });
        // Rounded up: an offer may count as a little more than it is, which keeps the bound low.
        let reach: Vec<usize> =
            usable.iter().map(|u| usize::try_from(u.div_ceil(unit)).unwrap_or(cells)).collect();
        for cell in 1..cells {
            table[cell] = offers
                .iter()
                .zip(&reach)
                .filter(|(_, reach)| **reach > 0)
                .filter_map(|(offer, &reach)| {
                    table[cell.saturating_sub(reach)].map(|rest| rest.plus(offer.cost, 1))
                })
                .min();
        }
        Self { unit, table }
    }

    /// The least to buy for this much, or `None` when nothing is sold.
    #[must_use]
    pub fn least(&self, needed: u64) -> Option<Value> {
        let cell = usize::try_from(needed / self.unit).unwrap_or(usize::MAX);
        self.table[cell.min(self.table.len() - 1)]
    }

    /// The most that can be covered without going over a value.
    #[must_use]
    pub fn most(&self, within: Value) -> u64 {
        let cells = self.table.partition_point(|v| v.is_some_and(|v| v <= within));
        u64::try_from(cells).unwrap_or(0) * self.unit
    }
}

/// One way to weigh the pieces: whatever the weights, plans must buy enough to hold them.
///
/// The millimetres themselves are the first measure. The others weigh a piece by how many such pieces
/// share a length; they see that 5 m hold one piece of 2.6 m, where millimetres would see almost two.
#[derive(Debug)]
pub struct Measure {
    /// What a piece of each kind weighs.
    pub values: Vec<u64>,
    /// The most that each length in hand can hold.
    pub stock: Vec<u64>,
    /// The most that the longest sold length can hold.
    pub longest: u64,
    /// Cheapest cover for every total.
    pub cover: Cover,
}

/// The measures of a problem; `weights` and rooms hold one cut more than the length.
#[must_use]
pub fn measures(
    weights: &[u64],
    counts: &[u16],
    stock_rooms: &[u64],
    offers: &[Offer],
    offer_rooms: &[u64],
) -> Vec<Measure> {
    let measure = |values: Vec<u64>| {
        let stock = most_held(stock_rooms, weights, counts, &values);
        let held = most_held(offer_rooms, weights, counts, &values);
        let total = total(&values, counts);
        let longest = held.last().copied().unwrap_or(0);
        Measure { cover: Cover::new(offers, &held, total), values, stock, longest }
    };
    let mut all = vec![measure(weights.to_vec())];
    let few = offer_rooms.len() <= OFFERS_MAX;
    for &room in offer_rooms.iter().filter(|r| few && **r <= ROOM_MAX) {
        for parts in 2..=PARTS_MAX {
            let values: Vec<u64> = weights.iter().map(|w| parts * w / room).collect();
            let known = all.iter().any(|m| m.values == values);
            if values.iter().any(|v| *v > 0) && !known {
                all.push(measure(values));
            }
        }
    }
    all
}

/// Measures by parts are worked out for at most this many sold lengths; lengths by the foot have hundreds
/// and are covered so closely by millimetres that nothing is gained.
const OFFERS_MAX: usize = 6;

/// ... and for lengths up to this [mm]; longer ones hold so many pieces that millimetres tell enough.
const ROOM_MAX: u64 = 20_000;

/// A length is divided into up to this many parts; more gained nothing on forty pieces of six lengths.
const PARTS_MAX: u64 = 9;

/// Weight of all pieces together.
#[must_use]
pub fn total(values: &[u64], counts: &[u16]) -> u64 {
    values.iter().zip(counts).map(|(v, &c)| v * u64::from(c)).sum()
}

/// The most that each room can hold: 5 m hold only 4.4 m when all pieces are 2.2 m.
fn most_held(rooms: &[u64], weights: &[u64], counts: &[u16], values: &[u64]) -> Vec<u64> {
    let largest = rooms.iter().copied().max().unwrap_or(0).min(REACH_MAX);
    // It fits: the bound above is far below any pointer width.
    let cells = usize::try_from(largest).unwrap_or(0) + 1;
    let mut held = vec![0_u64; cells];
    for ((&weight, &count), &value) in weights.iter().zip(counts).zip(values) {
        let mut left = u64::from(count);
        let mut lot = 1;
        while left > 0 {
            // Lots of 1, 2, 4 ... pieces make up every number of pieces up to the count.
            let n = lot.min(left);
            let Ok(step) = usize::try_from(weight * n) else { break };
            for cell in (step..cells).rev() {
                held[cell] = held[cell].max(held[cell - step] + value * n);
            }
            left -= n;
            lot *= 2;
        }
    }
    let everything = total(values, counts);
    let in_table = |room: u64| usize::try_from(room).ok().and_then(|r| held.get(r)).copied();
    rooms.iter().map(|&room| in_table(room).unwrap_or(everything)).collect()
}

#[cfg(test)]
mod tests {
    use super::{measures, most_held};
    use crate::plan::cutting::search::Offer;

    #[test]
    fn a_length_counts_for_what_its_pieces_can_use() {
        // Hand worked: of 2200 mm pieces two fit into 5000 mm; with one 500 mm piece 4900 mm are used.
        let held = |rooms: &[u64], weights: &[u64], counts: &[u16]| {
            most_held(rooms, weights, counts, weights)
        };
        assert_eq!(held(&[5000, 2000], &[2200], &[9]), [4400, 0], "two of 2200, none");
        assert_eq!(held(&[5000], &[2200, 500], &[9, 1]), [4900], "two of 2200 and one of 500");
        assert_eq!(held(&[5000], &[2200, 500], &[1, 1]), [2700], "counts are kept");
    }

    #[test]
    fn parts_see_what_millimetres_do_not() {
        // Hand worked: six of 2600 mm and three of 1600 mm from 5000 mm. A length holds at most
        // 3 x 1600 = 4800 mm, so millimetres ask for 20 400 / 4800 = 4.25, hence five lengths. No length
        // holds two of 2600 mm, so six are needed; three of them have room for a 1600.
        let offer = Offer { sold: 0, steps: 1, length_mm: 5000, cost: 5000 };
        let counts = [6, 3];
        let all = measures(&[2600, 1600], &counts, &[], &[offer], &[5000]);
        let least = |m: &super::Measure| m.cover.least(super::total(&m.values, &counts));
        assert_eq!(least(&all[0]).map(|v| v.opened), Some(5), "by millimetres");
        assert_eq!(all.iter().filter_map(least).max().map(|v| v.opened), Some(6), "by parts");
    }
}
