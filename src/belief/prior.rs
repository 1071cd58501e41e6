//! How likely a cause is before anything is observed.

use crate::model::{Cause, Fitted};

/// What a part has been through since the engine last ran well.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Exposure<'a> {
    /// Engine hours since it last ran well, above 0.
    pub window_hours: f64,
    /// The age of the part, where known.
    pub age: Option<&'a Fitted>,
    /// Whether the part was worked on: the rule of old records, which know no kinds of work, and of work done in the job.
    pub disturbed: bool,
}

/// How much likelier a part that was worked on is to be at fault. Our placeholder: no published figure was found.
const DISTURBED: f64 = 5.0;

/// The chance that a cause is present: 1 - exp(-rate x window x wear x disturbed).
///
/// The rate is per 1,000 hours; wear is the hazard of a Weibull life relative to its characteristic life, (t/L)^(b-1),
/// with t/L the greater of the shares of hours and years, and held between 0.2 and 10.
#[must_use]
pub fn prior(cause: &Cause, exposure: &Exposure<'_>) -> f64 {
    let disturbed = if exposure.disturbed { DISTURBED } else { 1.0 };
    let expected = cause.rate / 1000.0 * exposure.window_hours * wear(cause, exposure.age) * disturbed;
    1.0 - (-expected).exp()
}

/// The chance that a cause is present where work before the job can have brought it too: 1 - (1 - prior) x the product of
/// 1 - chance over all that was done.
#[must_use]
pub fn with_work(prior: f64, chances: impl Iterator<Item = f64>) -> f64 {
    1.0 - chances.fold(1.0 - prior, |absent, chance| absent * (1.0 - chance))
}

fn wear(cause: &Cause, age: Option<&Fitted>) -> f64 {
    let (Some(life), Some(age)) = (&cause.life, age) else { return 1.0 };
    let share = |t: Option<f64>, whole: Option<f64>| Some(t? / whole?);
    let spent = match (share(age.hours, life.hours), share(age.years, life.years)) {
        (Some(hours), Some(years)) => hours.max(years),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => return 1.0,
    };
    spent.max(0.0).powf(life.shape - 1.0).clamp(0.2, 10.0)
}
