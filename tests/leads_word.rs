//! What a shop lead says of a job: remarks and review marks are entries, and change nothing of the job.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::path::Path;
use std::sync::Arc;

use roughrun::analysis::Ranked;
use roughrun::job::{Ending, Entry, Job, Logged, Opening, Refusal};
use roughrun::model::Model;
use roughrun::record::{Report, verify};
use roughrun::shop::{JobState, Shop, ShopError};
use roughrun::trees::Library;

const LAYOUT: &str = "four-two-magnetos";

fn opening() -> Opening {
    Opening { mechanic: "A. Hand".into(), ..Opening::of(LAYOUT, "rough-one-side", "left".parse().unwrap()) }
}

fn opened() -> Job {
    let library = Library::embedded().unwrap_or_else(|d| panic!("{d:?}"));
    let layout = library.layout(LAYOUT).unwrap_or_else(|d| panic!("{d:?}"));
    let model: Arc<Model> = Arc::new(library.expand(&layout).unwrap_or_else(|d| panic!("{d:?}")));
    let entry = Entry::Opened(Box::new(opening()));
    Job::replay(model, vec![Logged { number: 1, when: "2026-11-25T09:00:00Z".into(), entry }]).unwrap()
}

fn enter(job: &mut Job, entry: Entry) -> Result<u64, Refusal> {
    let number = job.next_number();
    job.enter(Logged { number, when: format!("2026-11-25T09:{number:02}:00Z"), entry })?;
    Ok(number)
}

fn note() -> Entry {
    Entry::Note { text: "Oil in the harness.".into() }
}

fn remark(of: Option<u64>) -> Entry {
    Entry::Remark { by: "L. Lead".into(), text: "Why was the cap not opened?".into(), of }
}

fn reviewed() -> Entry {
    Entry::Reviewed { by: "L. Lead".into() }
}

fn closed() -> Entry {
    Entry::closed(Ending::Stopped, "No time left.".into())
}

#[test]
fn a_closed_job_takes_a_leads_word_and_nothing_of_it_changes() {
    let mut job = opened();
    let noted = enter(&mut job, note()).unwrap();
    enter(&mut job, closed()).unwrap();
    let before = job.clone();
    enter(&mut job, remark(Some(noted))).unwrap();
    enter(&mut job, remark(None)).unwrap();
    enter(&mut job, reviewed()).unwrap();
    assert_eq!(job.state(), before.state());
    assert_eq!(Ranked::of(job.clone()).posterior().causes, Ranked::of(before).posterior().causes);
    assert_eq!(job.remarks().iter().map(|r| r.of).collect::<Vec<_>>(), [Some(noted), None]);
    assert_eq!(job.review().unwrap().by, "L. Lead");
    // The way back for the mechanic is the closing, not what the lead said after it.
    assert!(matches!(job.last_standing(), Some((_, Entry::Closed { .. }))));
}

#[test]
fn a_leads_word_without_name_words_or_thing_is_refused() {
    let mut job = opened();
    let refused = |job: &mut Job, entry: Entry| enter(job, entry).unwrap_err();
    assert_eq!(refused(&mut job, Entry::Reviewed { by: "  ".into() }), Refusal::NoName);
    let nameless = Entry::Remark { by: String::new(), text: "So it is.".into(), of: None };
    assert_eq!(refused(&mut job, nameless), Refusal::NoName);
    let empty = Entry::Remark { by: "L. Lead".into(), text: " \n".into(), of: None };
    assert_eq!(refused(&mut job, empty), Refusal::NoWords);
    assert_eq!(refused(&mut job, remark(Some(7))), Refusal::NothingThere(7));
    let own = job.next_number();
    assert_eq!(refused(&mut job, remark(Some(own))), Refusal::NothingThere(own));
}

#[test]
fn a_leads_word_is_taken_back_but_never_changed() {
    let mut job = opened();
    let said = enter(&mut job, remark(None)).unwrap();
    let noted = enter(&mut job, note()).unwrap();
    let changed = Entry::Amend { of: said, by: Box::new(note()) };
    assert_eq!(enter(&mut job, changed).unwrap_err(), Refusal::LeadsWord(said));
    let made = Entry::Amend { of: noted, by: Box::new(reviewed()) };
    assert_eq!(enter(&mut job, made).unwrap_err(), Refusal::LeadsWord(noted));
    enter(&mut job, Entry::Undo { of: said }).unwrap();
    assert_eq!(job.remarks(), []);
    assert!(job.log().iter().any(|l| l.number == said), "it stays in the record");
}

#[test]
fn a_review_mark_tells_what_came_after_it() {
    let mut job = opened();
    enter(&mut job, reviewed()).unwrap();
    enter(&mut job, note()).unwrap();
    let said = enter(&mut job, remark(None)).unwrap();
    enter(&mut job, Entry::Undo { of: said }).unwrap();
    assert_eq!(job.review().unwrap().since, 0, "a note and the lead's own words are no change of the job");
    let end = enter(&mut job, closed()).unwrap();
    assert_eq!(job.review().unwrap().since, 1);
    enter(&mut job, Entry::Undo { of: end }).unwrap();
    assert_eq!(job.review().unwrap().since, 2);
    enter(&mut job, reviewed()).unwrap();
    assert_eq!(job.review().unwrap().since, 0);
}

#[test]
fn the_record_keeps_it_whole_and_a_program_that_does_not_know_it_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::open(None, Some(folder.path())).unwrap();
    let mut open = shop.start(opening(), None).unwrap();
    open.enter(closed()).unwrap();
    let id = open.id().to_owned();
    drop(open);
    let (mut open, _) = shop.resume(&id).unwrap();
    open.enter(remark(Some(1))).unwrap();
    open.enter(reviewed()).unwrap();
    drop(open);
    let (job, _, notes) = shop.look(&id).unwrap();
    assert_eq!((job.remarks().len(), job.review().map(|r| r.since), notes), (1, Some(0), Vec::new()));
    assert_eq!(shop.jobs().unwrap()[0].state, JobState::Closed(Ending::Stopped));
    let report: Report = verify(folder.path()).unwrap();
    assert!(report.files.iter().all(|f| f.faults.is_empty()), "{report:?}");
    // A kind of entry from a later version is refused by name, never passed over: so would an older program do with a remark.
    let (open, _) = shop.resume(&id).unwrap();
    let file = open.file();
    drop(open);
    append(&file, "praise");
    let fault = shop.look(&id).unwrap_err();
    assert!(matches!(fault, ShopError::NotUnderstood { .. }), "{fault}");
    assert!(fault.to_string().contains("newer version"), "{fault}");
}

/// A whole line of a kind that this version does not know, at the end of a record.
fn append(file: &Path, kind: &str) {
    use roughrun::record::{Device, JobId, Journal, Stamp};
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let mut parts = name.split('.');
    let id = JobId::parse(parts.next().unwrap()).unwrap();
    let device = Device::parse(parts.next().unwrap()).unwrap();
    let records = file.ancestors().nth(3).unwrap();
    let stamp = Stamp { wall: "2026-11-25T12:00:00+00:00".into(), mono_ms: 1 };
    let (mut journal, _) = Journal::resume(records, &id, &device, &stamp).unwrap();
    journal.append(kind, serde_json::json!({ "text": "Well done." }), stamp).unwrap();
}
