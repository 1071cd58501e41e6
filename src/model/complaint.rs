//! Complaints: what the pilot reports.

use super::{Conditions, Event, HazardId, Mode, Site, Warning};

/// A top event of the fault tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Complaint {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// What brings it, and how often.
    pub event: Event,
    /// Conditions offered first when it is taken in.
    pub usual: Conditions,
    /// Conditions under which it is said not to show, where it says so.
    pub quiet: Option<Conditions>,
    /// How its proof run is done.
    pub proof: ProofRun,
    /// The warning that stands from the report on.
    pub warning: Option<Warning>,
    /// Names of checks in the order of a printed chart, for comparison.
    pub first_order: Vec<String>,
}

/// The run or flight that shows whether the complaint is there.
#[derive(Debug, Clone, PartialEq)]
pub struct ProofRun {
    /// What the engine does in it.
    pub engine: Mode,
    /// Minutes, without access.
    pub minutes: f64,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// Hazards to acknowledge before it.
    pub hazards: Vec<HazardId>,
}
