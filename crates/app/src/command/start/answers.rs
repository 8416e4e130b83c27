//! The answers of `start`, as given and as understood.

use crate::failure::Failure;
use engine::model::block::Chemistry;
use engine::model::rig::{Practice, RigKind};
use engine::units::parse;
use std::collections::BTreeMap;

/// The volts a bank may have.
const BANK_VOLTS: [u32; 3] = [12, 24, 48];

/// How far a row of blocks may be from the bank's volts: a 51.2 V module makes a 48 V bank.
const NEAR: f64 = 0.12;

/// More blocks in a row, or strings, than anybody joins.
const COUNT_MAX: u32 = 24;

/// The answers as they were given, by option.
#[derive(Clone, Debug, Default)]
pub(super) struct Given(BTreeMap<&'static str, String>);

impl Given {
    /// What the options say.
    pub(super) fn of<const N: usize>(options: [(&'static str, &Option<String>); N]) -> Self {
        let said = |(option, text): (&'static str, &Option<String>)| Some((option, text.clone()?));
        Self(options.into_iter().filter_map(said).collect())
    }

    /// An answer.
    pub(super) fn get(&self, option: &str) -> Option<&str> {
        self.0.get(option).map(|text| text.trim())
    }

    /// Puts an answer in.
    pub(super) fn put(&mut self, option: &'static str, answer: &str) {
        self.0.insert(option, answer.to_owned());
    }
}

/// Something that hangs on the bank already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct There {
    /// The name of the device in the file.
    pub(super) name: String,
    /// Its kind, in the words of the file.
    pub(super) kind: &'static str,
    /// The key that its figure belongs to.
    pub(super) key: &'static str,
    /// Its figure as written.
    pub(super) figure: String,
}

/// A case or a box: length, width, height, each as written.
pub(super) type Size = [String; 3];

/// The answers as understood; quantities stay in the owner's own words.
#[derive(Clone, Debug)]
pub(super) struct Answers {
    pub(super) name: String,
    pub(super) kind: RigKind,
    pub(super) practice: Practice,
    pub(super) chemistry: Chemistry,
    pub(super) block_volts: String,
    pub(super) rating: String,
    pub(super) series: u32,
    pub(super) parallel: u32,
    pub(super) case: Option<Size>,
    pub(super) inside: Option<Size>,
    pub(super) there: Vec<There>,
}

impl Answers {
    /// Understands every answer, or says which one cannot be.
    pub(super) fn of(given: &Given) -> Result<Self, Failure> {
        let text = |option: &str| given.get(option).unwrap_or("");
        let kind = kind(text("kind"))?;
        let us = us(text("rules"))?;
        let volts = volts(text("volts"))?;
        let (block_volts, rating) = label(text("block"))?;
        let series = series(volts, &block_volts)?;
        let size = |option: &'static str| {
            given.get(option).filter(|t| !t.is_empty()).map(|t| size(option, t)).transpose()
        };
        Ok(Self {
            name: text("name").to_owned(),
            kind,
            practice: practice(kind, us),
            chemistry: chemistry(text("chemistry"))?,
            block_volts,
            rating,
            series,
            parallel: parallel(text("parallel"))?,
            case: size("case")?,
            inside: size("box")?,
            there: there(text("there"))?,
        })
    }

    /// Whether one answer can be understood by itself.
    pub(super) fn understands(option: &'static str, text: &str) -> Result<(), Failure> {
        match option {
            "kind" => kind(text).map(drop),
            "rules" => us(text).map(drop),
            "volts" => volts(text).map(drop),
            "chemistry" => chemistry(text).map(drop),
            "block" => label(text).map(drop),
            "parallel" => parallel(text).map(drop),
            "case" | "box" => size(option, text).map(drop),
            "there" => there(text).map(drop),
            _ => Ok(()),
        }
    }
}

fn words<T: Copy>(all: &[T], word: fn(T) -> &'static str) -> Vec<String> {
    all.iter().map(|t| word(*t).to_owned()).collect()
}

fn kind(text: &str) -> Result<RigKind, Failure> {
    let wanted = text.to_lowercase();
    let found = RigKind::ALL.into_iter().find(|k| k.word() == wanted);
    found.ok_or_else(|| Failure::not_one_of("kind", text, &words(&RigKind::ALL, RigKind::word)))
}

fn us(text: &str) -> Result<bool, Failure> {
    match text.to_lowercase().as_str() {
        "us" => Ok(true),
        "eu" | "uk" => Ok(false),
        _ => Err(Failure::not_one_of("rules", text, &["us".to_owned(), "eu".to_owned()])),
    }
}

const fn practice(kind: RigKind, us: bool) -> Practice {
    match (kind, us) {
        (RigKind::Trailer | RigKind::Van, true) => Practice::UsTrailer,
        (RigKind::Boat, true) => Practice::UsBoat,
        (RigKind::Cabin, true) => Practice::UsCabin,
        (RigKind::Trailer | RigKind::Van, false) => Practice::EuVehicle,
        (RigKind::Boat, false) => Practice::EuBoat,
        (RigKind::Cabin, false) => Practice::EuCabin,
    }
}

fn volts(text: &str) -> Result<u32, Failure> {
    let number = text.trim().trim_end_matches(['V', 'v']).trim();
    let found = number.parse().ok().filter(|v| BANK_VOLTS.contains(v));
    let all = || BANK_VOLTS.map(|v| format!("{v} V")).to_vec();
    found.ok_or_else(|| Failure::not_one_of("volts", text, &all()))
}

fn chemistry(text: &str) -> Result<Chemistry, Failure> {
    let found = Chemistry::ALL.into_iter().find(|c| c.word().eq_ignore_ascii_case(text));
    let all = || words(&Chemistry::ALL, Chemistry::word);
    found.ok_or_else(|| Failure::not_one_of("chemistry", text, &all()))
}

/// "6 V, 190 Ah at 20 h" as the block's volts and its rating; many labels have no comma.
fn label(text: &str) -> Result<(String, String), Failure> {
    let after_volts = || text.find(['V', 'v']).map(|at| text.split_at(at + 1));
    let Some((volts, rating)) = text.split_once(',').or_else(after_volts) else {
        return Err(Failure::no_label(text));
    };
    let (volts, rating) = (volts.trim(), rating.trim());
    if rating.is_empty() {
        return Err(Failure::no_label(text));
    }
    let bare = rating.strip_suffix(['h', 'H']).and_then(|t| t.strip_suffix(['A', 'a']));
    if bare.is_some_and(|number| number.trim().parse::<f64>().is_ok()) {
        return Err(Failure::no_hours(rating));
    }
    parse::voltage(volts).map_err(|e| Failure::option("block", &e))?;
    parse::rating(rating).map_err(|e| Failure::option("block", &e))?;
    Ok((volts.to_owned(), rating.to_owned()))
}

/// How many blocks in a row make the bank.
fn series(bank: u32, block: &str) -> Result<u32, Failure> {
    let block_v = parse::voltage(block).map_err(|e| Failure::option("block", &e))?.as_volts();
    let bank_v = f64::from(bank);
    let near = |count: &u32| (f64::from(*count) * block_v - bank_v).abs() <= NEAR * bank_v;
    let apart = |count: &u32| (f64::from(*count) * block_v - bank_v).abs();
    let fits = (1..=COUNT_MAX).filter(near).min_by(|a, b| apart(a).total_cmp(&apart(b)));
    fits.ok_or_else(|| Failure::no_series(block, bank))
}

fn parallel(text: &str) -> Result<u32, Failure> {
    let found = text.trim().parse().ok().filter(|n| (1..=COUNT_MAX).contains(n));
    found.ok_or_else(|| {
        Failure::out_of_range("parallel", text, &format!("a whole number from 1 to {COUNT_MAX}"))
    })
}

/// "260 x 181 x 276 mm" as three lengths; a unit at the end goes for all that have none.
fn size(option: &'static str, text: &str) -> Result<Size, Failure> {
    let parts: Vec<&str> = text.split(['x', 'X', '×']).map(str::trim).collect();
    let [length, width, height] = parts.as_slice() else {
        return Err(Failure::no_size(option, text));
    };
    let unit = height.trim_start_matches(|c: char| c.is_ascii_digit() || " ./".contains(c));
    let whole = |part: &str| {
        let bare = part.chars().all(|c| c.is_ascii_digit() || " ./".contains(c));
        let text = if bare { format!("{part} {unit}") } else { part.to_owned() };
        parse::length(&text).map(|_| text).map_err(|e| Failure::option(option, &e))
    };
    Ok([whole(length)?, whole(width)?, whole(height)?])
}

/// The kinds that may be there, with the key of their figure. Longer words stand before shorter
/// ones that begin alike.
const KINDS: [(&str, &str, &str); 4] = [
    ("panel", "panel", "rating"),
    ("charger", "charger", "rating"),
    ("inverter", "inverter", "power"),
    ("solar controller", "solar controller", "rating"),
];

/// "panel 45 A, inverter 1500 W" as devices.
fn there(text: &str) -> Result<Vec<There>, Failure> {
    let mut all: Vec<There> = Vec::new();
    for item in text.split(',').map(str::trim).filter(|i| !i.is_empty()) {
        let found = KINDS.iter().find(|k| item.to_lowercase().starts_with(k.0));
        let Some((word, kind, key)) = found.copied() else {
            let known: Vec<String> = KINDS.iter().map(|k| k.0.to_owned()).collect();
            return Err(Failure::not_one_of("there", item, &known));
        };
        let figure = item.get(word.len()..).unwrap_or("").trim();
        let read = match key {
            "power" => parse::power(figure).map(drop),
            _ => parse::current(figure).map(drop),
        };
        read.map_err(|e| Failure::option("there", &e))?;
        let same = all.iter().filter(|t| t.kind == kind).count();
        let name = if same == 0 { word.to_owned() } else { format!("{word} {}", same + 1) };
        all.push(There { name, kind, key, figure: figure.to_owned() });
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::{label, series, size, there, volts};

    #[test]
    fn blocks_in_a_row_make_the_bank() {
        for (bank, block, want) in
            [(12, "6 V", 2), (24, "2 V", 12), (48, "51.2 V", 1), (12, "12.8 V", 1), (24, "12 V", 2)]
        {
            let got = series(bank, block).unwrap_or(0);
            assert_eq!(got, want, "{block} for {bank} V");
        }
        assert!(series(12, "8 V").is_err(), "8 V blocks make no 12 V");
    }

    #[test]
    fn sizes_share_a_unit() {
        let got = size("case", "260 x 181 x 276 mm").ok();
        assert_eq!(got, Some(["260 mm", "181 mm", "276 mm"].map(str::to_owned)), "one unit");
        let got = size("case", "10 1/4 in x 7 in x 11 in").ok();
        assert_eq!(got, Some(["10 1/4 in", "7 in", "11 in"].map(str::to_owned)), "own units");
        assert!(size("case", "260 X 181 X 276 mm").is_ok(), "a large cross");
        assert!(size("case", "260 x 181 mm").is_err(), "two are not three");
        assert!(size("case", "260 x 181 x 276").is_err(), "no unit");
    }

    #[test]
    fn labels_and_devices_read_as_spoken() {
        assert!(label("6 V, 190 Ah at 20 h").is_ok(), "a label");
        let bare = label("12V 100Ah at 20h").ok();
        assert_eq!(bare, Some(("12V".to_owned(), "100Ah at 20h".to_owned())), "no comma");
        let hours = label("12V 100Ah").map_err(|f| f.shown());
        assert!(hours.is_err_and(|f| f.contains("over how many hours")), "the hours are asked for");
        assert!(label("190 Ah").is_err() && label("12 V").is_err(), "half a label");
        assert_eq!(there("Panel 45 A").map_or(0, |all| all.len()), 1, "a capital letter");
        assert!(there("PANEL").is_err() && there("İpanel 4 A").is_err(), "no figure, no kind");
        assert!(volts("13").is_err(), "no such bank");
        let two = there("charger 45 A, charger 10 A, inverter 1500 W").unwrap_or_default();
        let names: Vec<&str> = two.iter().map(|t| t.name.as_str()).collect();
        assert_eq!(names, ["charger", "charger 2", "inverter"], "each its own name");
        assert!(there("toaster 900 W").is_err(), "not a kind");
        assert!(there("panel 45 W").is_err(), "not a current");
    }
}
