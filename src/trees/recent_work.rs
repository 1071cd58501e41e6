//! Kinds of work done before a job, expanded over the sites of a layout.
//!
//! One that can bring nothing in a layout is left out of it. Names were looked at before.

use super::declared::Declared;
use super::gates::Members;
use super::ground::Ground;
use super::lower;
use crate::model::{Brought, RecentWork};

pub(super) fn expand(declared: &Declared, ground: &Ground<'_>, members: &Members) -> Vec<RecentWork> {
    let mut list = Vec::new();
    for decl in &declared.recent_work.items {
        let twin = &decl.twin;
        for site in ground.places(twin.at, &twin.only) {
            let mut brings = Vec::new();
            for (_, infant, brought) in twin.all() {
                let source = lower::cited(declared, brought.source.as_ref());
                let causes = members.causes(declared, ground, &brought.cause, site);
                let each = |cause| Brought { cause, chance: brought.chance, infant, source: source.clone() };
                brings.extend(causes.into_iter().map(each));
            }
            if brings.is_empty() {
                continue;
            }
            list.push(RecentWork {
                name: decl.name.clone(),
                site,
                title: twin.title.trim().to_owned(),
                brings,
                renews: twin.renews.clone(),
                of_parts: twin.of_parts.clone(),
                source: lower::cited(declared, twin.source.as_ref()),
            });
        }
    }
    list
}
