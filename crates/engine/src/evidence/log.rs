//! The log of years: one entry for each thing done or read. Nothing is ever overwritten.

use crate::model::bank::BlockId;
use crate::units::{Current, Duration, Temperature, Voltage};
use jiff::civil::DateTime;

/// One cell: its block and its number in it, counted from 0 at the block's plus post.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CellId {
    /// The block.
    pub block: BlockId,
    /// Number in the block, counted from 0 at the plus post.
    pub cell: u32,
}

impl CellId {
    /// Reads `A1.2`, the second cell of A1 from its plus post.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        let (block, cell) = text.trim().split_once('.')?;
        let cell: u32 = cell.parse().ok()?;
        let block = BlockId::from_text(block)?;
        (0 < cell && cell <= 99).then(|| Self { block, cell: cell - 1 })
    }
}

impl std::fmt::Display for CellId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}.{}", self.block, self.cell + 1)
    }
}

/// What an entry speaks of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// The whole bank.
    Bank,
    /// One string, counted from 0.
    String(u32),
    /// One block.
    Block(BlockId),
    /// One cell.
    Cell(CellId),
    /// A joint or lead by the book's name, such as `5.from`.
    Joint(String),
}

/// Where the fluid of a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Level {
    /// Plates stand bare.
    PlatesBare,
    /// Above the plates and below the mark.
    Low,
    /// Just under the tube, where it should be.
    Right,
    /// Into the tube or over it.
    Over,
}

/// How a charge ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChargeEnd {
    /// The current had fallen to the tail, or the gravity no longer rose: full.
    Full,
    /// A timer or the evening ended it.
    Clock,
    /// Somebody ended it, or it was cut off.
    Broken,
}

/// Which water went in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterKind {
    /// Distilled or deionised.
    Distilled,
    /// From the tap.
    Tap,
}

/// What was read or done.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// A hydrometer was read.
    Gravity {
        /// As the float showed it, water is 1.000.
        gravity: f64,
        /// Temperature of the fluid.
        fluid: Option<Temperature>,
        /// Charging time since water was last put in.
        charged_since_water: Option<Duration>,
        /// Rest before the reading.
        rested: Option<Duration>,
    },
    /// The fluid was looked at.
    Looked {
        /// Where it stood.
        level: Level,
    },
    /// Water was put in.
    Water {
        /// How much [cm3]; `None` where nobody measured it.
        volume_cm3: Option<f64>,
        /// Which.
        kind: Option<WaterKind>,
        /// It went in before the charge rather than after it.
        before_charge: Option<bool>,
    },
    /// Volts at rest.
    Rest {
        /// The reading.
        volts: Voltage,
        /// Rest before it.
        rested: Option<Duration>,
        /// Temperature of the block.
        temperature: Option<Temperature>,
    },
    /// A load ran.
    Load {
        /// Its current.
        current: Current,
        /// How long.
        lasted: Option<Duration>,
        /// Volts at its end.
        volts: Option<Voltage>,
    },
    /// A charge.
    Charge {
        /// What put it in, by the device's name.
        from: Option<String>,
        /// How long.
        lasted: Option<Duration>,
        /// What went in [Ah].
        amp_hours: Option<f64>,
        /// Volts at the posts at its end.
        volts: Option<Voltage>,
        /// Current at its end.
        tail: Option<Current>,
        /// How it ended.
        end: Option<ChargeEnd>,
    },
    /// An equalising charge.
    Equalise {
        /// How long.
        lasted: Option<Duration>,
        /// Volts at the posts.
        volts: Option<Voltage>,
        /// The hottest cell.
        hottest: Option<Temperature>,
    },
    /// A timed discharge from full.
    Capacity {
        /// The steady current.
        current: Current,
        /// How long until the end volts.
        lasted: Duration,
        /// Volts at which it was ended.
        end: Option<Voltage>,
        /// Temperature of the blocks at its start.
        temperature: Option<Temperature>,
    },
    /// A joint or lead was measured under load.
    Joint {
        /// What the meter showed [mV].
        millivolts: f64,
        /// The amps in it.
        current: Current,
    },
    /// A block was replaced.
    Replaced {
        /// The model of the new one, where it differs.
        model: Option<String>,
    },
    /// A photo.
    Photo {
        /// Its file's name.
        file: String,
    },
    /// Words only.
    Note,
    /// The entry it corrects no longer stands, and nothing takes its place.
    Withdrawn,
}

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number; later entries have larger ones.
    pub id: i64,
    /// When it was read or done, local time of the rig.
    pub at: DateTime,
    /// What it speaks of.
    pub subject: Subject,
    /// What was read or done.
    pub event: Event,
    /// Anything else, in the owner's words.
    pub note: String,
    /// The entry it stands in place of.
    pub corrects: Option<i64>,
}

/// Every entry ever made.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Log {
    /// In order of their numbers, corrected ones included.
    pub entries: Vec<Entry>,
}

impl Log {
    /// The entries that still stand, in order of time: none that another corrects, none withdrawn.
    #[must_use]
    pub fn standing(&self) -> Vec<&Entry> {
        let corrected: std::collections::BTreeSet<i64> =
            self.entries.iter().filter_map(|e| e.corrects).collect();
        let mut standing: Vec<&Entry> = self
            .entries
            .iter()
            .filter(|e| !corrected.contains(&e.id) && e.event != Event::Withdrawn)
            .collect();
        standing.sort_by_key(|e| (e.at, e.id));
        standing
    }
}

#[cfg(test)]
mod tests {
    use super::{CellId, Entry, Event, Log, Subject};
    use jiff::civil::date;

    #[test]
    fn cell_names_round_trip() {
        for name in ["A1.1", "C2.3", "AA12.6"] {
            let cell = CellId::from_text(name).expect("a cell name");
            assert_eq!(cell.to_string(), name, "{name}");
        }
        for name in ["A1", "A1.0", "1.2", "A1.", "A1.x"] {
            assert_eq!(CellId::from_text(name), None, "{name} names no cell");
        }
    }

    #[test]
    fn a_correction_takes_the_place_and_a_withdrawal_takes_it_away() {
        let entry = |id, day, event, corrects| Entry {
            id,
            at: date(2026, 5, day).at(9, 0, 0, 0),
            subject: Subject::Bank,
            event,
            note: String::new(),
            corrects,
        };
        let log = Log {
            entries: vec![
                entry(1, 3, Event::Note, None),
                entry(2, 2, Event::Note, None),
                entry(3, 1, Event::Note, Some(1)),
                entry(4, 2, Event::Withdrawn, Some(2)),
            ],
        };
        let ids: Vec<i64> = log.standing().iter().map(|e| e.id).collect();
        assert_eq!(ids, [3], "1 is corrected by 3, 2 is withdrawn by 4");
    }
}
