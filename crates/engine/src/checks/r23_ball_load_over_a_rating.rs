//! R23: more on the tow ball than its weakest part may carry.

use super::context::{CheckError, Context, Said, listed, owner};
use crate::finding::Severity;
use crate::fit::weight::{Unknown, Weight};
use crate::model::rig::RigKind;
use crate::units::{Mass, show};

const WHY: &str =
    "Hitch, ball, coupling and tow vehicle each have a limit; the smallest breaks first.";

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    if cx.design().rig.kind != RigKind::Trailer {
        return Ok(Vec::new());
    }
    let weight = Weight::of(cx.study, cx.whole, cx.tables);
    let mut said = Vec::new();
    let Some(ball) = weight.after().ball else {
        let missing: Vec<&Unknown> =
            weight.missing().filter(|u| u.path != "vehicle.gross_now").collect();
        said.push(not_known(&weight, &missing));
        return Ok(said);
    };
    match weight.ball_plate() {
        None => said.push(no_plate(&weight)),
        Some((plate, max)) if max < ball => {
            said.push(over(cx, &weight, (plate.what, plate.path, max), ball));
        }
        Some(_) => said.extend(silent_plates(&weight)),
    }
    Ok(said)
}

fn one(severity: Severity, weight: &Weight, path: &str, says: String, remedy: String) -> Said {
    Said {
        severity,
        path: path.to_owned(),
        part: "the tow ball".to_owned(),
        says,
        remedy,
        why: WHY,
        sources: vec![owner(), weight.cite()],
        gates: None,
    }
}

fn not_known(weight: &Weight, missing: &[&Unknown]) -> Said {
    let what: Vec<&str> = missing.iter().map(|u| u.what.as_str()).collect();
    let first = missing.first();
    let path = first.map_or("vehicle.ball_now", |u| u.path.as_str());
    let says = format!("The load on the ball is not known: nobody said {}.", listed(&what));
    let find = first.map_or("Weigh the coupling", |u| u.find);
    one(Severity::Stop, weight, path, says, format!("{find}; write {path}."))
}

fn no_plate(weight: &Weight) -> Said {
    let says =
        "No limit of hitch, ball, coupling or tow vehicle is in the file: what the ball may \
                carry is not known."
            .to_owned();
    let remedy =
        "Read the plates and the tow vehicle's papers; write vehicle.hitch_max, ball_max, \
                  coupler_max and towbar_max."
            .to_owned();
    one(Severity::Stop, weight, "vehicle.hitch_max", says, remedy)
}

fn over(cx: &Context<'_>, weight: &Weight, plate: (&str, &str, Mass), ball: Mass) -> Said {
    let units = cx.units();
    let (what, path, max) = plate;
    let shown = |m: Mass| show::weight(m, units);
    let says = format!("{} on the ball; the {what} may carry {}.", shown(ball), shown(max));
    let place = weight.band.as_ref().filter(|b| b.exists()).map_or_else(
        || {
            "Take weight off the front, or fit a stronger part; no place for the box passes now."
                .to_owned()
        },
        |b| {
            format!(
                "Put the middle of the box {}, or take {} off the front.",
                b.words(units),
                shown(ball - max)
            )
        },
    );
    one(Severity::Stop, weight, path, says, place)
}

/// A limit that nobody read may be the smallest.
fn silent_plates(weight: &Weight) -> Option<Said> {
    let silent: Vec<String> = weight
        .ball_plates
        .iter()
        .filter(|p| p.max.is_none())
        .map(|p| format!("the {}", p.what))
        .collect();
    let path = weight.ball_plates.iter().find(|p| p.max.is_none())?.path;
    let says = format!("No limit is written for {}; the smallest of all counts.", listed(&silent));
    let remedy = format!("Read each of them and write {path} and its neighbours.");
    Some(one(Severity::Note, weight, path, says, remedy))
}
