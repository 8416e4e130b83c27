//! What would have been enough for a lead whose size the owner decided, with every other lead as it
//! is.

use super::fit::{Decided, Fit, Fitted, Fitting, Need, Reason};
use super::paths::Limit;

impl Fitting<'_> {
    /// The smallest size of each lead and what decides it: for a lead without an owner's size, the
    /// one it got.
    ///
    /// Where a path cannot hold beside the other sizes whatever this lead is, `free`, found with
    /// every size free, says what its fair part would be.
    pub(super) fn enough(&self, fit: &Fit, free: &Fit) -> Vec<Fitted> {
        let joints = |n: usize| self.given[n].joints.iter().sum();
        let limits = self.limits(&fit.flows, &joints);
        let mut needs: Vec<Need> = Vec::with_capacity(fit.leads.len());
        for (n, fitted) in fit.leads.iter().enumerate() {
            if self.given[n].decided.is_none() {
                let (size, reason) = (fitted.needs, fitted.reason.clone());
                needs.push(Need { size, reason, cites: fitted.cites.clone() });
                continue;
            }
            let mut need = self.need(n, &fit.flows, &fit.devices);
            for limit in &limits {
                let kept = self.keeps(n, limit, fit);
                if let Some(least) = kept {
                    let size = least.unwrap_or(free.leads[n].needs);
                    need.raise(size, drop_of(limit), limit.cites.clone());
                }
            }
            needs.push(need);
        }
        self.partners(&mut needs, Decided::Kept(&[]));
        needs
            .into_iter()
            .zip(&fit.leads)
            .map(|(need, fitted)| Fitted {
                needs: need.size,
                reason: need.reason,
                cites: need.cites,
                size: fitted.size,
                amps: fitted.amps.clone(),
            })
            .collect()
    }

    /// The smallest size that keeps a path beside the others: `None` when the lead is not on it,
    /// `Some(None)` when no size does.
    #[expect(clippy::option_option, reason = "not on the path, or on it without an answer")]
    fn keeps(&self, n: usize, limit: &Limit, fit: &Fit) -> Option<Option<usize>> {
        let own: f64 = limit.amps.iter().filter(|a| a.0 == n).map(|a| a.1).sum();
        if own <= 0.0 {
            return None;
        }
        let mut left_v = limit.allowed.as_volts() - limit.fixed_v;
        for (other, amps) in limit.amps.iter().filter(|a| a.0 != n) {
            left_v -= amps * self.conductor_ohm(*other, fit.leads[*other].size);
        }
        let keeps = |size| own * self.conductor_ohm(n, size) <= left_v + 1e-9;
        let least = self.rules.sizes.iter().position(|c| keeps(c.size));
        // A size of another family may hold where its namesake, with less copper, does not.
        let decided = self.given[n].decided.filter(|size| keeps(*size));
        Some(match (least, decided.map(|size| self.number_of(size))) {
            (Some(least), Some(own)) => Some(least.min(own)),
            (least, own) => least.or(own),
        })
    }
}

fn drop_of(limit: &Limit) -> Reason {
    Reason::Drop {
        device: limit.device.clone(),
        allowed: limit.allowed,
        percent: limit.percent,
        proven: true,
    }
}
