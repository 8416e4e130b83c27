//! The known word that an unknown one was meant to be.

/// Words that people write for a key or a table of ours.
const OTHER_WORDS: [(&str, &str); 82] = [
    ("voltage", "volts"),
    ("nominal_voltage", "volts"),
    ("capacity", "rating"),
    ("ah", "rating"),
    ("amp_hours", "rating"),
    ("amps", "rating"),
    ("amperes", "rating"),
    ("current_rating", "rating"),
    ("weight", "mass"),
    ("awg", "size"),
    ("gauge", "size"),
    ("cross_section", "size"),
    ("area", "size"),
    ("color", "colour"),
    ("lat", "latitude"),
    ("lon", "longitude"),
    ("long", "longitude"),
    ("type", "kind"),
    ("cost", "price"),
    ("title", "name"),
    ("strings", "parallel"),
    ("in_series", "series"),
    ("in_parallel", "parallel"),
    ("hours", "daily"),
    ("hours_per_day", "daily"),
    ("watts", "power"),
    ("wattage", "power"),
    ("wh", "energy"),
    ("depth", "width"),
    ("esr", "resistance"),
    ("internal_resistance", "resistance"),
    ("cca", "cranking"),
    ("aic", "interrupt"),
    ("breaking_capacity", "interrupt"),
    ("bulk", "absorption"),
    ("rules", "practice"),
    ("standard", "practice"),
    ("model", "block"),
    ("owned", "have"),
    ("comment", "note"),
    ("description", "note"),
    ("start", "from"),
    ("end", "to"),
    ("take_off", "takeoff"),
    ("route", "via"),
    ("low_voltage_cutoff", "cut_off"),
    ("battery", "block"),
    ("batteries", "block"),
    ("pack", "bank"),
    ("enclosure", "box"),
    ("tray", "box"),
    ("wire", "lead"),
    ("wires", "lead"),
    ("cable", "lead"),
    ("cables", "lead"),
    ("link", "lead"),
    ("solar", "array"),
    ("panels", "array"),
    ("appliance", "load"),
    ("consumer", "load"),
    ("location", "place"),
    ("system", "rig"),
    ("caravan", "trailer"),
    ("camper", "trailer"),
    ("motorhome", "van"),
    ("campervan", "van"),
    ("yacht", "boat"),
    ("house", "cabin"),
    ("imperial", "us"),
    ("si", "metric"),
    ("lifepo4", "LFP"),
    ("lithium", "LFP"),
    ("wet", "flooded"),
    ("lead_acid", "flooded"),
    ("mppt", "solar controller"),
    ("solar_charger", "solar controller"),
    ("circuit_breaker", "breaker"),
    ("switch", "isolator"),
    ("disconnect", "isolator"),
    ("converter", "charger"),
    ("bar", "busbar"),
    ("fuse_box", "panel"),
];

/// The nearest of the known words, if one is near enough to be meant.
pub(crate) fn word<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let plain = plain(written);
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let other = self::plain(candidate);
        if other == plain {
            return Some(candidate.to_owned());
        }
        let mut away = strsim::damerau_levenshtein(&plain, &other);
        // "interrupt_rating" means "interrupt"; three letters are needed before that can be said.
        let shorter = plain.chars().count().min(other.chars().count());
        if shorter >= 3 && (plain.starts_with(&other) || other.starts_with(&plain)) {
            away = away.min(2);
        }
        let longer = plain.chars().count().max(other.chars().count());
        if away <= (longer / 3).max(1) && away < longer && best.is_none_or(|b| away < b.0) {
            best = Some((away, candidate));
        }
    }
    best.map(|b| b.1.to_owned())
}

/// The same for keys and tables, where people also use other words for the same thing.
pub(crate) fn key<'a>(
    written: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Option<String> {
    let low = plain(written).replace(' ', "_");
    let other = OTHER_WORDS.iter().find(|w| w.0 == low).map(|w| w.1);
    match other {
        Some(other) if known.clone().into_iter().any(|k| k == other) => Some(other.to_owned()),
        _ => word(written, known),
    }
}

fn plain(text: &str) -> String {
    text.trim().to_lowercase().replace(['_', '-'], " ")
}

#[cfg(test)]
mod tests {
    use super::{key, word};

    #[test]
    fn slips_find_their_word_and_strangers_find_none() {
        let known = ["length", "size", "colour", "from", "interrupt", "short_circuit"];
        for (written, meant) in [
            ("lenght", Some("length")),
            ("Size", Some("size")),
            ("short circuit", Some("short_circuit")),
            ("interrupt_rating", Some("interrupt")),
            ("bananas", None),
            ("x", None),
        ] {
            assert_eq!(word(written, known).as_deref(), meant, "{written}");
        }
        assert_eq!(key("gauge", known).as_deref(), Some("size"), "another word for it");
        assert_eq!(key("weight", known), None, "no mass among the known words");
    }
}
