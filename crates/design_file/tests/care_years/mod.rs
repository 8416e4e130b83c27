//! Logs of five years made by a seeded generator, with what was made.

use design_file::read::read;
use engine::care::diagnose::DiagnosisKind;
use engine::evidence::Evidence;
use engine::evidence::log::{CellId, ChargeEnd, Entry, Event, Level, Log, Subject, WaterKind};
use engine::model::bank::BlockId;
use engine::model::design::Design;
use engine::units::{Current, Duration, Temperature, Voltage};
use jiff::civil::{Date, DateTime, date};

/// What was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Healthy,
    Undercharged,
    FailingCell,
    DryCell,
    Stratified,
    ReplacedBlock,
    Gaps,
    WrongUnits,
    DuplicateImport,
    Mistyped,
}

impl Kind {
    pub(crate) const ALL: [Self; 10] = [
        Self::Healthy,
        Self::Undercharged,
        Self::FailingCell,
        Self::DryCell,
        Self::Stratified,
        Self::ReplacedBlock,
        Self::Gaps,
        Self::WrongUnits,
        Self::DuplicateImport,
        Self::Mistyped,
    ];

    pub(crate) const fn diagnosis(self) -> Option<DiagnosisKind> {
        Some(match self {
            Self::Healthy => return None,
            Self::Undercharged => DiagnosisKind::Undercharged,
            Self::FailingCell => DiagnosisKind::FailingCell,
            Self::DryCell => DiagnosisKind::DryCell,
            Self::Stratified => DiagnosisKind::Stratified,
            Self::ReplacedBlock => DiagnosisKind::ReplacedBlock,
            Self::Gaps => DiagnosisKind::Gaps,
            Self::WrongUnits => DiagnosisKind::WrongUnits,
            Self::DuplicateImport => DiagnosisKind::DuplicateImport,
            Self::Mistyped => DiagnosisKind::Mistyped,
        })
    }
}

/// A log, and the truth behind it.
pub(crate) struct Made {
    pub(crate) evidence: Evidence,
    /// The one cell that is not well.
    pub(crate) cell: Option<CellId>,
    /// Share of the label that is left.
    pub(crate) capacity: f64,
    /// Gravity of the full bank when new.
    pub(crate) full: f64,
}

/// Small, plain, and the same on every machine.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        // splitmix64
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / 4_294_967_296.0
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    fn below(&mut self, count: u32) -> u32 {
        u32::try_from(self.next() % u64::from(count)).unwrap_or(0)
    }

    /// Mean 0 and this standard deviation.
    fn error(&mut self, sd: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.share()).sum();
        (sum - 6.0) * sd
    }
}

const SERIES: u32 = 2;
const PARALLEL: u32 = 3;
const CELLS: u32 = 3;
const MONTHS: u32 = 60;

/// Three strings of two 6 V blocks, 225 Ah each; invented.
pub(crate) fn design() -> Design {
    design_of("flooded")
}

/// The same of another chemistry.
pub(crate) fn design_of(chemistry: &str) -> Design {
    let text = "format = 1\n[rig]\nname = \"Hut\"\nkind = \"cabin\"\npractice = \"us-cabin\"\n\
                [place]\nlatitude = 45\nlongitude = -110\n\
                [block.six]\nchemistry = \"flooded\"\nvolts = \"6 V\"\nrating = \"225 Ah at 20 h\"\n\
                [bank]\nblock = \"six\"\nseries = 2\nparallel = 3\ntakeoff = \"opposite corners\"\n";
    let result = read(&text.replace("flooded", chemistry));
    let faults: Vec<String> = result.faults.iter().map(|f| f.one_line()).collect();
    assert!(faults.is_empty(), "the design is read: {faults:?}");
    result.design.expect("a design")
}

/// The truth of one bank.
struct Truth {
    kind: Kind,
    chance: Chance,
    full: f64,
    /// Each cell's own difference since it was made.
    own: Vec<f64>,
    /// The cell or block that is not well, and the month in which it begins.
    which: usize,
    from: u32,
    /// How fast.
    rate: f64,
}

struct Pen {
    entries: Vec<Entry>,
}

impl Pen {
    fn write(&mut self, at: DateTime, subject: Subject, event: Event) {
        let id = i64::try_from(self.entries.len()).unwrap_or(0) + 1;
        self.entries.push(Entry { id, at, subject, event, note: String::new(), corrects: None });
    }
}

fn cells() -> Vec<CellId> {
    let blocks = blocks().into_iter();
    blocks.flat_map(|block| (0..CELLS).map(move |cell| CellId { block, cell })).collect()
}

fn blocks() -> Vec<BlockId> {
    let strings = 0..PARALLEL;
    strings.flat_map(|string| (0..SERIES).map(move |place| BlockId { string, place })).collect()
}

fn day_of(month: u32, day: i8) -> Date {
    let year = i16::try_from(2021 + month / 12).unwrap_or(2021);
    date(year, i8::try_from(month % 12 + 1).unwrap_or(1), day)
}

/// Warmth of the fluid: 20 C in the mean, 15 K more in July, less in January.
fn warmth(month: u32) -> f64 {
    20.0 - 13.0 * (std::f64::consts::TAU * (f64::from(month % 12)) / 12.0).cos_of()
}

/// The cosine, spelled so that the same bits come out everywhere.
trait CosOf {
    fn cos_of(self) -> f64;
}

impl CosOf for f64 {
    fn cos_of(self) -> f64 {
        engine::number::cos(self)
    }
}

impl Truth {
    fn of(kind: Kind, seed: u64) -> Self {
        let mut chance = Chance(seed.wrapping_mul(1_000_003).wrapping_add(17));
        let full = chance.between(1.262, 1.280);
        let own = cells().iter().map(|_| chance.error(0.003)).collect();
        let which = usize::try_from(chance.below(SERIES * PARALLEL * CELLS)).unwrap_or(0);
        let from = 20 + chance.below(16);
        let rate = chance.between(0.025, 0.06);
        Self { kind, chance, full, own, which, from, rate }
    }

    fn years(month: u32) -> f64 {
        f64::from(month) / 12.0
    }

    /// Gravity of the mixed acid of a cell after its charge, at the reference temperature.
    fn acid(&self, cell: usize, month: u32) -> f64 {
        let age = Self::years(month);
        let mut gravity = self.full + self.own[cell] - 0.0008 * age;
        match self.kind {
            Kind::Undercharged => gravity -= (0.004 + 0.2 * self.rate) * age,
            Kind::FailingCell if cell == self.which && self.from <= month => {
                gravity -= self.rate * Self::years(month - self.from);
            }
            Kind::DryCell if cell == self.which && self.from <= month => gravity += 0.008,
            Kind::ReplacedBlock if self.is_new(cell, month) => gravity += 0.008,
            _ => {}
        }
        gravity
    }

    /// What the float is dipped into: the top of the cell.
    fn top(&self, cell: usize, month: u32) -> f64 {
        let settled = if self.kind == Kind::Stratified && 36 <= month {
            0.022 + 0.2 * self.rate
        } else {
            0.0
        };
        self.acid(cell, month) - settled
    }

    fn is_new(&self, cell: usize, month: u32) -> bool {
        self.from < month && cell / 3 == self.which / 3
    }

    fn capacity(&self, month: u32) -> f64 {
        let loss = if self.kind == Kind::Undercharged { 0.03 } else { 0.018 };
        0.99 - loss * Self::years(month)
    }

    fn water(&mut self, cell: usize, month: u32) -> f64 {
        let warm = 1.0 + 0.02 * (warmth(month) - 20.0);
        let less = if self.kind == Kind::Undercharged { 0.6 } else { 1.0 };
        let thirst = if self.kind == Kind::DryCell && cell == self.which && self.from <= month {
            5.0
        } else {
            1.0
        };
        (22.0 * warm * less * thirst * (1.0 + self.chance.error(0.12))).max(1.0)
    }

    fn month(&mut self, pen: &mut Pen, month: u32) {
        let day = i8::try_from(2 + self.chance.below(6)).unwrap_or(3);
        let on = day_of(month, day);
        let celsius = warmth(month);
        self.charge(pen, on, month);
        self.rest(pen, on, month);
        self.gravity(pen, on, month, celsius);
        for (at, cell) in cells().into_iter().enumerate() {
            let bare = self.kind == Kind::DryCell && at == self.which && month + 1 == MONTHS;
            if bare {
                let event = Event::Looked { level: Level::PlatesBare };
                pen.write(on.at(9, 30, 0, 0), Subject::Cell(cell), event);
                continue;
            }
            let volume_cm3 = Some(self.water(at, month).round());
            let event = Event::Water {
                volume_cm3,
                kind: Some(WaterKind::Distilled),
                before_charge: Some(false),
            };
            pen.write(on.at(10, 0, 0, 0), Subject::Cell(cell), event);
        }
        // A settled bank is one that nobody equalises.
        if month % 6 == 5 && self.kind != Kind::Stratified {
            let event = Event::Equalise {
                lasted: Some(Duration::hours(3.0)),
                volts: Some(Voltage::volts(15.6)),
                hottest: Some(Temperature::celsius(celsius + 12.0)),
            };
            pen.write(on.at(12, 0, 0, 0), Subject::Bank, event);
        }
        if month % 12 == 8 {
            self.test(pen, on, month, celsius);
        }
        if self.kind == Kind::ReplacedBlock && month == self.from {
            let block = cells()[self.which].block;
            pen.write(on.at(15, 0, 0, 0), Subject::Block(block), Event::Replaced { model: None });
        }
    }

    fn charge(&mut self, pen: &mut Pen, on: Date, _month: u32) {
        let under = self.kind == Kind::Undercharged;
        let tail =
            if under { self.chance.between(27.0, 50.0) } else { self.chance.between(5.0, 12.0) };
        let event = Event::Charge {
            from: Some("charger".to_owned()),
            lasted: Some(Duration::hours(if under { 4.0 } else { 9.0 })),
            amp_hours: Some(self.chance.between(180.0, 320.0).round()),
            volts: Some(Voltage::volts(14.7 + self.chance.error(0.03))),
            tail: Some(Current::amps((tail * 10.0).round() / 10.0)),
            end: Some(if under { ChargeEnd::Clock } else { ChargeEnd::Full }),
        };
        pen.write(on.at(0, 30, 0, 0), Subject::Bank, event);
    }

    fn rest(&mut self, pen: &mut Pen, on: Date, month: u32) {
        for (at, block) in blocks().into_iter().enumerate() {
            let sum: f64 = (0..3).map(|c| self.acid(at * 3 + c, month) + 0.845).sum();
            let read = sum + self.chance.error(0.006);
            let event = Event::Rest {
                volts: Voltage::volts((read * 100.0).round() / 100.0),
                rested: Some(Duration::hours(7.0)),
                temperature: None,
            };
            pen.write(on.at(8, 0, 0, 0), Subject::Block(block), event);
        }
    }

    fn gravity(&mut self, pen: &mut Pen, on: Date, month: u32, celsius: f64) {
        let wrong = self.kind == Kind::WrongUnits && month % 9 == self.from % 9;
        for (at, cell) in cells().into_iter().enumerate() {
            // What the float shows at this warmth, and what the eye makes of it.
            let shown = self.top(at, month) - 0.00072 * (celsius - 26.667);
            let mut gravity = ((shown + self.chance.error(0.005)) * 1000.0).round() / 1000.0;
            let mut fluid = Temperature::celsius((celsius + self.chance.error(2.0)).round());
            if wrong && month.is_multiple_of(2) {
                gravity = (gravity * 1000.0).round();
            } else if wrong && 60.0 < fluid.as_fahrenheit() {
                fluid = Temperature::celsius(fluid.as_fahrenheit().round());
            }
            if self.kind == Kind::Mistyped
                && (8..56).contains(&month)
                && month % 11 == 3
                && at == (self.which + usize::try_from(month).unwrap_or(0)) % 18
            {
                gravity = self.slip(gravity);
            }
            let event = Event::Gravity {
                gravity,
                fluid: Some(fluid),
                charged_since_water: None,
                rested: None,
            };
            pen.write(on.at(9, 0, 0, 0), Subject::Cell(cell), event);
        }
    }

    /// A slip of the pen: two figures changed about, or one of them wrong.
    fn slip(&mut self, gravity: f64) -> f64 {
        match self.chance.below(4) {
            0 => gravity + 0.36,
            1 => gravity - 0.1,
            2 => gravity - 0.2,
            _ => gravity - 0.06,
        }
    }

    fn test(&mut self, pen: &mut Pen, on: Date, month: u32, celsius: f64) {
        // A 225 Ah block of this kind lasts 20 h at 11.25 A; three strings carry three times as much.
        let amps = 33.75;
        let cold = 1.0 - 0.007 * (25.0 - celsius).max(0.0);
        let hours = 20.0 * self.capacity(month) * cold * (1.0 + self.chance.error(0.02));
        let event = Event::Capacity {
            current: Current::amps(amps),
            lasted: Duration::hours((hours * 10.0).round() / 10.0),
            end: Some(Voltage::volts(10.5)),
            temperature: Some(Temperature::celsius((celsius + self.chance.error(2.0)).round())),
        };
        pen.write(on.at(14, 0, 0, 0), Subject::Bank, event);
    }
}

/// Five years of a kind.
pub(crate) fn years_of(kind: Kind, seed: u64) -> Made {
    let mut truth = Truth::of(kind, seed);
    let mut pen = Pen { entries: Vec::new() };
    let gap = truth.from..truth.from + 6 + truth.chance.below(4);
    for month in 0..MONTHS {
        if kind == Kind::Gaps && gap.contains(&month) {
            continue;
        }
        truth.month(&mut pen, month);
    }
    if kind == Kind::DuplicateImport {
        let twice: Vec<Entry> = pen.entries.iter().skip(40).take(700).cloned().collect();
        for entry in twice {
            pen.write(entry.at, entry.subject, entry.event);
        }
    }
    let one = matches!(kind, Kind::FailingCell | Kind::DryCell);
    Made {
        cell: one.then(|| cells()[truth.which]),
        capacity: truth.capacity(MONTHS),
        full: truth.full,
        evidence: Evidence {
            log: Log { entries: pen.entries },
            readings: Vec::new(),
            today: Some(date(2026, 1, 5)),
        },
    }
}

/// Entries that nobody would write: every kind, with figures from nothing to beyond all sense.
pub(crate) fn wild(seed: u64) -> Evidence {
    let mut chance = Chance(seed.wrapping_mul(77_777).wrapping_add(3));
    let mut pen = Pen { entries: Vec::new() };
    for _ in 0..240 {
        let size = [0.0, 1e-300, 1e-3, 1.0, 1.26, 12.0, 1e4, 1e11]
            [usize::try_from(chance.below(8)).unwrap_or(0)];
        let figure = if chance.below(4) == 0 { -size } else { size * chance.between(0.5, 1.5) };
        let volts = Voltage::volts(figure);
        let current = Current::amps(figure);
        let time = Duration::hours(figure);
        let temperature = Temperature::celsius(figure.clamp(-1e4, 1e4));
        let event = match chance.below(10) {
            0 | 1 => Event::Gravity {
                gravity: if chance.below(2) == 0 { figure } else { 1.2 + 0.1 * chance.share() },
                fluid: (chance.below(2) == 0).then_some(temperature),
                charged_since_water: (chance.below(3) == 0).then_some(time),
                rested: None,
            },
            2 => Event::Water { volume_cm3: Some(figure), kind: None, before_charge: Some(true) },
            3 => Event::Rest { volts, rested: Some(time), temperature: Some(temperature) },
            4 => Event::Load { current, lasted: Some(time), volts: Some(volts) },
            5 => Event::Charge {
                from: None,
                lasted: Some(time),
                amp_hours: Some(figure),
                volts: Some(volts),
                tail: Some(current),
                end: Some(ChargeEnd::Full),
            },
            6 => Event::Equalise { lasted: None, volts: Some(volts), hottest: Some(temperature) },
            7 => {
                Event::Capacity { current, lasted: time, end: None, temperature: Some(temperature) }
            }
            8 => Event::Looked { level: Level::PlatesBare },
            _ => Event::Replaced { model: None },
        };
        let at = blocks()[usize::try_from(chance.below(6)).unwrap_or(0)];
        let subject = match chance.below(5) {
            0 => Subject::Bank,
            1 => Subject::String(chance.below(5)),
            2 => Subject::Block(at),
            _ => Subject::Cell(CellId { block: at, cell: chance.below(5) }),
        };
        let day = i8::try_from(1 + chance.below(28)).unwrap_or(1);
        let year = [-9999, 1, 2020, 2025, 9999][usize::try_from(chance.below(5)).unwrap_or(0)];
        let month = i8::try_from(1 + chance.below(12)).unwrap_or(1);
        let hour = i8::try_from(chance.below(24)).unwrap_or(0);
        pen.write(date(year, month, day).at(hour, 0, 0, 0), subject, event);
    }
    let today = match chance.below(4) {
        0 => None,
        1 => Some(date(9999, 12, 31)),
        2 => Some(date(-9999, 1, 1)),
        _ => Some(date(2026, 1, 5)),
    };
    Evidence { log: Log { entries: pen.entries }, readings: Vec::new(), today }
}
