//! Leads that must be alike: parallel links among themselves and with the main leads, series links
//! at most one size smaller.

use crate::circuit::wiring::{LeadRole, WiredLead};

/// How the size of one lead is held to others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    /// Not at all.
    Free,
    /// Raised to this size number.
    Raised(usize),
}

/// What each lead must be raised to, given the size number each needs on its own.
///
/// Links in parallel share the current by their resistance, so all of them take the size of the
/// largest; a parallel link carries what the main lead carries but one string, so it is not thinner
/// than the main leads either. Leads to busbars carry one string each and are only held to one
/// another. A series link may be one size thinner than the parallel links beside it.
pub(super) fn raised(leads: &[WiredLead], needs: &[usize], mains: &[usize]) -> Vec<Held> {
    let most = |wanted: &dyn Fn(LeadRole) -> bool| {
        let of = leads.iter().zip(needs).filter(|(l, _)| wanted(l.role)).map(|(_, n)| *n);
        of.max()
    };
    let across = |r: LeadRole| matches!(r, LeadRole::PlusLink | LeadRole::MinusLink);
    let to_bar = |r: LeadRole| matches!(r, LeadRole::StringPlus | LeadRole::StringMinus);
    let series = |r: LeadRole| matches!(r, LeadRole::SeriesLink);
    let main = mains.iter().copied().max().unwrap_or(0);
    let across_size = most(&across).map(|n| n.max(main));
    let bar_size = most(&to_bar);
    let beside = across_size.or(bar_size).or((!mains.is_empty()).then_some(main));
    let series_size = most(&series).map(|n| n.max(beside.map_or(0, |b| b.saturating_sub(1))));
    leads
        .iter()
        .zip(needs)
        .map(|(lead, own)| {
            let size = if across(lead.role) {
                across_size
            } else if to_bar(lead.role) {
                bar_size
            } else if series(lead.role) {
                series_size
            } else {
                None
            };
            match size {
                Some(size) if *own < size => Held::Raised(size),
                _ => Held::Free,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Held, raised};
    use crate::circuit::wiring::{LeadRole, Polarity, WiredLead};
    use crate::model::bank::BlockId;
    use crate::model::lead::{Lead, Terminal};

    fn lead(role: LeadRole) -> WiredLead {
        let post = Terminal::plus(BlockId { string: 0, place: 0 });
        WiredLead {
            id: "1".to_owned(),
            from: post.clone(),
            to: post,
            role,
            polarity: Polarity::Plus,
            stated: Lead::named("1"),
            written: false,
        }
    }

    fn sizes(roles: &[LeadRole], needs: &[usize], mains: &[usize]) -> Vec<usize> {
        let leads: Vec<_> = roles.iter().map(|r| lead(*r)).collect();
        let held = raised(&leads, needs, mains);
        held.iter()
            .zip(needs)
            .map(|(h, n)| match h {
                Held::Free => *n,
                Held::Raised(size) => *size,
            })
            .collect()
    }

    #[test]
    fn parallel_links_are_equal_and_as_thick_as_the_mains() {
        use LeadRole::{Feed, MinusLink, PlusLink, SeriesLink};
        let roles = [SeriesLink, PlusLink, PlusLink, MinusLink, Feed];
        // The main lead needs size 7: the links rise to it, the series link to one below.
        assert_eq!(sizes(&roles, &[2, 3, 5, 4, 7], &[7]), [6, 7, 7, 7, 7], "mains decide");
        // The mains need less than the thickest link.
        assert_eq!(sizes(&roles, &[2, 3, 5, 4, 4], &[4]), [4, 5, 5, 5, 4], "links decide");
    }

    #[test]
    fn leads_to_busbars_are_held_to_one_another_only() {
        use LeadRole::{SeriesLink, StringMinus, StringPlus};
        let roles = [SeriesLink, StringPlus, StringPlus, StringMinus];
        assert_eq!(sizes(&roles, &[0, 2, 3, 2], &[9]), [2, 3, 3, 3], "one string each");
    }

    #[test]
    fn a_single_string_has_series_links_near_its_mains() {
        use LeadRole::SeriesLink;
        assert_eq!(sizes(&[SeriesLink], &[1], &[5]), [4], "one size smaller than the mains");
        assert_eq!(sizes(&[SeriesLink], &[6], &[5]), [6], "never thinner than it needs");
    }
}
