//! Rules for complaints, the tops of the tree.

use super::super::faults::code;
use super::Look;

impl Look<'_> {
    pub(super) fn complaints(&mut self) {
        let declared = self.declared;
        for complaint in &declared.complaints.items {
            let twin = &complaint.twin;
            self.text(&twin.title, complaint, "title");
            self.only(&twin.only, complaint);
            self.shows(complaint, &twin.shows, "shows");
            if let Some(leak) = twin.leak {
                self.number(leak, 0.0..=0.99, "a leak", complaint.at("leak"));
            }
            self.levels(&twin.usual, complaint, "usual");
            if let Some(quiet) = &twin.quiet {
                self.levels(quiet, complaint, "quiet");
            }
            self.minutes(twin.proof.minutes, complaint.at("proof/minutes"));
            self.texts(&twin.proof.steps, true, complaint, "proof/steps");
            self.names(&self.declared.hazards, "hazard", &twin.proof.hazards, complaint, "proof/hazards");
            self.names(&declared.checks, "check", &twin.first_order, complaint, "first-order");
        }
        if declared.complaints.items.is_empty() && !declared.complaints.has_broken() {
            let message = "No file declares a complaint, so there is nothing to trace.";
            self.missing(code::NO_COMPLAINT, message, "Add complaints: to one of the files.");
        }
    }
}
