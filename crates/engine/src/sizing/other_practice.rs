//! What each lead would be under the other practice settings.

use super::ampacity::Bed;
use super::answer::OtherPractice;
use super::explain::governed_by;
use super::fit::{Decided, Fitting, Given};
use super::given;
use super::rules::Rules;
use crate::cite::Status;
use crate::model::rig::Practice;
use crate::tables::error::TableError;
use crate::units::conductor::ConductorSize;

/// For every lead in wiring order, its size under each other setting.
///
/// The shorts are those of the setting in force: they hang on the blocks far more than on the
/// sizes.
pub(super) fn all(
    here: &Fitting<'_>,
    shorts: &[Option<f64>],
) -> Result<Vec<Vec<OtherPractice>>, TableError> {
    let input = here.input;
    let mut answers = vec![Vec::new(); input.wiring.leads.len()];
    for practice in Practice::ALL.into_iter().filter(|p| *p != input.design.rig.practice) {
        let rules = Rules::of(input.design, input.tables, practice)?;
        let leads = given(input, &rules);
        let fitting = Fitting { rules: &rules, given: &leads, shorts: Some(shorts), ..*here };
        let fit = fitting.run(Decided::Free);
        for (answer, (fitted, lead)) in answers.iter_mut().zip(fit.leads.iter().zip(&leads)) {
            let cited = fitted.cites.iter().map(|c| c.status).max();
            answer.push(OtherPractice {
                practice,
                size: Some(fitted.size),
                governed_by: governed_by(&fitted.reason, false).to_owned(),
                status: status(&fitting, cited, lead, fitted.size),
            });
        }
    }
    Ok(answers)
}

fn status(
    fitting: &Fitting<'_>,
    cited: Option<Status>,
    lead: &Given,
    size: ConductorSize,
) -> Status {
    let bed: &Bed = &lead.bed;
    let table = super::ampacity::allowed(fitting.input.tables, fitting.rules, size, bed, 0.0);
    let table = table.map_or(Status::Recalled, |a| a.status);
    cited.map_or(table, |c| c.weaker(table))
}
