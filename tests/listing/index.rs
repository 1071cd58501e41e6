//! The index: quick where it fits, and never believed against a record.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;
use std::path::PathBuf;
use std::time::{Duration, SystemTime};

use roughrun::review::listing::{Worked, list};

use super::{Bench, cure, id, job, only, records};

/// Records that the index has read and may keep: it keeps none that changed within its last two seconds.
fn settled(many: u64) -> Bench {
    let bench = Bench::new();
    for n in 1..=many {
        bench.write(&format!("{}.bench.jsonl", id(n)), job(&id(n), &cure()).0);
    }
    std::thread::sleep(Duration::from_millis(2_100));
    assert_eq!(bench.list().from_index, 0);
    assert_eq!(bench.list().from_index, usize::try_from(many).unwrap());
    bench
}

fn index(bench: &Bench) -> PathBuf {
    let found: Vec<_> = fs::read_dir(bench.cache()).unwrap().map(|item| item.unwrap().path()).collect();
    assert_eq!(found.len(), 1, "no beginnings are left: {found:?}");
    found[0].clone()
}

#[test]
fn what_comes_from_the_index_is_what_was_read() {
    let bench = settled(3);
    let read = list(&[bench.records()], None).unwrap();
    let kept = bench.list();
    assert_eq!((read.from_index, kept.from_index), (0, 3));
    assert_eq!(read.rows, kept.rows);
    let mode = fs::metadata(index(&bench)).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

#[test]
fn a_record_that_grew_or_was_changed_or_replaced_is_read_again() {
    let bench = settled(4);
    let path = |n: u64| bench.records().join(format!("{}.bench.jsonl", id(n)));
    // Grown.
    fs::write(path(1), job(&id(1), &[cure(), vec![("note", serde_json::json!({"text": "more"}))]].concat()).0).unwrap();
    // Changed in place, its length and time of change put back.
    let before = fs::metadata(path(2)).unwrap().modified().unwrap();
    let changed = fs::read_to_string(path(2)).unwrap().replace("left 3", "left 4");
    fs::write(path(2), changed).unwrap();
    fs::File::open(path(2)).unwrap().set_modified(before).unwrap();
    // Replaced by another file of the same length and time.
    let other = bench.records().join("other");
    fs::write(&other, fs::read_to_string(path(3)).unwrap().replace("rough hot", "ROUGH HOT")).unwrap();
    fs::File::open(&other).unwrap().set_modified(fs::metadata(path(3)).unwrap().modified().unwrap()).unwrap();
    fs::rename(&other, path(3)).unwrap();
    let listing = bench.list();
    assert_eq!(listing.from_index, 1);
    let of = |n: u64| listing.rows.iter().find(|row| row.id == id(n)).unwrap();
    assert_eq!(of(1).entries, 6);
    assert!(of(2).trouble.is_some() && of(3).trouble.is_some() && of(4).trouble.is_none());
    // Taken away.
    fs::remove_file(path(4)).unwrap();
    assert_eq!(bench.list().rows.len(), 3);
}

#[test]
fn a_missing_cut_changed_or_strange_index_is_made_anew() {
    let bench = settled(2);
    let read = list(&[bench.records()], None).unwrap().rows;
    let path = index(&bench);
    let good = fs::read(&path).unwrap();
    let hostile = "{\"a\":".repeat(100_000);
    let spoilt: Vec<Vec<u8>> = vec![
        Vec::new(),
        b"\n".to_vec(),
        good[..good.len() / 2].to_vec(),
        good[..good.len() - 1].to_vec(),
        String::from_utf8(good.clone()).unwrap().replace("Kim", "Tim").into_bytes(),
        resealed(&good, |text| text.replace("roughrun-index-3", "roughrun-index-1")),
        resealed(&good, |text| text.replace("\"id\":", "\"di\":")),
        resealed(&good, |_| hostile.clone()),
        b"\xff".repeat(1000),
    ];
    for bytes in spoilt {
        fs::write(&path, &bytes).unwrap();
        let listing = bench.list();
        assert_eq!((listing.from_index, &listing.rows), (0, &read));
        assert_eq!(fs::read(&path).unwrap(), good);
    }
    fs::remove_dir_all(bench.cache()).unwrap();
    assert_eq!(bench.list().rows, read);
}

/// An index with other content and a hash that fits.
fn resealed(index: &[u8], change: impl Fn(String) -> String) -> Vec<u8> {
    let text = String::from_utf8(index.to_vec()).unwrap();
    let all = text.trim_end().rsplit_once('\n').unwrap().0.to_owned();
    let all = change(all);
    format!("{all}\n{}\n", records::sha256(all.as_bytes())).into_bytes()
}

#[test]
fn an_index_written_to_deceive_cannot_steer_a_terminal_or_name_a_file() {
    let bench = settled(1);
    let path = index(&bench);
    let forged = resealed(&fs::read(&path).unwrap(), |text| text.replace("Kim", "\\u001b[2J\\u202e"));
    fs::write(&path, forged).unwrap();
    let listing = bench.list();
    let row = only(&listing);
    assert_eq!(listing.from_index, 1);
    assert_eq!(row.mechanic, "<U+001B>[2J<U+202E>");
    assert!(row.files.iter().all(|file| file.starts_with(bench.records().canonicalize().unwrap())));
    // The row of one job is not taken for another's.
    let forged = resealed(&fs::read(&path).unwrap(), |text| {
        text.replace(&format!("\"row\":{{\"id\":\"{}", id(1)), &format!("\"row\":{{\"id\":\"{}", id(7)))
    });
    fs::write(&path, forged).unwrap();
    let listing = bench.list();
    assert_eq!((listing.from_index, only(&listing).id.as_str()), (0, id(1).as_str()));
}

#[test]
fn the_index_is_not_written_through_a_link_and_its_loss_is_only_noted() {
    let bench = settled(1);
    let path = index(&bench);
    let precious = bench.top.path().join("precious");
    fs::write(&precious, "mine").unwrap();
    fs::remove_file(&path).unwrap();
    std::os::unix::fs::symlink(&precious, &path).unwrap();
    assert_eq!(bench.list().rows.len(), 1);
    assert_eq!(fs::read_to_string(&precious).unwrap(), "mine");
    assert!(fs::symlink_metadata(&path).unwrap().is_file(), "the link itself was replaced");
    // No cache folder can be made where a file is.
    let listing = list(&[bench.records()], Some(&precious.join("cache"))).unwrap();
    assert_eq!((listing.rows.len(), listing.notes.len()), (1, 1));
    assert!(listing.notes[0].contains("cannot be written"), "{:?}", listing.notes);
}

#[test]
fn a_file_that_changed_a_moment_ago_is_not_kept() {
    let bench = Bench::new();
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &cure()).0);
    let path = bench.records().join(format!("{}.bench.jsonl", id(1)));
    // Its time of change cannot be put back, whatever the time of modification says.
    let long_ago = SystemTime::now() - Duration::from_secs(100);
    fs::File::open(&path).unwrap().set_modified(long_ago).unwrap();
    assert_eq!((bench.list().from_index, bench.list().from_index), (0, 0));
}

#[test]
fn what_was_worked_out_is_kept_as_long_as_the_record_is_the_same() {
    let bench = settled(2);
    let mut listing = bench.list();
    let worked = Worked {
        trees: "t".into(),
        minutes: Some(55.0),
        ending: None,
        proven: vec!["Lead open".into()],
        why_not: None,
    };
    assert!(listing.rows[0].wants_work("t"));
    listing.take(0, worked.clone());
    listing.keep();
    let kept = bench.list();
    assert_eq!((kept.rows[0].worked.as_ref(), kept.rows[0].minutes()), (Some(&worked), Some(55.0)));
    assert!(!kept.rows[0].wants_work("t") && kept.rows[0].wants_work("u") && kept.rows[1].wants_work("t"));
    assert_eq!(kept.rows[0].came_of_it(), ("seen", &["lead-open, left 3".to_owned()][..]));
    let grown = job(&kept.rows[0].id, &[cure(), vec![("note", serde_json::json!({"text": "more"}))]].concat()).0;
    fs::write(&kept.rows[0].files[0], grown).unwrap();
    assert!(bench.list().rows[0].worked.is_none());
}
