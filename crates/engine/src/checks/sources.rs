//! What several of the charging rules ask: the sources of a stage, how cold it gets, how empty the
//! bank may stand.

use super::context::{CheckError, Context, owner};
use crate::cite::{Cite, Status};
use crate::model::block::Chemistry;
use crate::sim::chain::Chain;
use crate::sim::place::Site;
use crate::sim::storage::StorageDrain;
use crate::tables::Sourced;
use crate::tables::climate::Climate;

/// The charge sources of the stage.
#[must_use]
pub fn chain(cx: &Context<'_>) -> Chain {
    Chain::of(cx.study, cx.tables)
}

/// The coldest the bank and the panels see: the owner's word, else the lowest of about nine years on
/// the built-in map; nothing where the place is not known either [C].
#[must_use]
pub fn coldest(cx: &Context<'_>) -> Option<Sourced<f64>> {
    let place = cx.design().place.as_ref()?;
    if let Some(stated) = place.coldest {
        return Some(Sourced::new(stated.as_celsius(), owner()));
    }
    let climate = Climate::embedded().ok()?;
    let site = Site::of(place, &climate, cx.tables).ok()?;
    let cite = Cite::new("gldas", "lowest of about nine years at this place", Status::Read);
    Some(Sourced::new(site.extremes.lowest_nine_years_c, cite))
}

/// Days for which the rig stands unused, as written; nothing where no storage is.
#[must_use]
pub fn storage_days(cx: &Context<'_>) -> Option<f64> {
    cx.design().storage.as_ref()?.time.map(|t| t.as_hours() / 24.0)
}

/// Something keeps the bank full while it stands: what the owner says, else a panel counts.
#[must_use]
pub fn is_maintained(cx: &Context<'_>) -> bool {
    let said = cx.design().storage.as_ref().and_then(|s| s.maintained);
    said.unwrap_or_else(|| !cx.design().arrays.is_empty())
}

/// A state of charge and when it is reached.
#[derive(Clone, Debug, PartialEq)]
pub struct Low {
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// When, in words that follow "the bank stands at 40 %".
    pub when: &'static str,
    /// Where the figure comes from.
    pub cites: Vec<Cite>,
}

/// The lowest states of charge to reckon with: the one written, else the floor to which a bank of its
/// kind is usually planned; and the one at the end of the storage that is written.
///
/// # Errors
/// When the data holds no such floor.
pub fn lows(cx: &Context<'_>) -> Result<Vec<Low>, CheckError> {
    let mut lows = Vec::new();
    let blocks = &cx.study.facts.blocks;
    let written =
        cx.bank().is_some_and(|b| b.soc.is_some() || b.blocks.iter().any(|s| s.soc.is_some()));
    if written {
        let soc = blocks.iter().map(|b| b.soc).fold(1.0, f64::min);
        lows.push(Low { soc, when: "as written", cites: vec![owner()] });
    } else {
        let lead = blocks.iter().all(|b| b.chemistry.is_lead());
        let floor = cx.limit(if lead { "planned-floor-lead" } else { "planned-floor-lfp" })?;
        lows.push(Low { soc: floor.value, when: "at the planned floor", cites: vec![floor.cite] });
    }
    let storage = cx.design().storage.as_ref().zip(storage_days(cx)).zip(cx.bank_amp_hours());
    if let Some(((storage, days), amp_hours)) = storage {
        let drain = StorageDrain::of(cx.study, cx.tables);
        let (_, gone) = drain.share_gone(amp_hours, days, storage.isolator_off == Some(true));
        let gone = if is_maintained(cx) { 0.0 } else { gone };
        let soc = (storage.at_charge.unwrap_or(1.0) - gone).max(0.0);
        let cites = [vec![owner()], drain.cites()].concat();
        lows.push(Low { soc, when: "at the end of the storage", cites });
    }
    Ok(lows)
}

/// A cell of a chemistry as a reader knows it.
#[must_use]
pub const fn cell_word(chemistry: Chemistry) -> &'static str {
    match chemistry {
        Chemistry::Flooded => "a flooded cell",
        Chemistry::Agm => "an AGM cell",
        Chemistry::Gel => "a gel cell",
        Chemistry::Lfp => "an LFP cell",
    }
}
