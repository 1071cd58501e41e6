//! What the tree does not list, by place: something of a cylinder, of a side, outside the ignition, or of the engine at large.
//!
//! Each can bring any abnormal outcome of its place, with a small chance, so that it rises where findings pile up that nothing listed
//! brings, and not before.

use super::declared::Declared;
use super::lower;
use crate::model::{Cause, CauseId, Check, Complaint, Layout, Site, SiteKind, UNLISTED};

/// The chance that something of the engine at large, awake, brings a complaint; the same of what is of a side at that side, and of a
/// cylinder or outside the ignition in both. Our placeholder.
pub(super) const BRINGS: f64 = 0.9;
/// The chance that it brings a complaint of a wider or narrower place. Our placeholder.
const BRINGS_ELSEWHERE: f64 = 0.3;
/// The chance that it brings an abnormal outcome of a check of its place, shared by the outcomes of the check. Our placeholder.
const SHOWS: f64 = 0.15;

/// Adds the causes that the tree does not list, the one of the engine at large last. None where the tree does not say how frequent that
/// is.
pub(super) fn add(declared: &Declared, layout: &Layout, causes: &mut Vec<Cause>) -> Option<()> {
    let decl = declared.unknown.items.first()?;
    let rates = [(SiteKind::Cylinder, decl.twin.cylinder), (SiteKind::Side, decl.twin.side)];
    for (kind, rate) in rates {
        let Some(rate) = rate else { continue };
        causes.extend(layout.sites(kind).into_iter().map(|site| Cause {
            site,
            rate,
            ..lower::unknown(declared, decl)
        }));
    }
    if let Some(rate) = decl.twin.not_ignition {
        causes.push(Cause {
            name: format!("{UNLISTED}-not-ignition"),
            title: "something outside the ignition, not in this tree".to_owned(),
            rate,
            not_ignition: true,
            ..lower::unknown(declared, decl)
        });
    }
    causes.push(lower::unknown(declared, decl));
    Some(())
}

/// Lets them bring the complaints and the abnormal outcomes of their places. `listed` is how many causes the tree lists.
pub(super) fn tie(
    layout: &Layout,
    causes: &[Cause],
    listed: usize,
    complaints: &mut [Complaint],
    checks: &mut [Check],
) {
    let unlisted: Vec<(CauseId, &Cause)> =
        causes.iter().enumerate().skip(listed).map(|(at, cause)| (CauseId(at), cause)).collect();
    for complaint in complaints {
        let brought = unlisted.iter().filter_map(|(id, cause)| Some((*id, brings(cause, complaint.site)?)));
        complaint.event.causes.extend(brought);
    }
    for check in checks.iter_mut().filter(|check| !matches!(check.site, Site::Pair(_))) {
        let of_place: Vec<CauseId> =
            unlisted.iter().filter(|(_, cause)| is_of_place(layout, cause, check.site)).map(|(id, _)| *id).collect();
        // What leaves no doubt or proves says which fault it is, so it is none that is not listed.
        let open = check.outcomes.iter_mut().filter(|outcome| outcome.looks_so.is_none() && !outcome.proves);
        let open: Vec<_> = open.collect();
        let chance = SHOWS / open.len().max(1) as f64;
        for outcome in open {
            outcome.event.causes.extend(of_place.iter().map(|id| (*id, chance)));
        }
    }
}

fn brings(cause: &Cause, complaint: Site) -> Option<f64> {
    let at_large = cause.name == UNLISTED && cause.site == Site::Engine;
    match (cause.site, complaint) {
        _ if at_large => Some(BRINGS),
        (Site::Side(own), Site::Side(of)) => (own == of).then_some(BRINGS),
        (Site::Side(_), Site::Engine) | (Site::Cylinder(_), Site::Side(_)) => Some(BRINGS_ELSEWHERE),
        (Site::Cylinder(_) | Site::Engine, Site::Engine) => Some(BRINGS),
        _ => None,
    }
}

fn is_of_place(layout: &Layout, cause: &Cause, check: Site) -> bool {
    match cause.site {
        Site::Cylinder(_) => layout.encloses(cause.site, check),
        Site::Side(_) => layout.encloses(cause.site, check) && matches!(check, Site::Side(_) | Site::Coil(..)),
        // What is outside the ignition shows in the engine and in its cylinders, not in parts of the ignition.
        _ => cause.not_ignition && matches!(check, Site::Engine | Site::Cylinder(_)),
    }
}
