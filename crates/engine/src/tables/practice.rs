//! The six practice settings: which tables, distances, bands, colours and units are in force.

use super::ampacity::AmpacityTable;
use super::conductor::Family;
use super::error::TableError;
use super::{Book, Sourced};
use crate::cite::Cite;
use crate::units::{Length, Temperature};
use std::collections::BTreeMap;

const FILE: &str = "rules/practices.csv";

/// How a fuse is chosen when its ceiling is no stock size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// The next stock size up may be taken, while it stays under the ceiling.
    DownAtCeiling,
    /// The next standard size above the ampacity may be taken.
    UpOneSize,
}

/// How vent openings are sized.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VentRule {
    /// The larger of the trailer text's fixed area and the gas formula.
    LargerOfFixedAndFormula,
    /// The gas formula.
    Formula,
}

/// What a hold-down must bear.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoldDownRule {
    /// 33 CFR 183.420: 90 lbf or twice the weight, whichever is less.
    LesserOfForceAndTwiceWeight,
    /// Twice the weight, never capped.
    TwiceWeight,
}

/// Units a reader of the sheet expects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PracticeUnits {
    /// Inches, pounds, AWG.
    Us,
    /// Millimetres, kilograms, mm2.
    Metric,
}

/// Shares of the gross mass that a ball may carry.
#[derive(Clone, Debug, PartialEq)]
pub struct BallBand {
    /// Lower end of the band.
    pub low: Sourced<f64>,
    /// Upper end of the band.
    pub high: Sourced<f64>,
    /// Below this the rig must not be towed.
    pub stop: Sourced<f64>,
}

/// What one practice asks.
#[derive(Clone, Debug, PartialEq)]
pub struct PracticeSettings {
    /// The word used in the design file.
    pub word: String,
    /// The table of allowable currents.
    pub ampacity_table: Sourced<AmpacityTable>,
    /// The usual conductor family.
    pub conductor_family: Sourced<Family>,
    /// Insulation of the usual battery cable.
    pub insulation: Sourced<Temperature>,
    /// Largest distance from the battery to the first fuse along a bare lead.
    pub fuse_distance_bare: Sourced<Length>,
    /// The same, sheathed or enclosed throughout.
    pub fuse_distance_sheathed: Sourced<Length>,
    /// The same, sheathed throughout and fixed on the battery post itself.
    pub fuse_distance_post_sheathed: Sourced<Length>,
    /// Allowed drop of critical circuits [%].
    pub drop_critical_percent: Sourced<f64>,
    /// Allowed drop of the others [%].
    pub drop_other_percent: Sourced<f64>,
    /// Largest fuse as a percentage of the conductor's table ampacity, under 50 V.
    pub fuse_ceiling_percent: Sourced<f64>,
    /// How a fuse is rounded.
    pub fuse_rounding: Sourced<Rounding>,
    /// How vents are sized.
    pub vent: Sourced<VentRule>,
    /// What the hold-down bears.
    pub hold_down: Sourced<HoldDownRule>,
    /// How far the battery may move.
    pub hold_down_travel: Sourced<Length>,
    /// Colour of a new positive lead.
    pub colour_positive: Sourced<String>,
    /// Colour of a new negative lead.
    pub colour_negative: Sourced<String>,
    /// Colour of a new bonding lead.
    pub colour_bond: Sourced<String>,
    /// Units of the sheets.
    pub units: Sourced<PracticeUnits>,
    /// Smallest conductor, as written on a jacket.
    pub size_min: Sourced<String>,
    /// Ball load band, for what is towed.
    pub ball_band: Option<BallBand>,
}

/// The settings by their word.
#[derive(Debug)]
pub struct Practices {
    settings: Vec<PracticeSettings>,
}

impl Practices {
    /// The settings of a practice such as `us-trailer`.
    #[must_use]
    pub fn of(&self, word: &str) -> Option<&PracticeSettings> {
        self.settings.iter().find(|s| s.word == word)
    }

    /// Every practice in file order.
    #[must_use]
    pub fn all(&self) -> &[PracticeSettings] {
        &self.settings
    }

    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let rows = book.rows(FILE, |row, cite| {
            let entry = Entry {
                line: row.line(),
                figure: row.optional("figure")?,
                unit: row.text("unit")?.to_owned(),
                choice: row.text("choice")?.to_owned(),
                cite,
            };
            Ok((row.word("practice")?.to_owned(), row.word("what")?.to_owned(), entry))
        })?;
        let mut words: Vec<String> = Vec::new();
        let mut by_practice: BTreeMap<String, BTreeMap<String, Entry>> = BTreeMap::new();
        for (practice, what, entry) in rows {
            if !words.contains(&practice) {
                words.push(practice.clone());
            }
            let line = entry.line;
            if by_practice.entry(practice).or_default().insert(what, entry).is_some() {
                return Err(TableError::line(FILE, line, "this setting stands twice"));
            }
        }
        let mut settings = Vec::new();
        for word in words {
            let entries = by_practice.remove(&word).unwrap_or_default();
            settings.push(Entries { word: &word, entries }.settings()?);
        }
        Ok(Self { settings })
    }
}

struct Entry {
    line: usize,
    figure: Option<f64>,
    unit: String,
    choice: String,
    cite: Cite,
}

struct Entries<'a> {
    word: &'a str,
    entries: BTreeMap<String, Entry>,
}

impl Entries<'_> {
    fn entry(&self, what: &str) -> Result<&Entry, TableError> {
        let missing = || TableError::file(FILE, &format!("{} lacks \"{what}\"", self.word));
        self.entries.get(what).ok_or_else(missing)
    }

    fn figure(&self, what: &str, unit: &str) -> Result<Sourced<f64>, TableError> {
        let entry = self.entry(what)?;
        if entry.unit != unit {
            let says = format!("{what} must be in {unit}");
            return Err(TableError::cell(FILE, entry.line, "unit", &says));
        }
        let missing = || TableError::cell(FILE, entry.line, "figure", "is empty");
        Ok(Sourced::new(entry.figure.ok_or_else(missing)?, entry.cite.clone()))
    }

    fn choice<T>(
        &self,
        what: &str,
        read: impl Fn(&str) -> Option<T>,
    ) -> Result<Sourced<T>, TableError> {
        let entry = self.entry(what)?;
        let says = format!("\"{}\" is no {what}", entry.choice);
        let wrong = || TableError::cell(FILE, entry.line, "choice", &says);
        Ok(Sourced::new(read(&entry.choice).ok_or_else(wrong)?, entry.cite.clone()))
    }

    fn words(&self, what: &str) -> Result<Sourced<String>, TableError> {
        self.choice(what, |w| (!w.is_empty()).then(|| w.to_owned()))
    }

    fn length(&self, what: &str) -> Result<Sourced<Length>, TableError> {
        Ok(self.figure(what, "mm")?.map(Length::mm))
    }

    fn ball_band(&self) -> Result<Option<BallBand>, TableError> {
        if !self.entries.contains_key("ball_band_low") {
            return Ok(None);
        }
        Ok(Some(BallBand {
            low: self.figure("ball_band_low", "of gross")?,
            high: self.figure("ball_band_high", "of gross")?,
            stop: self.figure("ball_stop", "of gross")?,
        }))
    }

    fn settings(&self) -> Result<PracticeSettings, TableError> {
        Ok(PracticeSettings {
            word: self.word.to_owned(),
            ampacity_table: self.choice("ampacity_table", AmpacityTable::from_word)?,
            conductor_family: self.choice("conductor_family", Family::from_word)?,
            insulation: self.figure("insulation", "C")?.map(Temperature::celsius),
            fuse_distance_bare: self.length("fuse_distance_bare")?,
            fuse_distance_sheathed: self.length("fuse_distance_sheathed")?,
            fuse_distance_post_sheathed: self.length("fuse_distance_post_sheathed")?,
            drop_critical_percent: self.figure("drop_critical", "%")?,
            drop_other_percent: self.figure("drop_other", "%")?,
            fuse_ceiling_percent: self.figure("fuse_ceiling", "%")?,
            fuse_rounding: self.choice("fuse_rounding", rounding)?,
            vent: self.choice("vent_rule", vent)?,
            hold_down: self.choice("hold_down_rule", hold_down)?,
            hold_down_travel: self.length("hold_down_travel")?,
            colour_positive: self.words("colour_positive")?,
            colour_negative: self.words("colour_negative")?,
            colour_bond: self.words("colour_bond")?,
            units: self.choice("units", units)?,
            size_min: self.words("size_min")?,
            ball_band: self.ball_band()?,
        })
    }
}

fn rounding(word: &str) -> Option<Rounding> {
    match word {
        "down-at-ceiling" => Some(Rounding::DownAtCeiling),
        "up-one-size" => Some(Rounding::UpOneSize),
        _ => None,
    }
}

fn vent(word: &str) -> Option<VentRule> {
    match word {
        "larger-of-nec-552-and-en-50272" => Some(VentRule::LargerOfFixedAndFormula),
        "en-50272" => Some(VentRule::Formula),
        _ => None,
    }
}

fn hold_down(word: &str) -> Option<HoldDownRule> {
    match word {
        "cfr-33-183-420" => Some(HoldDownRule::LesserOfForceAndTwiceWeight),
        "twice-weight" => Some(HoldDownRule::TwiceWeight),
        _ => None,
    }
}

fn units(word: &str) -> Option<PracticeUnits> {
    match word {
        "us" => Some(PracticeUnits::Us),
        "metric" => Some(PracticeUnits::Metric),
        _ => None,
    }
}
