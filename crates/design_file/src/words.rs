//! Every sentence the reader can say about a value or a table, one constructor each.

use crate::fault::Trouble;
use crate::nearest;
use engine::units::parse::ParseError;

/// At most this much of the owner's text is shown back.
const SHOWN: usize = 60;

/// The owner's text in quotes, cut short when long.
pub(crate) fn quoted(text: &str) -> String {
    let mut shown: String = text.chars().take(SHOWN).collect();
    if text.chars().count() > SHOWN {
        shown.push('…');
    }
    format!("\"{}\"", shown.replace(['\n', '\r', '\t'], " "))
}

/// A list of words as one reads it out: a, b or c.
pub(crate) fn either<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("\"{}\"", w.as_ref())).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// A list of words without quotes: a, b or c.
fn listed(words: &[&str]) -> String {
    either(words).replace('"', "")
}

/// A sentence made to stand after a colon: small first letter, unless it is a word of its own.
fn small(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == ' ' => {
            first.to_lowercase().chain(std::iter::once(second)).chain(chars).collect()
        }
        _ => text.to_owned(),
    }
}

pub(crate) fn quantity(subject: &str, error: &ParseError) -> Trouble {
    let write = with_point(&error.text).unwrap_or_else(|| error.write.to_owned());
    Trouble::error(format!("{subject}: {}", small(&error.says)), format!("Write {write}."))
}

/// "1,4 m" written with a point, and both readings where the comma may part thousands.
fn with_point(text: &str) -> Option<String> {
    let (before, after) = text.split_once(',')?;
    if after.contains(',') || !before.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let digits = after.chars().take_while(char::is_ascii_digit).count();
    let point = format!("{before}.{after}");
    match digits {
        0 => None,
        3 => Some(format!("\"{before}{after}\" or \"{point}\"")),
        _ => Some(format!("\"{point}\"")),
    }
}

pub(crate) fn rating_without_rate(subject: &str, text: &str) -> Trouble {
    let says = format!(
        "{subject}: {} says no hour rate, and the same battery gives fewer amp-hours at a higher current.",
        quoted(text)
    );
    let write = format!(
        "Write \"{} at 20 h\" if the label says 20 h or C20; copy the hours from the label.",
        text.trim()
    );
    Trouble::error(says, write)
}

pub(crate) fn out_of_bounds(subject: &str, text: &str, bounds: (&str, &str)) -> Trouble {
    let says = if text.trim_start_matches('"').starts_with('-') && !bounds.0.starts_with('-') {
        format!("{subject}: {text} is below zero.")
    } else {
        format!("{subject}: {text} cannot be meant.")
    };
    Trouble::error(says, format!("Write a value from {} to {}.", bounds.0, bounds.1))
}

pub(crate) fn unit_wanted(subject: &str, number: &str, examples: &[String]) -> Trouble {
    let says = format!("{subject}: {number} does not say its unit.");
    Trouble::error(says, format!("Write {}, in quotes.", either(examples)))
}

pub(crate) fn wrong_type(subject: &str, found: &str, wanted: &str, write: &str) -> Trouble {
    Trouble::error(format!("{subject}: here stands {found}, wanted is {wanted}."), write.to_owned())
}

pub(crate) fn not_a_word(subject: &str, text: &str, known: &[&str]) -> Trouble {
    let meant = nearest::key(text, known.iter().copied());
    let says = format!("{subject}: {} is none of the words known here.", quoted(text));
    let write = match &meant {
        Some(meant) if known.len() > 6 => format!("Did you mean \"{meant}\"?"),
        Some(meant) => format!("Did you mean \"{meant}\"? The words are {}.", either(known)),
        None => format!("Write {}.", either(known)),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(crate) fn not_a_turn(subject: &str, text: &str) -> Trouble {
    let says = format!("{subject}: {} is no quarter turn.", quoted(text));
    Trouble::error(says, "Write \"0 deg\", \"90 deg\", \"180 deg\" or \"270 deg\".".to_owned())
}

pub(crate) fn not_a_moment(subject: &str, text: &str) -> Trouble {
    let says = format!("{subject}: {} is no sideways moment.", quoted(text));
    Trouble::error(says, "Write it in kilogram metres, \"12 kg m\".".to_owned())
}

pub(crate) fn not_a_point(subject: &str) -> Trouble {
    let says = format!("{subject}: a point is two lengths, to the right and away from you.");
    Trouble::error(says, "Write [\"20 mm\", \"35 mm\"].".to_owned())
}

pub(crate) fn not_twelve(subject: &str, count: usize) -> Trouble {
    let says = format!("{subject}: {count} numbers stand here, wanted are twelve.");
    Trouble::error(says, "Write one number for each month, January first.".to_owned())
}

pub(crate) fn not_a_month(subject: &str, text: &str) -> Trouble {
    let says = format!("{subject}: {text} is no month.");
    Trouble::error(says, "Write a number from 1 to 12, or a name such as \"October\".".to_owned())
}

pub(crate) fn not_a_stretch(subject: &str, text: &str, months: bool) -> Trouble {
    let (what, write) = if months {
        ("months", "Write \"11 to 3\" or \"November to March\".")
    } else {
        ("hours of the day", "Write \"18 to 24\": from and to, in hours from midnight.")
    };
    Trouble::error(format!("{subject}: {text} are no {what}."), write.to_owned())
}

pub(crate) fn not_a_takeoff(subject: &str, text: &str) -> Trouble {
    let known = ["same end", "opposite corners"];
    let meant = nearest::word(text, known);
    let says = format!("{subject}: {} is no take-off.", quoted(text));
    let posts = "name two posts, { plus = \"A1 +\", minus = \"B2 -\" }";
    let write = match &meant {
        Some(meant) => format!("Did you mean \"{meant}\"? Or {posts}."),
        None => format!("Write \"same end\" or \"opposite corners\", or {posts}."),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(crate) fn takeoff_lacks(subject: &str, pole: &str) -> Trouble {
    let says = format!("{subject}: the {pole} side is missing.");
    Trouble::error(says, "Write { plus = \"A1 +\", minus = \"B2 -\" }.".to_owned())
}

pub(crate) fn unknown_key(subject: &str, key: &str, known: &[&str]) -> Trouble {
    let meant = nearest::key(key, known.iter().copied());
    let write = match &meant {
        Some(meant) => format!("Did you mean \"{meant}\"?"),
        None => format!("Known here: {}.", known.join(", ")),
    };
    Trouble::error(format!("{subject} has no key \"{key}\"."), write).meaning(meant)
}

/// An unknown table; the name is that of the first thing in it, where it has one.
pub(crate) fn unknown_table(
    (key, name): (&str, &str),
    known: &[&str],
    devices: &[&str],
) -> Trouble {
    let says = format!("There is no table [{key}] in a design file.");
    let spoken = key.replace(['_', '-'], " ");
    if let Some(kind) =
        devices.iter().find(|d| d.replace('-', " ") == spoken || format!("{d}s") == spoken)
    {
        let write = format!("Write [device.{}] with kind = \"{kind}\".", bare(name));
        return Trouble::error(says, write).meaning(Some("device".to_owned()));
    }
    let meant = nearest::key(key, known.iter().copied());
    let write = match &meant {
        Some(meant) => format!("Did you mean [{meant}]?"),
        None => format!("The tables are {}.", known.join(", ")),
    };
    Trouble::error(says, write).meaning(meant)
}

/// A name as it stands in a header: in quotes where it must.
pub(crate) fn bare(name: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if !name.is_empty() && name.chars().all(plain) {
        name.to_owned()
    } else {
        toml_edit::Value::from(name).to_string()
    }
}

pub(crate) fn name_missing(group: &str, example: &str) -> Trouble {
    let says = format!("[{group}] holds several things, each with a name of its own.");
    let write = format!("Name the one you mean in the header: [{group}.{example}].");
    Trouble::error(says, write)
}

pub(crate) fn table_wanted(path: &str) -> Trouble {
    let says = format!("\"{path}\" is a table, not a single value.");
    Trouble::error(says, format!("Write [{path}] on a line of its own and its keys below."))
}

pub(crate) fn not_a_list_of_tables(path: &str, name: Option<&str>) -> Trouble {
    let says = format!("[[{path}]] stands in double brackets; only [[bank]] may.");
    let name = name.map_or_else(|| "NAME".to_owned(), bare);
    Trouble::error(says, format!("Write [{path}.{name}], with a name of its own for each."))
}

pub(crate) fn missing_key(subject: &str, key: &str, example: &str) -> Trouble {
    Trouble::error(
        format!("{subject} does not say its {key}."),
        format!("Add it with your own value: {key} = {example}."),
    )
}

pub(crate) fn missing_rig() -> Trouble {
    let says = "The file has no [rig], so there is nothing to plan for.".to_owned();
    let write = "Begin with [rig] and its name, kind and practice.".to_owned();
    Trouble::error(says, write)
}

pub(crate) fn assumed(subject: &str, key: &str, taken: &str, choices: &[&str]) -> Trouble {
    let says = format!("{subject} does not say its {key}; \"{taken}\" is assumed for now.");
    Trouble::error(says, format!("Add {key} = {}.", either(choices)))
}

pub(crate) fn other_format(text: &str) -> Trouble {
    let says = format!("This file says format {text}; only format 1 is known.");
    Trouble::error(says, "Write format = 1, or use a newer program for this file.".to_owned())
}

pub(crate) fn not_of_kind(device: &str, kind: &str, key: &str, owners: &[&str]) -> Trouble {
    let article = article(kind);
    let says =
        format!("{device} is {article} {kind}; \"{key}\" says nothing about {article} {kind}.");
    let write = format!("Take it out, or move it to the {} it belongs to.", listed(owners));
    Trouble::warning(says, write)
}

pub(crate) fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

pub(crate) fn too_many_blocks(subject: &str, series: u32, parallel: u32) -> Trouble {
    let says = format!(
        "{subject}: {series} in series and {parallel} in parallel make more than 96 blocks."
    );
    Trouble::error(
        says,
        "Check series and parallel; their product is the number of blocks.".to_owned(),
    )
}

pub(crate) fn takeoff_needed(subject: &str, parallel: u32) -> Trouble {
    let says = format!(
        "{subject} has {parallel} strings and does not say where the main leads leave; \"opposite corners\" is assumed for now."
    );
    let write = "Add takeoff = \"opposite corners\", \"same end\" or two posts.".to_owned();
    Trouble::error(says, write)
}

pub(crate) fn leads_nowhere(subject: &str, what: &str, name: &str, known: &[String]) -> Trouble {
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let meant = nearest::word(name, known.iter().copied());
    let says = format!("{subject}: there is no {what} {}.", quoted(name));
    let write = match &meant {
        Some(meant) => format!("Did you mean \"{meant}\"?"),
        None if known.is_empty() => match what {
            "solar controller" => {
                format!("Add [device.{}] with kind = \"solar controller\".", bare(name))
            }
            "block model" => format!("Add [block.{}].", bare(name)),
            _ => format!("Add [{what}.{}].", bare(name)),
        },
        None if known.len() > 12 => "Use the name of one that stands in the file.".to_owned(),
        None => format!("Write {}.", either(&known)),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(crate) fn not_a_controller(subject: &str, name: &str, kind: &str, known: &[String]) -> Trouble {
    let says =
        format!("{subject}: \"{name}\" is {} {kind}, not a solar controller.", article(kind));
    let write = if known.is_empty() {
        "Name a device with kind = \"solar controller\".".to_owned()
    } else {
        format!("Write {}.", either(known))
    };
    Trouble::error(says, write)
}

pub(crate) fn outside_the_bank(
    subject: &str,
    block: &str,
    (series, parallel): (u32, u32),
    last: &str,
) -> Trouble {
    let says = format!(
        "{subject}: there is no block {block}; the bank has {parallel} {} of {series}.",
        if parallel == 1 { "string" } else { "strings" }
    );
    let write = if last == "A1" {
        "The only block is A1.".to_owned()
    } else {
        format!("The blocks run from A1 to {last}.")
    };
    Trouble::error(says, write)
}

pub(crate) fn no_such_stud(subject: &str, text: &str, what: &str, studs: &[String]) -> Trouble {
    let says = format!("{subject}: {what} has no stud \"{text}\".").replace(",, ", ", ");
    Trouble::error(says, format!("Write {}.", either(studs)))
}

pub(crate) fn no_such_terminal(subject: &str, text: &str, studs: &[String]) -> Trouble {
    let signed = crate::terminals::with_sign(text);
    let meant = nearest::word(&signed, studs.iter().map(String::as_str));
    let says = format!("{subject}: \"{text}\" names no block and no device of this file.");
    let write = match &meant {
        Some(meant) => format!("Did you mean \"{meant}\"?"),
        None if studs.len() <= 10 => format!("The studs are {}.", either(studs)),
        None => "Write a post such as \"A1 +\" or a stud of a device in the file.".to_owned(),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(crate) fn name_taken(subject: &str) -> Trouble {
    let says = format!("{subject}: this name reads as a post or stud, so no lead could reach it.");
    let write =
        "Choose a name that is not \"bank\", not like A1, and does not end in +, -, in or out.";
    Trouble::error(says, write.to_owned())
}

pub(crate) fn one_end(subject: &str, has: &str, lacks: &str) -> Trouble {
    let says = format!("{subject} has a {has} but no {lacks}.");
    Trouble::error(says, format!("Add {lacks} = with the post or stud at its other end."))
}

pub(crate) fn same_ends(subject: &str) -> Trouble {
    let says = format!("{subject} starts and ends at the same post.");
    Trouble::error(says, "Give from and to two different posts or studs.".to_owned())
}

pub(crate) fn no_such_link(name: &str, joint: bool, links: &[String], own: &[String]) -> Trouble {
    let numbers = match (links.first(), links.last()) {
        (Some(first), Some(last)) => format!("the links of the bank are {first} to {last}"),
        _ => "the bank has no links".to_owned(),
    };
    if joint {
        let meant = nearest::word(name, own.iter().map(String::as_str));
        let says = format!("joints of lead {name}: there is no lead \"{name}\"; {numbers}.");
        let write = match &meant {
            Some(meant) => format!("Did you mean [joint.{}]?", bare(meant)),
            None => "Name a lead of the file or the number of a link.".to_owned(),
        };
        return Trouble::error(says, write).meaning(meant);
    }
    let says = format!("lead {name} has neither from nor to, and is no link: {numbers}.");
    Trouble::error(says, "Add from and to, or take the number of a link.".to_owned())
}

pub(crate) fn not_measured(key: &str) -> Trouble {
    let says = format!("as built, volts: \"{key}\" is nothing that was measured across.");
    Trouble::error(says, "Write \"A1\", \"string A\" or \"gap 5\".".to_owned())
}

pub(crate) fn two_banks(stage: &str) -> Trouble {
    let says = format!("Two banks stand from stage \"{stage}\" on.");
    Trouble::error(says, "Give each [[bank]] a stage of its own.".to_owned())
}

pub(crate) fn out_before_in(subject: &str) -> Trouble {
    let says = format!("{subject} is taken out before it is fitted, so it is never there.");
    Trouble::warning(says, "Check its stage and until.".to_owned())
}

pub(crate) fn nothing_below(subject: &str, more: &str) -> Trouble {
    let says = format!("{subject} is a single value; there is no \"{more}\" below it.");
    Trouble::error(says, "End the path there.".to_owned())
}

pub(crate) fn name_wanted(path: &str) -> Trouble {
    let says = format!("{path} holds several things, each with a name.");
    Trouble::error(says, format!("Write {path}.NAME and the key: {path}.NAME.note."))
}

pub(crate) fn key_wanted(path: &str, subject: &str) -> Trouble {
    let says = format!("{subject} is a table, and a table takes no value.");
    Trouble::error(says, format!("Add the key that is to change: {path}.KEY=VALUE."))
}

pub(crate) fn empty_path() -> Trouble {
    let says = "The path is empty.".to_owned();
    Trouble::error(says, "Write a table and a key, such as bank.parallel.".to_owned())
}

pub(crate) fn no_such_bank(nth: usize, count: usize) -> Trouble {
    let says = format!("There is no bank.{nth}; the file has {count}, counted from 0.");
    Trouble::error(says, "Write bank alone for the one in force.".to_owned())
}

pub(crate) fn no_such_name(path: &str, name: &str, meant: &str) -> Trouble {
    let says = format!("{path}: nothing in the file has the name \"{name}\".");
    let write = format!("Did you mean {}?", path.replacen(name, meant, 1));
    Trouble::error(says, write).meaning(Some(meant.to_owned()))
}

pub(crate) fn not_there(path: &str) -> Trouble {
    let says = format!("{path} does not stand in the file.");
    Trouble::error(says, "There is nothing to take out.".to_owned())
}

pub(crate) fn no_room(path: &str) -> Trouble {
    let says = format!("{path} cannot be changed where it stands in this file.");
    Trouble::error(says, "Change it by hand in the file.".to_owned())
}

pub(crate) fn percent_meant(subject: &str, text: &str, number: &str) -> Trouble {
    let says = format!("{subject}: {text} cannot be meant without a % sign.");
    Trouble::error(says, format!("Write \"{number} %\", in quotes."))
}

pub(crate) fn unit_meant(subject: &str, error: &ParseError, right: &str) -> Trouble {
    let says = format!("{subject}: {}", small(&error.says));
    Trouble::error(says, format!("Did you mean \"{right}\"?")).meaning(Some(right.to_owned()))
}

pub(crate) fn not_a_block(name: &str) -> Trouble {
    let letters: String = name.chars().take_while(char::is_ascii_alphabetic).collect();
    let digits: String = name.chars().filter(char::is_ascii_digit).collect();
    let digits = if digits.is_empty() || digits == "0" { "1" } else { &digits };
    let says =
        format!("bank: \"{name}\" is no block; a block is its string's letter and its number.");
    Trouble::error(says, format!("Write [bank.{}{digits}].", letters.to_uppercase()))
}
