//! The demo: an invented aircraft whose engine answers, so that a newcomer can work a job to a proven cure at a desk.
//!
//! Owns what the demo is and what its engine shows to the thing in front. Must not know any screen.

use crate::job::{Job, Opening};
use crate::model::{Seen, Site};
use crate::plan::Action;
use crate::teststand::Engine;

/// The card of the demo's aircraft, which is invented.
pub(super) const CARD: &str = "format: roughrun-aircraft-1
registration: ZZ-TRY
title: Four-seat tourer, invented for the demo
layout: four-two-magnetos
engine-hours: 1240
parts:
  - {part: lead, at: left, fitted-hours: 620, fitted: \"2018-05-01\"}
  - {part: plug, at: engine, fitted-hours: 980, fitted: \"2024-03-10\"}
limits: {}
";

/// The complaint of the demo.
const COMPLAINT: &str = "rough-one-side";
/// What is at fault in it, and where.
const FAULT: (&str, Site) = ("lead-open", Site::Plug(crate::model::Side::Left, 3));

/// An engine with one fault that answers as it is likelier to answer than not.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Demo {
    /// Name of the cause at fault.
    pub cause: String,
    /// Where.
    pub at: Site,
}

impl Demo {
    /// The demo that the program comes with.
    pub(super) fn shipped() -> Self {
        Self { cause: FAULT.0.to_owned(), at: FAULT.1 }
    }

    /// How its job is opened.
    pub(super) fn opening(layout: &str) -> Opening {
        Opening {
            window_hours: Some(25.0),
            mechanic: "Demo".into(),
            words: "Rough on the left at the run-up, comes and goes.".into(),
            ..Opening::of(layout, COMPLAINT, Site::Side(crate::model::Side::Left))
        }
    }

    /// What its engine shows to this, where it is something that is looked at. Nothing is drawn by chance, so it can be asked anew
    /// at any time: only the conditions and what was corrected matter.
    pub(super) fn shows(&self, job: &Job, action: Action) -> Option<Seen> {
        let model = job.model();
        let state = job.state();
        let cause = model.find_cause(&self.cause, self.at)?;
        let mut engine = Engine::typical(model, state.complaint, &state.reported, &[cause])?;
        state.done.iter().for_each(|done| engine.correct(done.correction));
        let showing = |engine: &mut Engine<'_>| if engine.showing() { Seen::Abnormal(0) } else { Seen::Normal };
        match action {
            Action::Check(id) => {
                engine.begin(&state.work(model, action).during);
                Some(engine.look(id))
            }
            Action::ProofRun => {
                engine.begin(&state.reported);
                Some(showing(&mut engine))
            }
            Action::SeeWhetherItShows => {
                engine.begin(&state.work(model, action).during);
                Some(showing(&mut engine))
            }
            _ => None,
        }
    }
}
