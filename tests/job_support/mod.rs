//! Jobs on the shipped four with two magnetos, entry by entry, for the tests that play them.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::sync::{Arc, LazyLock};

use roughrun::job::{Answer, Entry, Job, Logged, Opening, Refusal};
use roughrun::model::{Model, Site};
use roughrun::trees::Library;

pub(crate) static MODEL: LazyLock<Arc<Model>> = LazyLock::new(|| {
    let library = Library::embedded().unwrap();
    Arc::new(library.expand(&library.layout("four-two-magnetos").unwrap()).unwrap())
});

pub(crate) fn at(site: &str) -> Site {
    site.parse().unwrap()
}

pub(crate) fn begun(opening: Opening, when: &str) -> Job {
    let first = Logged { number: 1, when: when.into(), entry: Entry::Opened(Box::new(opening)) };
    Job::replay(Arc::clone(&MODEL), vec![first]).unwrap()
}

pub(crate) fn opened(complaint: &str, site: &str, when: &str) -> Job {
    begun(Opening::of("four-two-magnetos", complaint, at(site)), when)
}

pub(crate) fn try_enter(job: &mut Job, when: &str, entry: Entry) -> Result<(), Refusal> {
    job.enter(Logged { number: job.next_number(), when: when.into(), entry })
}

pub(crate) fn enter(job: &mut Job, entry: Entry) {
    try_enter(job, "", entry).unwrap();
}

#[allow(dead_code)] // Not every test opens something.
pub(crate) fn access(name: &str, site: &str, open: bool) -> Entry {
    Entry::Access { access: name.into(), at: at(site), open }
}

pub(crate) fn answer(check: &str, site: &str, outcome: &str) -> Entry {
    Entry::Answer(Answer::outcome(check, at(site), outcome))
}
