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
    ///
    /// A withdrawal takes back whatever its entry did: of a correction, so that the entry it
    /// corrected stands again; of a withdrawal, so that what it took away is back.
    #[must_use]
    pub fn standing(&self) -> Vec<&Entry> {
        let mut corrected = std::collections::BTreeSet::new();
        let mut withdrawn = std::collections::BTreeSet::new();
        let mut standing: Vec<&Entry> = Vec::new();
        let mut latest_first: Vec<&Entry> = self.entries.iter().collect();
        latest_first.sort_by_key(|e| std::cmp::Reverse(e.id));
        for entry in latest_first {
            // What is withdrawn does nothing to others; what is corrected keeps its own correction.
            if withdrawn.contains(&entry.id) {
                continue;
            }
            let takes_away = entry.event == Event::Withdrawn;
            if let Some(earlier) = entry.corrects.filter(|earlier| *earlier < entry.id) {
                if takes_away {
                    withdrawn.insert(earlier)
                } else {
                    corrected.insert(earlier)
                };
            }
            if !takes_away && !corrected.contains(&entry.id) {
                standing.push(entry);
            }
        }
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

    fn standing_of(chain: &[(i64, Event, Option<i64>)]) -> Vec<i64> {
        let entries = chain
            .iter()
            .map(|(id, event, corrects)| Entry {
                id: *id,
                at: date(2026, 5, 3).at(9, 0, 0, 0),
                subject: Subject::Bank,
                event: event.clone(),
                note: String::new(),
                corrects: *corrects,
            })
            .collect();
        Log { entries }.standing().iter().map(|e| e.id).collect()
    }

    #[test]
    fn what_is_taken_back_no_longer_acts() {
        use Event::{Note, Withdrawn};
        let first = (1, Note, None);
        let twice = [first.clone(), (2, Note, Some(1)), (3, Note, Some(2))];
        assert_eq!(standing_of(&twice), [3], "corrected twice");
        let back = [first.clone(), (2, Note, Some(1)), (3, Withdrawn, Some(2))];
        assert_eq!(standing_of(&back), [1], "the correction was a slip: the first stands again");
        let again = [first.clone(), (2, Withdrawn, Some(1)), (3, Withdrawn, Some(2))];
        assert_eq!(standing_of(&again), [1], "a withdrawal taken back");
        let ahead = [(1, Withdrawn, Some(2)), (2, Note, None)];
        assert_eq!(standing_of(&ahead), [2], "nothing acts on what is later");
    }
}
