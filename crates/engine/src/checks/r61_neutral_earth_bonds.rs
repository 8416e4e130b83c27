//! R61: how often neutral and earth meet while each source feeds the circuits.

use super::context::{CheckError, Context, Said};
use super::supply::{Supply, live};
use crate::finding::Severity;
use crate::model::mains::Bonds;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let wanted = cx.limit("bond-count")?;
    let none = Bonds::default();
    let bonds = cx.design().mains.as_ref().map_or(&none, |m| &m.bonds);
    let mut said = Vec::new();
    for supply in live(cx) {
        let word = supply.word();
        let count = match supply {
            Supply::Shore => bonds.shore,
            Supply::Generator => bonds.generator,
            Supply::Inverter => bonds.inverter,
        };
        let (says, why) = match count {
            None => (
                format!(
                    "It is not known in how many places neutral and earth meet on {word}. It must \
                     be one, at the source in use."
                ),
                "Without a bond an RCD or GFCI sees no fault; with two, the earth wire carries \
                 current.",
            ),
            Some(n) if f64::from(n) < wanted.value => (
                format!(
                    "On {word} neutral and earth meet in {n} places. It must be one, at the source \
                     in use."
                ),
                "Without a bond an RCD or GFCI cannot see a fault and a surge guard refuses the \
                 power.",
            ),
            Some(n) if wanted.value < f64::from(n) => (
                format!(
                    "On {word} neutral and earth meet in {n} places. It must be one, at the source \
                     in use."
                ),
                "With two bonds the earth wire carries current and the pedestal trips.",
            ),
            Some(_) => continue,
        };
        said.push(Said {
            severity: Severity::Stop,
            path: format!("mains.bonds.{word}"),
            part: format!("the mains side on {word}"),
            says,
            remedy: format!(
                "Have a licensed electrician find the bonds with {word} in use, leave one, and \
                 write the count as mains.bonds.{word}."
            ),
            why,
            sources: vec![wanted.cite.clone()],
            gates: None,
        });
    }
    Ok(said)
}
