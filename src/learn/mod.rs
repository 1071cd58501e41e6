//! What closed jobs teach: how often each kind of cause comes up, how well checks show it, and how good the forecasts were.
//!
//! Owns the guards that keep a program from learning its own opinions. It must not know records, files, screens or the command line: it
//! is given jobs and gives figures. The tree's own figures are never changed; what is learnt is a [`Learnt`](crate::model::Learnt) to be
//! laid over them, and only what has forecast later jobs better than the tree did is put into it.

mod case;
mod lessons;
mod looks;
mod rates;
mod score;

pub use case::{Case, Cases, Confirmed, Found, LeftOut, Watch};
pub use lessons::{Lessons, Trial, learn, learn_while};
pub use looks::{AlarmLesson, ShowLesson};
pub use rates::{Exposure, RateLesson};
pub use score::{Bin, Calibration, Forecast, forecasts, reliability};
