//! What checks, corrections and access states say of one another, by the places they have in one layout.
//!
//! Looked up once all of them are expanded, because each may name what is declared after it. A name that `only:` leaves out of
//! the layout goes silently, and with it a fact that was about nothing else.

use std::collections::HashMap;

use super::declared::Declared;
use super::ground::Ground;
use super::twin::CheckTwin;
use super::work_twin::Fact;
use crate::model::{
    Access, AccessId, Check, CheckId, Complaint, ComplaintId, Correction, CorrectionId, Need, Site, Spends,
};

/// What one section has in a layout, by name.
struct Places<'a, I>(HashMap<&'a str, Vec<(Site, I)>>);

impl<'a, I: Copy + Ord> Places<'a, I> {
    fn of(all: impl Iterator<Item = (&'a str, Site, I)>) -> Self {
        let mut by_name: HashMap<&str, Vec<(Site, I)>> = HashMap::new();
        for (name, site, id) in all {
            by_name.entry(name).or_default().push((site, id));
        }
        Self(by_name)
    }

    /// What a name means from a site, in the order of the layout.
    fn meant(&self, ground: &Ground<'_>, name: &str, from: Site) -> Vec<I> {
        let all = self.0.get(name).map_or(&[][..], Vec::as_slice);
        all.iter().filter(|(site, _)| means(ground, from, *site)).map(|(_, id)| *id).collect()
    }

    /// What several names mean from a site, sorted, each once.
    fn all_meant(&self, ground: &Ground<'_>, names: &[String], from: Site) -> Vec<I> {
        let mut found: Vec<I> = names.iter().flat_map(|name| self.meant(ground, name, from)).collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Those of a name that belong to a side as well, or to none as a site that belongs to none.
    fn beside(&self, name: &str, site: Site) -> impl Iterator<Item = I> {
        let of_side = move |(other, _): &&(Site, I)| other.side() == site.side();
        self.0.get(name).into_iter().flatten().filter(of_side).map(|(_, id)| *id)
    }
}

/// Whether a reference from one site means another; of a swap either place counts.
fn means(ground: &Ground<'_>, from: Site, to: Site) -> bool {
    let meets = |from: Site| to.parts().into_iter().any(|to| ground.related(from, to.kind()).contains(&to));
    from.parts().into_iter().any(meets)
}

/// Fills in what access states, checks and corrections say of one another.
pub(super) fn tie(
    declared: &Declared,
    ground: &Ground<'_>,
    complaints: &[Complaint],
    access: &mut [Access],
    checks: &mut [Check],
    corrections: &mut [Correction],
) {
    let names: Vec<(String, Site)> = checks.iter().map(|check| (check.name.clone(), check.site)).collect();
    let of_checks = Places::of(names.iter().enumerate().map(|(i, (name, site))| (name.as_str(), *site, CheckId(i))));
    for state in &mut *access {
        let Some(decl) = declared.access.get(&state.name) else { continue };
        state.owes = of_checks.all_meant(ground, &decl.twin.owes, state.site);
        state.owes_before_run = of_checks.all_meant(ground, &decl.twin.owes_before_run, state.site);
    }
    for correction in &mut *corrections {
        let Some(decl) = declared.corrections.get(&correction.name) else { continue };
        correction.owes = of_checks.all_meant(ground, &decl.twin.owes, correction.site);
        correction.owes_before_run = of_checks.all_meant(ground, &decl.twin.owes_before_run, correction.site);
    }
    let complaints = complaints.iter().enumerate().map(|(i, c)| (c.name.as_str(), c.site, ComplaintId(i)));
    let access = access.iter().enumerate().map(|(i, a)| (a.name.as_str(), a.site, AccessId(i)));
    let corrections = corrections.iter().enumerate().map(|(i, c)| (c.name.as_str(), c.site, CorrectionId(i)));
    let bonds = Bonds {
        declared,
        ground,
        complaints: Places::of(complaints),
        access: Places::of(access),
        corrections: Places::of(corrections),
        checks: of_checks,
    };
    let needs: Vec<Vec<Need>> = checks.iter().map(|check| bonds.needs(check, checks)).collect();
    for ((i, check), needs) in checks.iter_mut().enumerate().zip(needs) {
        let Some(decl) = declared.checks.get(&check.name) else { continue };
        check.needs = needs;
        check.gone_after = bonds.spends(&decl.twin, check.site);
        check.gone_while = bonds.access.all_meant(ground, &decl.twin.gone_while, check.site);
        check.same_look = bonds.same_look(CheckId(i), check, &decl.twin);
    }
}

struct Bonds<'a> {
    declared: &'a Declared,
    ground: &'a Ground<'a>,
    complaints: Places<'a, ComplaintId>,
    access: Places<'a, AccessId>,
    corrections: Places<'a, CorrectionId>,
    checks: Places<'a, CheckId>,
}

impl Bonds<'_> {
    fn spends(&self, twin: &CheckTwin, site: Site) -> Vec<Spends> {
        let opened = self.access.all_meant(self.ground, &twin.gone_after, site).into_iter().map(Spends::Opened);
        let corrected = self.corrections.all_meant(self.ground, &twin.gone_after, site);
        opened.chain(corrected.into_iter().map(Spends::Corrected)).collect()
    }

    /// The other checks that the look of this one answers.
    fn same_look(&self, own: CheckId, check: &Check, twin: &CheckTwin) -> Vec<CheckId> {
        let mut found = self.checks.all_meant(self.ground, &twin.same_look_as, check.site);
        if twin.same_look_as.contains(&check.name) {
            found.extend(self.checks.beside(&check.name, check.site));
        }
        found.sort_unstable();
        found.dedup();
        found.retain(|id| *id != own);
        found
    }

    fn needs(&self, check: &Check, checks: &[Check]) -> Vec<Need> {
        let facts = self.declared.checks.get(&check.name).map(|decl| decl.twin.needs.iter());
        let facts = facts.into_iter().flatten().filter_map(super::work_twin::NeedTwin::fact);
        facts.filter_map(|fact| self.need(fact, check.site, checks)).collect()
    }

    fn need(&self, fact: Fact<'_>, site: Site, checks: &[Check]) -> Option<Need> {
        match fact {
            Fact::ShowsNow => Some(Need::ShowsNow),
            Fact::Answered(name) => some(self.checks.meant(self.ground, name, site)).map(Need::Answered),
            Fact::NotSeen(name, outcome) => {
                let at = |id: &CheckId| checks[id.0].outcomes.iter().position(|o| o.name == outcome);
                let meant = self.checks.meant(self.ground, name, site);
                some(meant.iter().filter_map(|id| Some((*id, at(id)?))).collect()).map(Need::NotSeen)
            }
            Fact::NotComplaint(names) => {
                some(self.complaints.all_meant(self.ground, names, site)).map(Need::NotComplaint)
            }
            Fact::Gauge(gauge) => Some(Need::Gauge(gauge.trim().to_owned())),
        }
    }
}

/// A list that is not empty.
fn some<T>(list: Vec<T>) -> Option<Vec<T>> {
    (!list.is_empty()).then_some(list)
}
