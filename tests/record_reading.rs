//! Reading a record that is cut, changed or padded: torn told apart from damaged, and the place named.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::fs;
use std::path::Path;

use record_support::{all_bodies, bodies, body, device, job_with, quick_dir, stamp};
use roughrun::record::{Class, FaultKind, Journal, RecordError, Segment, find_head, read_job, read_segment};
use sha2::{Digest as _, Sha256};

const ENTRIES: usize = 5;

fn written(dir: &Path, bytes: &[u8]) -> Segment {
    let path = dir.join("x.jsonl");
    fs::write(&path, bytes).unwrap();
    read_segment(&path).unwrap()
}

fn kinds(segment: &Segment) -> Vec<(usize, FaultKind)> {
    segment.faults.iter().map(|f| (f.line, f.kind)).collect()
}

fn sample(dir: &Path) -> Vec<u8> {
    let (_, path) = job_with(dir, ENTRIES);
    fs::read(path).unwrap()
}

/// Byte offsets just after each line feed.
fn line_ends(bytes: &[u8]) -> Vec<usize> {
    let at = |(i, &b): (usize, &u8)| (b == b'\n').then_some(i + 1);
    bytes.iter().enumerate().filter_map(at).collect()
}

#[test]
fn a_whole_record_reads_back() {
    let dir = quick_dir();
    let segment = written(dir.path(), &sample(dir.path()));
    assert_eq!(segment.class(), Class::Ok);
    let numbers: Vec<u64> = segment.entries.iter().map(|e| e.seq).collect();
    assert_eq!(numbers, [1, 2, 3, 4, 5]);
    assert_eq!(segment.head, segment.entries[ENTRIES - 1].hash);
    let header = segment.header.unwrap();
    assert_eq!(header.device.as_str(), "bench");
    assert_eq!(header.extra["layout"], "six");
    assert_eq!(header.continues, None);
}

#[test]
fn every_prefix_keeps_its_whole_lines_and_names_what_is_torn() {
    let dir = quick_dir();
    let bytes = sample(dir.path());
    let ends = line_ends(&bytes);
    for cut in 0..bytes.len() {
        let segment = written(dir.path(), &bytes[..cut]);
        // A line that lacks only its line feed is whole.
        let whole = ends.iter().filter(|&&e| e <= cut + 1).count();
        let lines = usize::from(segment.header.is_some()) + segment.entries.len();
        assert_eq!(lines, whole, "cut at {cut}");
        assert_eq!(segment.header.is_some(), whole > 0, "cut at {cut}");
        let (clean, empty) = (ends.contains(&cut), cut == 0);
        let expected: &[FaultKind] = if clean { &[] } else { &[FaultKind::Torn] };
        let found: Vec<_> = segment.faults.iter().map(|f| f.kind).collect();
        assert_eq!(found, expected, "cut at {cut}");
        if !clean && !empty {
            let torn_line = bytes[..cut].split(|&b| b == b'\n').count();
            assert_eq!(segment.faults[0].line, torn_line, "cut at {cut}");
        }
    }
}

#[test]
fn every_prefix_can_be_gone_on_with_and_keeps_its_bytes() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), 2);
    let bytes = fs::read(&path).unwrap();
    let header_end = line_ends(&bytes)[0];
    for cut in header_end - 1..bytes.len() {
        fs::write(&path, &bytes[..cut]).unwrap();
        let before = read_segment(&path).unwrap().entries.len();
        let (mut journal, record) = Journal::resume(dir.path(), &id, &device("bench"), &stamp(50)).unwrap();
        assert_eq!(record.entries.len(), before);
        journal.append("check", body(9), stamp(51)).unwrap();
        drop(journal);
        let now = fs::read(&path).unwrap();
        assert_eq!(&now[..cut], &bytes[..cut], "the old bytes stay, cut at {cut}");
        let after = read_job(dir.path(), &id).unwrap();
        assert_eq!(after.entries.len(), before + 1, "cut at {cut}");
        assert_ne!(after.class(), Class::Damaged, "cut at {cut}: {:?}", after.faults);
        let torn = after.faults.iter().any(|f| f.kind == FaultKind::TornRecovered);
        let mid_line = !bytes[..cut].ends_with(b"\n") && !bytes[cut..].starts_with(b"\n");
        assert_eq!(torn, mid_line, "cut at {cut}: {:?}", after.faults);
    }
}

/// A crash while a torn tail is being closed, and another while that is being closed.
#[test]
fn every_prefix_of_a_recovered_record_can_be_gone_on_with() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), 2);
    let whole = fs::read(&path).unwrap();
    let good = line_ends(&whole)[1];
    let mut start = good + 40;
    let mut bytes = whole[..start].to_vec();
    for round in 0..3 {
        fs::write(&path, &bytes).unwrap();
        let resumed = Journal::resume(dir.path(), &id, &device("bench"), &stamp(60)).unwrap();
        drop(resumed);
        let closed = fs::read(&path).unwrap();
        assert!(closed.len() > start, "the tail was closed");
        for cut in start..=closed.len() {
            fs::write(&path, &closed[..cut]).unwrap();
            let (mut journal, record) = Journal::resume(dir.path(), &id, &device("bench"), &stamp(61))
                .unwrap_or_else(|e| panic!("round {round}, cut at {cut}: {e}"));
            assert_eq!(record.entries.len(), 1);
            journal.append("check", body(7), stamp(62)).unwrap();
            drop(journal);
            let after = read_job(dir.path(), &id).unwrap();
            assert_eq!(bodies(&after), [body(0), body(7)], "round {round}, cut at {cut}");
            assert_eq!(after.class(), Class::Torn, "round {round}, cut at {cut}");
        }
        // Next round: begin with a closing line that was itself cut in the middle.
        bytes = closed[..closed.len() - 60].to_vec();
        start = bytes.len();
    }
}

#[test]
fn every_flipped_bit_is_found_and_its_line_named() {
    let dir = quick_dir();
    let bytes = sample(dir.path());
    let mut flips = 0;
    for at in 0..bytes.len() {
        let line = bytes[..at].split(|&b| b == b'\n').count();
        for bit in 0..8 {
            let mut changed = bytes.clone();
            changed[at] ^= 1 << bit;
            let segment = written(dir.path(), &changed);
            let first = segment.faults.first();
            let first = first.unwrap_or_else(|| panic!("byte {at} bit {bit} undetected"));
            assert_eq!(first.line, line, "byte {at} bit {bit}: {}", first.sentence);
            assert!(segment.entries.len() < line, "nothing changed is kept as whole");
            assert_eq!(segment.class(), Class::Damaged, "byte {at} bit {bit}: {}", first.sentence);
            flips += 1;
        }
    }
    assert_eq!(flips, bytes.len() * 8);
}

#[test]
fn zeros_and_garbage_at_the_end_are_torn_and_kept() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), ENTRIES);
    let bytes = fs::read(&path).unwrap();
    for tail in [vec![0_u8; 4096], vec![0xfe; 33], b"{\"seq\":6,\"t\":\"2026".to_vec(), vec![b'x'; 90_000]] {
        let mut padded = bytes.clone();
        padded.extend_from_slice(&tail);
        fs::write(&path, &padded).unwrap();
        let segment = read_segment(&path).unwrap();
        assert_eq!(kinds(&segment), [(ENTRIES + 2, FaultKind::Torn)]);
        assert_eq!(segment.entries.len(), ENTRIES);
        let (mut journal, _) = Journal::resume(dir.path(), &id, &device("bench"), &stamp(70)).unwrap();
        journal.append("check", body(ENTRIES), stamp(71)).unwrap();
        drop(journal);
        let after = read_job(dir.path(), &id).unwrap();
        assert_eq!(bodies(&after), all_bodies(ENTRIES + 1));
        assert_eq!(after.class(), Class::Torn);
        assert!(fs::read(&path).unwrap().starts_with(&padded));
    }
}

#[test]
fn garbage_lines_are_damage_and_stop_a_resume() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), ENTRIES);
    let bytes = fs::read(&path).unwrap();
    for (tail, kind) in [
        (b"not a line\n".to_vec(), FaultKind::Unparsable),
        (vec![0xff, 0xfe, b'\n'], FaultKind::NotUtf8),
        (vec![b'\n'], FaultKind::Unparsable),
        ([vec![b'x'; 70_000], vec![b'\n']].concat(), FaultKind::TooLong),
        (vec![0; 400_000], FaultKind::TooLong),
    ] {
        fs::write(&path, [bytes.clone(), tail].concat()).unwrap();
        let segment = read_segment(&path).unwrap();
        assert_eq!(kinds(&segment), [(ENTRIES + 2, kind)]);
        assert_eq!(segment.entries.len(), ENTRIES, "what came before is kept");
        let fault = Journal::resume(dir.path(), &id, &device("bench"), &stamp(70)).unwrap_err();
        assert!(matches!(fault, RecordError::Damaged { .. }), "{fault}");
        assert!(fault.to_string().contains(&format!("Line {}", ENTRIES + 2)), "{fault}");
    }
}

#[test]
fn changed_line_ends_are_named_as_such() {
    let dir = quick_dir();
    let text = String::from_utf8(sample(dir.path())).unwrap();
    let segment = written(dir.path(), text.replace('\n', "\r\n").as_bytes());
    assert_eq!(kinds(&segment), [(1, FaultKind::LineEnds)]);
    assert_eq!(segment.entries.len(), ENTRIES, "the lines are whole otherwise");
    assert!(segment.faults[0].sentence.contains("CR LF"));
    assert_eq!(segment.class(), Class::Damaged);
}

#[test]
fn lines_dropped_doubled_or_swapped_are_found() {
    let dir = quick_dir();
    let bytes = sample(dir.path());
    let lines: Vec<&[u8]> = bytes.split_inclusive(|&b| b == b'\n').collect();
    for (order, first_bad) in [
        (vec![0, 1, 3, 4, 5], 3),
        (vec![0, 1, 2, 2, 3, 4, 5], 4),
        (vec![0, 1, 3, 2, 4, 5], 3),
        (vec![0, 0, 1, 2, 3, 4, 5], 2),
    ] {
        let mixed: Vec<u8> = order.iter().flat_map(|&i| lines[i].to_vec()).collect();
        let segment = written(dir.path(), &mixed);
        let first = &segment.faults[0];
        assert_eq!((first.line, first.kind), (first_bad, FaultKind::BrokenChain), "{order:?}");
        assert_eq!(segment.entries.len(), first_bad - 2, "{order:?}");
    }
    let headless = written(dir.path(), &lines[1..].concat());
    assert_eq!(kinds(&headless), [(1, FaultKind::NoHeader)]);
}

/// A whole line of another record, with the right number and its own right hash.
#[test]
fn a_line_put_in_from_elsewhere_is_found() {
    let (dir, other) = (quick_dir(), quick_dir());
    let bytes = sample(dir.path());
    let mut journal =
        Journal::create(other.path(), &record_support::id(2), &device("bench"), body(0), &stamp(0)).unwrap();
    for n in 0..ENTRIES {
        journal.append("check", body(90 + n), stamp(1)).unwrap();
    }
    let foreign = fs::read(journal.path()).unwrap();
    let mut lines: Vec<&[u8]> = bytes.split_inclusive(|&b| b == b'\n').collect();
    lines[3] = foreign.split_inclusive(|&b| b == b'\n').nth(3).unwrap();
    let segment = written(dir.path(), &lines.concat());
    assert_eq!(kinds(&segment), [(4, FaultKind::BrokenChain), (5, FaultKind::BrokenChain)]);
    assert_eq!(segment.entries.len(), 2);
}

/// A merge that mixes up or doubles whole lines loses nothing: the hashes say where each belongs.
#[test]
fn mixed_up_lines_find_their_places_in_the_job() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), ENTRIES);
    let bytes = fs::read(&path).unwrap();
    let lines: Vec<&[u8]> = bytes.split_inclusive(|&b| b == b'\n').collect();
    let mixed: Vec<u8> = [0, 1, 4, 4, 2, 3, 5].iter().flat_map(|&i| lines[i].to_vec()).collect();
    fs::write(&path, mixed).unwrap();
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(ENTRIES));
    assert_eq!(record.class(), Class::Damaged, "it is said all the same");
}

/// What a chain of hashes cannot show, and what shows it.
#[test]
fn a_cut_end_reads_whole_and_the_head_tells() {
    let dir = quick_dir();
    let bytes = sample(dir.path());
    let printed = written(dir.path(), &bytes).head;
    let ends = line_ends(&bytes);
    let cut = written(dir.path(), &bytes[..ends[ENTRIES - 1]]);
    assert_eq!(cut.class(), Class::Ok);
    assert_ne!(cut.head, printed);
}

/// The same lines with all their hashes and chains made anew, as someone would who changes a record and knows how.
fn resealed(text: &str) -> String {
    let mut prev: Option<String> = None;
    text.lines().fold(String::new(), |all, line| {
        let (start, rest) = line.split_once("\"prev\":\"").unwrap();
        let before = prev.clone().unwrap_or_else(|| rest[..64].to_owned());
        let sealed = format!("{start}\"prev\":\"{before}\"");
        let hash: String =
            Sha256::digest(sealed.as_bytes()).iter().fold(String::new(), |hash, b| hash + &format!("{b:02x}"));
        Sha256::digest(sealed.as_bytes()).iter().fold(String::new(), |hash, b| hash + &format!("{b:02x}"));
        prev = Some(hash.clone());
        format!("{all}{sealed},\"h\":\"{hash}\"}}\n")
    })
}

/// What no chain can show by itself, and what shows it: a head that was printed before.
#[test]
fn a_record_written_anew_reads_whole_and_the_printed_head_tells() {
    let dir = quick_dir();
    let (_, path) = job_with(dir.path(), ENTRIES);
    let text = fs::read_to_string(&path).unwrap();
    let printed = read_segment(&path).unwrap().head;
    assert_eq!(find_head(dir.path(), &printed[..16]).unwrap().unwrap().line, ENTRIES + 1);
    fs::write(&path, resealed(&text)).unwrap();
    assert_eq!(read_segment(&path).unwrap().head, printed, "the same lines give the same hashes");
    fs::write(&path, resealed(&text.replace("8.2 kohm", "4.2 kohm"))).unwrap();
    assert_eq!(read_segment(&path).unwrap().class(), Class::Ok);
    assert_eq!(find_head(dir.path(), &printed[..16]).unwrap(), None);
    assert_eq!(find_head(&path, &printed).unwrap(), None);
}

#[test]
fn other_formats_are_refused_by_name() {
    let dir = quick_dir();
    let (id, path) = job_with(dir.path(), ENTRIES);
    let text = fs::read_to_string(&path).unwrap();
    for newer in ["roughrun-record-2", "roughrun-record-17"] {
        fs::write(&path, text.replace("roughrun-record-1", newer)).unwrap();
        let segment = read_segment(&path).unwrap();
        assert_eq!(kinds(&segment), [(1, FaultKind::UnknownFormat)]);
        assert!(segment.faults[0].sentence.contains(newer));
        assert!(segment.entries.is_empty());
        let fault = Journal::resume(dir.path(), &id, &device("bench"), &stamp(70)).unwrap_err();
        assert!(matches!(fault, RecordError::NewerFormat { .. }), "{fault}");
    }
    // Of no family we know, with hashes that hold.
    for odd in ["roughrun-record", "other", ""] {
        let sealed = resealed(&text.replace("roughrun-record-1", odd));
        let segment = written(dir.path(), sealed.as_bytes());
        assert_eq!((segment.faults[0].line, segment.faults[0].kind), (1, FaultKind::NoHeader), "{odd}");
        assert!(segment.entries.is_empty());
    }
    fs::write(&path, "{\"format\":\"roughrun-record-9\",\"else\":1}\n").unwrap();
    assert_eq!(kinds(&read_segment(&path).unwrap()), [(1, FaultKind::UnknownFormat)]);
}
