//! What `prove` made of the sheets: alarms, ranks, and whether its odds come true.

use crate::fault::Fault;
use engine::prove::{FaultKind, Part, Proof, Verdict};
use std::collections::BTreeMap;

/// What became of one sheet.
pub(crate) struct Outcome {
    pub(crate) seed: u64,
    pub(crate) fault: Fault,
    pub(crate) demo: &'static str,
    /// With the whole sheet.
    pub(crate) whole: Read,
    /// With five readings, each asked for by the ones before.
    pub(crate) asked: Read,
    /// With five readings at random.
    pub(crate) random: Read,
    /// Readings asked for that no owner may take on this rig.
    pub(crate) unsafe_asked: usize,
    /// Readings asked for, on the way to which a gap showed volts.
    pub(crate) stopped: usize,
    /// What was asked for, with what was shown and what it was thought to tell.
    pub(crate) path: Vec<String>,
}

/// What some readings came to.
pub(crate) struct Read {
    /// Something is said to be wrong.
    pub(crate) alarm: bool,
    /// Place of the truth among the suspects and "nothing wrong", from 1.
    pub(crate) rank: Option<usize>,
    /// The same, were each joint of a lead a line of its own.
    pub(crate) alone: Option<usize>,
    /// Odds of the truth.
    pub(crate) truth: f64,
    /// Every odds given, and whether it came true.
    pub(crate) odds: Vec<(f64, bool)>,
    /// The first three, in words, for looking at a miss.
    pub(crate) said: String,
}

impl Read {
    pub(crate) fn of(proof: &Proof, fault: &Fault, series: u32) -> Self {
        let sound = proof.sound;
        // A line that names the two joints of one lead is true when it is one of them.
        let mut ranked: Vec<(f64, bool, String)> = proof
            .suspects
            .iter()
            .map(|s| {
                let also = s.or_in.as_ref().map_or_else(String::new, |p| format!(" or {p}"));
                let said = format!("{}{also} {} {:.3}", s.part, s.kind.word(), s.probability);
                let mut parts = std::iter::once(&s.part).chain(&s.or_in);
                (s.probability, parts.any(|p| is_it((p, s.kind), fault, series)), said)
            })
            .collect();
        // The same with each part of a line by itself, the truth behind its equals half the time.
        let mut alone: Vec<(f64, bool)> = vec![(sound, *fault == Fault::Healthy)];
        for s in &proof.suspects {
            let parts: Vec<&Part> = std::iter::once(&s.part).chain(&s.or_in).collect();
            let each = if parts.len() == 2 { s.probability / 2.0 } else { s.probability };
            alone.extend(parts.iter().map(|p| (each, is_it((p, s.kind), fault, series))));
        }
        alone.sort_by(|a, b| b.0.total_cmp(&a.0));
        ranked.push((sound, *fault == Fault::Healthy, format!("nothing {sound:.3}")));
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
        let odds = ranked.iter().map(|r| (r.0, r.1)).collect();
        let said: Vec<&str> = ranked.iter().take(3).map(|r| r.2.as_str()).collect();
        Self {
            alarm: matches!(proof.verdict, Verdict::Remake | Verdict::Stop),
            rank: ranked.iter().position(|r| r.1).map(|at| at + 1),
            alone: alone.iter().position(|r| r.1).map(|at| at + 1),
            truth: ranked.iter().filter(|r| r.1).map(|r| r.0).sum(),
            odds,
            said: said.join(", "),
        }
    }
}

/// Whether a suspect is what was put in: the same part and kind. A link that was moved has left its
/// place, so that it is missing there is the same answer; a string of one block that stands the wrong
/// way round is its block.
fn is_it((part, kind): (&Part, FaultKind), fault: &Fault, series: u32) -> bool {
    match (fault, kind, part) {
        (
            Fault::Joint { lead, end, .. },
            FaultKind::LooseJoint,
            Part::Joint { lead: said, at_start, .. },
        ) => lead == said && *at_start == (*end == "from"),
        (Fault::Reversed(id), FaultKind::Reversed, Part::Block(said))
        | (Fault::Weak(id, _), FaultKind::Weak, Part::Block(said))
        | (Fault::Undercharged(id, _), FaultKind::Undercharged, Part::Block(said)) => id == said,
        (Fault::Reversed(id), FaultKind::StringBackwards, Part::String(said)) => {
            series == 1 && id.string == *said
        }
        (
            Fault::Moved { lead, .. },
            FaultKind::MovedLead | FaultKind::MissingLead,
            Part::Lead(said),
        ) => lead == said,
        _ => false,
    }
}

/// The figures of the issue.
pub(crate) struct Figures {
    pub(crate) alarms: f64,
    pub(crate) first_of_whole: f64,
    pub(crate) three_of_asked: f64,
}

fn share(all: &[&Outcome], of: impl Fn(&Outcome) -> bool) -> f64 {
    let number = |n: usize| f64::from(u32::try_from(n).expect("few enough"));
    number(all.iter().filter(|o| of(o)).count()) / number(all.len().max(1))
}

fn within(read: &Read, places: usize) -> bool {
    read.rank.is_some_and(|rank| rank <= places)
}

/// Prints the sums of some sheets and gives the figures that are held.
pub(crate) fn told(title: &str, all: &[&Outcome]) -> (String, Figures) {
    let sound: Vec<&Outcome> = all.iter().copied().filter(|o| o.fault == Fault::Healthy).collect();
    let faulty: Vec<&Outcome> = all.iter().copied().filter(|o| o.fault != Fault::Healthy).collect();
    let percent = |s: f64| format!("{:.1} %", 100.0 * s);
    let alarms = share(&sound, |o| o.whole.alarm);
    let first_of_whole = share(&faulty, |o| within(&o.whole, 1));
    let three_of_asked = share(&faulty, |o| within(&o.asked, 3));
    let lines = [
        format!("{title}: {} sheets, {} of them of sound rigs", all.len(), sound.len()),
        format!("  false alarms on whole sheets      {}", percent(alarms)),
        format!(
            "  false alarms, five asked for      {}",
            percent(share(&sound, |o| o.asked.alarm))
        ),
        format!("  whole sheet: first                {}", percent(first_of_whole)),
        format!(
            "  whole sheet: first three          {}",
            percent(share(&faulty, |o| within(&o.whole, 3)))
        ),
        format!(
            "  five asked for: first             {}",
            percent(share(&faulty, |o| within(&o.asked, 1)))
        ),
        format!("  five asked for: first three       {}", percent(three_of_asked)),
        format!(
            "  the same, each joint a line       {}",
            percent(share(&faulty, |o| o.asked.alone.is_some_and(|rank| rank <= 3)))
        ),
        format!(
            "  five at random: first three       {}",
            percent(share(&faulty, |o| within(&o.random, 3)))
        ),
        format!(
            "  asked for what may not be taken   {}",
            all.iter().map(|o| o.unsafe_asked).sum::<usize>()
        ),
        format!(
            "  stopped by a gap on the way to it {}",
            all.iter().map(|o| o.stopped).sum::<usize>()
        ),
    ];
    let text = format!("{}\n", lines.join("\n"));
    (text, Figures { alarms, first_of_whole, three_of_asked })
}

/// By kind of fault: how many, first of the whole sheet, first three of five asked for.
pub(crate) fn kinds(all: &[&Outcome]) -> String {
    let mut kinds: BTreeMap<String, Vec<&Outcome>> = BTreeMap::new();
    for outcome in all {
        kinds.entry(outcome.fault.kind()).or_default().push(outcome);
        kinds.entry(format!("({})", outcome.demo)).or_default().push(outcome);
    }
    let mut text =
        String::from("  kind                 sheets  whole: first  five asked: in three\n");
    for (kind, some) in kinds {
        let (first, three) =
            (share(&some, |o| within(&o.whole, 1)), share(&some, |o| within(&o.asked, 3)));
        text.push_str(&format!(
            "  {kind:<20} {:>6}  {:>10.1} %  {:>17.1} %\n",
            some.len(),
            100.0 * first,
            100.0 * three
        ));
    }
    text
}

/// Whether what is said with so much certainty comes true as often: ten bins.
pub(crate) fn reliability(all: &[&Outcome]) -> String {
    let mut text =
        String::from("  said          times   came true (whole sheets and five asked for)\n");
    let odds: Vec<(f64, bool)> = all
        .iter()
        .flat_map(|o| o.whole.odds.iter().chain(&o.asked.odds).copied())
        .filter(|(p, _)| 0.005 <= *p)
        .collect();
    for bin in 0..10_u32 {
        let (low, high) = (f64::from(bin) / 10.0, f64::from(bin + 1) / 10.0);
        let inside = |p: f64| low <= p && (p < high || bin == 9);
        let here: Vec<&(f64, bool)> = odds.iter().filter(|o| inside(o.0)).collect();
        let number = f64::from(u32::try_from(here.len()).expect("few enough"));
        let hits = here.iter().filter(|o| o.1).count();
        let hits = f64::from(u32::try_from(hits).expect("few enough"));
        let mean: f64 = here.iter().map(|o| o.0).sum::<f64>() / number.max(1.0);
        text.push_str(&format!(
            "  {:>3.0} to {:>3.0} %  {:>6}  {:>5.1} %  (mean said {:.1} %)\n",
            100.0 * low,
            100.0 * high,
            here.len(),
            100.0 * hits / number.max(1.0),
            100.0 * mean
        ));
    }
    text
}

/// Sheets of odd seeds that were not understood, for looking at while building.
pub(crate) fn misses(all: &[&Outcome]) -> String {
    let mut text = String::new();
    for o in all.iter().filter(|o| o.seed % 2 == 1) {
        let (whole, asked) = (within(&o.whole, 1), within(&o.asked, 3));
        let alarm = o.fault == Fault::Healthy && (o.whole.alarm || o.asked.alarm);
        if !whole || !asked || alarm {
            text.push_str(&format!(
                "{} {} {} {}: whole {:?} [{}] five asked {:?} [{}]{}\n      {}\n",
                o.seed,
                o.demo,
                o.fault.kind(),
                o.fault.part(),
                o.whole.rank,
                o.whole.said,
                o.asked.rank,
                o.asked.said,
                if alarm { " ALARM" } else { "" },
                o.path.join("\n      "),
            ));
        }
    }
    text
}
