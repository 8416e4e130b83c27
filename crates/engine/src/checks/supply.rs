//! Which mains sources there are at a stage, as far as the file says.

use super::context::{CheckError, Context};
use crate::cite::Cite;
use crate::model::device::{Device, DeviceKind};
use crate::tables::Sourced;

/// Something that can make mains circuits live.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Supply {
    /// The shore lead or hook-up.
    Shore,
    /// A generator.
    Generator,
    /// An inverter.
    Inverter,
}

impl Supply {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Shore, Self::Generator, Self::Inverter];

    /// The word used in the design file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shore => "shore",
            Self::Generator => "generator",
            Self::Inverter => "inverter",
        }
    }
}

/// Every mains source that can be live at this stage: those the file lists and those its devices
/// imply.
///
/// The list itself has no stages: a generator or inverter that the file describes as a device counts
/// from the stage at which that device stands.
#[must_use]
pub fn live(cx: &Context<'_>) -> Vec<Supply> {
    Supply::ALL.into_iter().filter(|s| is_live(cx, *s)).collect()
}

fn is_live(cx: &Context<'_>, supply: Supply) -> bool {
    let listed = is_listed(cx, supply);
    let kind = match supply {
        Supply::Shore => {
            let fed = |d: &Device| d.fed_by.as_deref() == Some(Supply::Shore.word());
            return listed || cx.design().devices.iter().any(fed);
        }
        Supply::Generator => DeviceKind::Generator,
        Supply::Inverter => DeviceKind::Inverter,
    };
    let described = cx.whole.devices_of(kind).next().is_some();
    cx.design().devices_of(kind).next().is_some() || (listed && !described)
}

fn is_listed(cx: &Context<'_>, supply: Supply) -> bool {
    let mains = cx.design().mains.as_ref();
    mains.is_some_and(|m| m.sources.iter().any(|s| s == supply.word()))
}

/// The sources that may feed the same circuits, as far as the file does not rule it out: an
/// inverter that feeds none of the circuits stands apart, and so does a shore lead or generator
/// that the owner's own list of sources leaves out.
#[must_use]
pub fn on_the_same_circuits(cx: &Context<'_>) -> Vec<Supply> {
    live(cx).into_iter().filter(|s| !stands_apart(cx, *s)).collect()
}

fn stands_apart(cx: &Context<'_>, supply: Supply) -> bool {
    let Some(mains) = &cx.design().mains else {
        return false;
    };
    match supply {
        Supply::Inverter => {
            !mains.circuits.is_empty()
                && mains.circuits.iter().all(|c| c.on_inverter == Some(false))
        }
        Supply::Shore | Supply::Generator => !mains.sources.is_empty() && !is_listed(cx, supply),
    }
}

/// The names of some sources as a person says them.
#[must_use]
pub fn named(supplies: &[Supply]) -> String {
    let words: Vec<&str> = supplies.iter().map(|s| s.word()).collect();
    super::context::listed(&words)
}

/// The output over the input of an inverter: its own figure, or the usual one.
///
/// # Errors
/// When the data holds no usual figure.
pub fn efficiency(cx: &Context<'_>, inverter: &Device) -> Result<Sourced<f64>, CheckError> {
    match inverter.efficiency {
        // An efficiency near nothing is a slip of the pen and would make every current endless.
        Some(share) => Ok(Sourced::new(share.max(0.05), owner())),
        None => cx.limit("inverter-efficiency"),
    }
}

fn owner() -> Cite {
    super::context::owner()
}
