//! One TOML value read as what its key asks for: the right type, the right unit, within bounds.

use crate::fault::Trouble;
use crate::measure::{bound, meant, measured, units};
use crate::schema::{Field, Kind};
use crate::words;
use engine::model::lead::Terminal;
use engine::model::load::Span;
use engine::model::part::{PlanPoint, Turn};
use engine::units::Length;
use engine::units::capacity::{Capacity, Rating};
use engine::units::conductor::ConductorSize;
use engine::units::parse::{self, ParseError};
use std::ops::Range;
use toml_edit::Value as Toml;

/// A name in the file with the place where it stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Named {
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// A take-off as written; bars are told from posts when all devices are known.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum RawTakeOff {
    SameEnd,
    OppositeCorners,
    Two { plus: Named, minus: Named },
}

/// A value understood.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Value {
    Text(String),
    Number(f64),
    Whole(u32),
    Flag(bool),
    /// In the base unit of its kind.
    Quantity(f64),
    Rating(Rating),
    Ratings(Vec<Capacity>),
    Size(ConductorSize),
    Turn(Turn),
    Points(Vec<PlanPoint>),
    Numbers(Vec<f64>),
    Texts(Vec<Named>),
    Terminal(Terminal),
    Stretch(Span),
    TakeOff(RawTakeOff),
}

/// Something wrong inside a value, at a place of it.
pub(crate) struct Misread {
    pub(crate) trouble: Trouble,
    pub(crate) span: Range<usize>,
}

/// Reads values of one key and keeps what is wrong with them.
pub(crate) struct Reading<'a> {
    subject: &'a str,
    field: &'static Field,
    pub(crate) misread: Vec<Misread>,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The number of a month named by its first letters, at least three.
fn month_number(text: &str) -> Option<u32> {
    let named = |m: &&str| text.len() >= 3 && m.to_lowercase().starts_with(text);
    MONTHS.iter().position(named).and_then(|at| u32::try_from(at + 1).ok())
}

impl<'a> Reading<'a> {
    /// A reading of a key; the subject is how a sentence names it: `lead 8, size`.
    pub(crate) fn new(subject: &'a str, field: &'static Field) -> Self {
        Self { subject, field, misread: Vec::new() }
    }

    /// The value, or what is wrong with it in `misread`.
    pub(crate) fn value(&mut self, toml: &Toml) -> Option<Value> {
        match self.field.kind {
            Kind::Text | Kind::Name(_) => self.text(toml).map(Value::Text),
            Kind::Word(known) => self.word(toml, known).map(Value::Text),
            Kind::Words(known) => self.words(toml, known),
            Kind::Texts | Kind::Loads => self.texts(toml).map(Value::Texts),
            Kind::Number => self.number(toml).map(Value::Number),
            Kind::Whole => self.whole(toml).map(Value::Whole),
            Kind::Flag => self.flag(toml).map(Value::Flag),
            Kind::Months => self.months(toml),
            Kind::Month => self.month(toml),
            Kind::Stretch => self.stretch(toml),
            Kind::Rating => self.rating(toml).map(Value::Rating),
            Kind::Ratings => self.ratings(toml),
            Kind::Size => self.size(toml),
            Kind::Turn => self.turn(toml),
            Kind::Point => self.point(toml).map(|p| Value::Points(vec![p])),
            Kind::Route => self.route(toml),
            Kind::Terminal => self.terminal(toml),
            Kind::TakeOff => self.takeoff(toml),
            _ => self.quantity(toml, self.field.kind).map(Value::Quantity),
        }
    }

    fn fail<T>(&mut self, toml: &Toml, trouble: Trouble) -> Option<T> {
        self.misread.push(Misread { trouble, span: toml.span().unwrap_or(0..0) });
        None
    }

    fn wrong<T>(&mut self, toml: &Toml, wanted: &str, write: &str) -> Option<T> {
        let trouble = words::wrong_type(self.subject, &found(toml), wanted, write);
        self.fail(toml, trouble)
    }

    fn text(&mut self, toml: &Toml) -> Option<String> {
        match toml.as_str() {
            Some(text) => Some(text.to_owned()),
            None => self.wrong(toml, "text", &format!("Write \"{}\", in quotes.", shown(toml))),
        }
    }

    fn word(&mut self, toml: &Toml, known: &'static [&'static str]) -> Option<String> {
        let Some(text) = toml.as_str() else {
            return self.wrong(toml, "a word", &format!("Write {}.", words::either(known)));
        };
        if known.contains(&text) {
            return Some(text.to_owned());
        }
        let trouble = words::not_a_word(self.subject, text, known);
        self.fail(toml, trouble)
    }

    fn texts(&mut self, toml: &Toml) -> Option<Vec<Named>> {
        let Some(list) = toml.as_array() else {
            return self.wrong(toml, "a list of texts", "Write [\"one\", \"two\"].");
        };
        let mut texts = Vec::new();
        for item in list {
            if let Some(text) = self.text(item) {
                texts.push(Named { text, span: item.span().unwrap_or(0..0) });
            }
        }
        Some(texts)
    }

    fn words(&mut self, toml: &Toml, known: &'static [&'static str]) -> Option<Value> {
        let texts = self.texts(toml)?;
        let (good, bad): (Vec<_>, Vec<_>) =
            texts.into_iter().partition(|t| known.contains(&t.text.as_str()));
        for named in bad {
            let trouble = words::not_a_word(self.subject, &named.text, known);
            self.misread.push(Misread { trouble, span: named.span });
        }
        Some(Value::Texts(good))
    }

    fn number(&mut self, toml: &Toml) -> Option<f64> {
        let value = match toml {
            Toml::Integer(whole) => whole_as_float(*whole.value()),
            Toml::Float(float) => *float.value(),
            Toml::String(text) if plain_number(text.value()).is_some() => {
                let write = format!("Write {} without quotes.", text.value().trim());
                return self.wrong(toml, "a number", &write);
            }
            _ => {
                return self.wrong(
                    toml,
                    "a number",
                    "Write a plain number, without quotes or unit.",
                );
            }
        };
        self.bounded(toml, value).then_some(value)
    }

    fn whole(&mut self, toml: &Toml) -> Option<u32> {
        if let Toml::Float(_) = toml {
            return self.wrong(toml, "a whole number", "Write it without decimals.");
        }
        let value = self.number(toml)?;
        // The bounds of every whole number lie between 0 and 1000.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bounded by the schema"
        )]
        let whole = value.clamp(0.0, 1_000_000.0) as u32;
        Some(whole)
    }

    fn flag(&mut self, toml: &Toml) -> Option<bool> {
        if let Some(flag) = toml.as_bool() {
            return Some(flag);
        }
        let text = toml.as_str().map(str::to_lowercase);
        let write = match (text.as_deref(), toml.as_integer()) {
            (Some("yes" | "y" | "true" | "on"), _) | (_, Some(1)) => "Write true, without quotes.",
            (Some("no" | "n" | "false" | "off"), _) | (_, Some(0)) => {
                "Write false, without quotes."
            }
            _ => "Write true or false, without quotes.",
        };
        self.wrong(toml, "true or false", write)
    }

    fn bounded(&mut self, toml: &Toml, value: f64) -> bool {
        let (low, high) = (self.field.low, self.field.high);
        // A hair of room, so that "1 %" is not lost to rounding at a bound of 0.01.
        let room = 1e-9 * high.abs().max(low.abs()).min(1e9);
        if value.is_finite() && low - room <= value && value <= high + room {
            return true;
        }
        let percent = toml.as_str().is_some_and(|t| t.contains(['%', 'p']));
        if self.field.kind == Kind::Share && !percent && low <= value * 0.01 && value * 0.01 <= high
        {
            let number = shown(toml);
            let trouble = words::percent_meant(self.subject, &written(toml), number.trim());
            return self.fail(toml, trouble).unwrap_or(false);
        }
        if self.field.key == "format" {
            let trouble = words::other_format(&shown(toml));
            return self.fail(toml, trouble).unwrap_or(false);
        }
        let (low, high) = (bound(self.field.kind, low), bound(self.field.kind, high));
        let trouble = words::out_of_bounds(self.subject, &written(toml), (&low, &high));
        self.fail(toml, trouble).unwrap_or(false)
    }

    fn months(&mut self, toml: &Toml) -> Option<Value> {
        let Some(list) = toml.as_array() else {
            return self.wrong(toml, "a list of twelve numbers", "Write [1.2, 2.0, ...].");
        };
        let numbers: Vec<f64> = list.iter().filter_map(|item| self.number(item)).collect();
        if list.len() != 12 {
            let trouble = words::not_twelve(self.subject, list.len());
            return self.fail(toml, trouble);
        }
        (numbers.len() == 12).then_some(Value::Numbers(numbers))
    }

    fn month(&mut self, toml: &Toml) -> Option<Value> {
        let number = match toml {
            Toml::Integer(number) => u32::try_from(*number.value()).ok(),
            Toml::String(text) => month_number(&text.value().trim().to_lowercase()),
            _ => None,
        };
        match number.filter(|n| (1..=12).contains(n)) {
            Some(number) => Some(Value::Whole(number)),
            None => {
                let trouble = words::not_a_month(self.subject, &written(toml));
                self.fail(toml, trouble)
            }
        }
    }

    /// `18 to 24`, or `November to March` where months are meant.
    fn stretch(&mut self, toml: &Toml) -> Option<Value> {
        let text = toml.as_str().unwrap_or_default().to_lowercase();
        let months = self.field.high <= 12.0;
        let one = |word: &str| {
            let word = word.trim();
            let month = || months.then(|| month_number(word)).flatten().map(f64::from);
            plain_number(word).or_else(month)
        };
        let ends = text.split_once(" to ").or_else(|| text.split_once('-'));
        match ends.and_then(|(from, to)| one(from).zip(one(to))) {
            Some((from, to)) => {
                let inside = self.bounded(toml, from) && self.bounded(toml, to);
                inside.then_some(Value::Stretch(Span { from, to }))
            }
            None => {
                let trouble = words::not_a_stretch(self.subject, &written(toml), months);
                self.fail(toml, trouble)
            }
        }
    }

    /// A text for a quantity; a bare number is told to take a unit.
    fn with_unit<'t>(&mut self, toml: &'t Toml, kind: Kind) -> Option<&'t str> {
        if let Some(text) = toml.as_str() {
            return Some(text);
        }
        if matches!(toml, Toml::Integer(_) | Toml::Float(_)) {
            let number = shown(toml);
            let trouble = words::unit_wanted(self.subject, &number, &self.offers(kind, &number));
            return self.fail(toml, trouble);
        }
        let unit = units(kind).first().copied().unwrap_or("");
        self.wrong(
            toml,
            "text with a unit",
            &format!("Write a number with its unit: \"12 {unit}\"."),
        )
    }

    fn quantity(&mut self, toml: &Toml, kind: Kind) -> Option<f64> {
        // A share may be a plain number: 0.5 is the same as "50 %".
        if kind == Kind::Share && matches!(toml, Toml::Float(_) | Toml::Integer(_)) {
            return self.number(toml);
        }
        let text = self.with_unit(toml, kind)?;
        if kind == Kind::Moment {
            let number = text.trim().strip_suffix("kg m").and_then(plain_number);
            let Some(number) = number else {
                let trouble = words::not_a_moment(self.subject, text);
                return self.fail(toml, trouble);
            };
            return self.bounded(toml, number).then_some(number);
        }
        match measured(kind, text) {
            Ok(value) => self.bounded(toml, value).then_some(value),
            Err(error) => self.refuse(toml, kind, &error),
        }
    }

    /// The number with each unit that leaves it within bounds.
    fn offers(&self, kind: Kind, number: &str) -> Vec<String> {
        let with = |unit: &&str| format!("{} {unit}", number.trim());
        let fits = |text: &String| {
            let inside = |v: f64| self.field.low <= v && v <= self.field.high;
            match kind {
                Kind::Size => likely_size(text),
                Kind::Rating | Kind::Ratings | Kind::Moment => true,
                _ => measured(kind, text).is_ok_and(inside),
            }
        };
        let all: Vec<String> = units(kind).iter().map(with).collect();
        let fitting: Vec<&String> = all.iter().filter(|t| fits(t)).collect();
        let offered = if fitting.is_empty() { all.iter().collect() } else { fitting };
        offered.into_iter().cloned().collect()
    }

    /// A text that is not the quantity: told with the unit or the number that was meant.
    fn refuse<T>(&mut self, toml: &Toml, kind: Kind, error: &ParseError) -> Option<T> {
        let right = meant(kind, error);
        let bare =
            error.says == "The unit is missing." || error.says.starts_with("It does not say");
        let trouble = if bare {
            let offers = self.offers(kind, &error.text);
            words::unit_wanted(self.subject, &words::quoted(&error.text), &offers)
        } else if let Some(right) = right {
            words::unit_meant(self.subject, error, &right)
        } else {
            words::quantity(self.subject, error)
        };
        self.fail(toml, trouble)
    }

    fn rating(&mut self, toml: &Toml) -> Option<Rating> {
        let text = self.with_unit(toml, Kind::Rating)?;
        match parse::rating(text) {
            Ok(rating) => {
                let value = match rating {
                    Rating::Capacity(capacity) => capacity.as_amp_hours(),
                    Rating::Reserve(time) => time.as_hours() * 60.0,
                    Rating::Cranking(amps) => amps.as_amps(),
                };
                self.bounded(toml, value).then_some(rating)
            }
            Err(_) if text.trim().ends_with("Ah") => {
                let trouble = words::rating_without_rate(self.subject, text);
                self.fail(toml, trouble)
            }
            Err(error) => self.refuse(toml, Kind::Rating, &error),
        }
    }

    fn ratings(&mut self, toml: &Toml) -> Option<Value> {
        const WRITE: &str = "Write [\"155 Ah at 10 h\", \"145 Ah at 5 h\"].";
        let Some(list) = toml.as_array() else {
            return self.wrong(toml, "a list of amp-hours at hour rates", WRITE);
        };
        let mut capacities = Vec::new();
        for item in list {
            match self.rating(item) {
                Some(Rating::Capacity(capacity)) => capacities.push(capacity),
                Some(_) => return self.wrong(item, "amp-hours at an hour rate", WRITE),
                None => {}
            }
        }
        Some(Value::Ratings(capacities))
    }

    fn size(&mut self, toml: &Toml) -> Option<Value> {
        let text = self.with_unit(toml, Kind::Size)?;
        match parse::conductor_size(text) {
            Ok(size) => Some(Value::Size(size)),
            Err(error) => self.refuse(toml, Kind::Size, &error),
        }
    }

    fn turn(&mut self, toml: &Toml) -> Option<Value> {
        let degrees = self.quantity(toml, Kind::Angle)?;
        match Turn::from_degrees(degrees) {
            Some(turn) => Some(Value::Turn(turn)),
            None => {
                let trouble = words::not_a_turn(self.subject, &shown(toml));
                self.fail(toml, trouble)
            }
        }
    }

    fn point(&mut self, toml: &Toml) -> Option<PlanPoint> {
        let pair = toml.as_array().filter(|list| list.len() == 2);
        let ends = pair.and_then(|list| Some((list.get(0)?, list.get(1)?)));
        let Some((x, y)) = ends else {
            let trouble = words::not_a_point(self.subject);
            return self.fail(toml, trouble);
        };
        let x = self.quantity(x, Kind::Length);
        let y = self.quantity(y, Kind::Length);
        Some(PlanPoint { x: Length::mm(x?), y: Length::mm(y?) })
    }

    fn route(&mut self, toml: &Toml) -> Option<Value> {
        let Some(list) = toml.as_array() else {
            return self.wrong(toml, "a list of points", "Write [[\"20 mm\", \"35 mm\"]].");
        };
        let points: Vec<PlanPoint> = list.iter().filter_map(|item| self.point(item)).collect();
        Some(Value::Points(points))
    }

    fn terminal(&mut self, toml: &Toml) -> Option<Value> {
        let text = self.text(toml)?;
        match crate::terminals::read(&text) {
            Ok(terminal) => Some(Value::Terminal(terminal)),
            Err(trouble) => {
                let trouble = trouble(self.subject);
                self.fail(toml, trouble)
            }
        }
    }

    fn takeoff(&mut self, toml: &Toml) -> Option<Value> {
        if let Some(text) = toml.as_str() {
            return match text {
                "same end" => Some(Value::TakeOff(RawTakeOff::SameEnd)),
                "opposite corners" => Some(Value::TakeOff(RawTakeOff::OppositeCorners)),
                _ => {
                    let trouble = words::not_a_takeoff(self.subject, text);
                    self.fail(toml, trouble)
                }
            };
        }
        let Some(table) = toml.as_inline_table() else {
            let write = "Write \"same end\", \"opposite corners\" or { plus = \"A1 +\", minus = \"B2 -\" }.";
            return self.wrong(toml, "a take-off", write);
        };
        for (key, value) in table {
            if key != "plus" && key != "minus" {
                let trouble = words::unknown_key(self.subject, key, &["plus", "minus"]);
                self.fail::<()>(value, trouble);
            }
        }
        let plus = self.takeoff_side(toml, table, "plus");
        let minus = self.takeoff_side(toml, table, "minus");
        Some(Value::TakeOff(RawTakeOff::Two { plus: plus?, minus: minus? }))
    }

    fn takeoff_side(
        &mut self,
        whole: &Toml,
        table: &toml_edit::InlineTable,
        pole: &str,
    ) -> Option<Named> {
        let Some(side) = table.get(pole) else {
            let trouble = words::takeoff_lacks(self.subject, pole);
            return self.fail(whole, trouble);
        };
        let text = self.text(side)?;
        Some(Named { text, span: side.span().unwrap_or(0..0) })
    }
}

fn plain_number(text: &str) -> Option<f64> {
    let text = text.trim();
    let digit = text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'));
    if digit { text.parse().ok().filter(|v: &f64| v.is_finite()) } else { None }
}

/// Whole numbers of a design file are small; a huge one only has to stay huge.
fn whole_as_float(whole: i64) -> f64 {
    i32::try_from(whole).map_or(if whole < 0 { -1e15 } else { 1e15 }, f64::from)
}

/// A size that one finds on a jacket in such a rig; thinner gauges are not bolted to anything.
fn likely_size(text: &str) -> bool {
    match parse::conductor_size(text) {
        Ok(ConductorSize::Awg(gauge) | ConductorSize::Boat(gauge)) => gauge.as_number() <= 20,
        Ok(ConductorSize::Metric(_)) => true,
        Err(_) => false,
    }
}

/// A value as the owner wrote it, without the quotes and spaces around it.
pub(crate) fn shown(toml: &Toml) -> String {
    let text =
        toml.as_str().map_or_else(|| toml.clone().decorated("", "").to_string(), str::to_owned);
    text.chars().take(60).collect()
}

/// A value as the owner wrote it, with its quotes.
fn written(toml: &Toml) -> String {
    if toml.as_str().is_some() { words::quoted(&shown(toml)) } else { shown(toml) }
}

/// What a value is, in plain words.
fn found(toml: &Toml) -> String {
    match toml {
        Toml::String(text) => format!("the text {}", words::quoted(text.value())),
        Toml::Integer(_) | Toml::Float(_) => format!("the number {}", shown(toml)),
        Toml::Boolean(flag) => format!("the word {}", flag.value()),
        Toml::Datetime(_) => "a date".to_owned(),
        Toml::Array(_) => "a list".to_owned(),
        Toml::InlineTable(_) => "a table in braces".to_owned(),
    }
}
