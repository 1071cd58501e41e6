//! Ten thousand records, one of them damaged, listed and checked.

use std::fs;
use std::time::Instant;

use roughrun::record::{Class, Device, JobId, Journal, Listed, Stamp, list, verify};
use serde_json::json;

use crate::figures;

#[test]
fn ten_thousand_records_are_listed_and_the_damaged_one_is_among_them() {
    let many = 10_000_u64;
    let dir = crate::namespace::quick_dir();
    let device = Device::parse("bench").unwrap();
    let mut damaged = None;
    for n in 0..many {
        let id = JobId::new(1_790_000_000_000 + n, |chance| {
            chance[..8].copy_from_slice(&n.to_be_bytes());
            Ok(())
        })
        .unwrap();
        let day = 1 + n % 28;
        let stamp = |minute: u64| Stamp { wall: format!("2026-11-{day:02}T09:{minute:02}:00+01:00"), mono_ms: minute };
        let extra =
            json!({"layout": "four-magneto", "complaint": "Rough on one side", "at": "left", "mechanic": "Kim"});
        let mut journal = Journal::create(dir.path(), &id, &device, extra, &stamp(0)).unwrap();
        for minute in 1..4 {
            journal.append("note", json!({"text": format!("lead tip {n} wiped")}), stamp(minute)).unwrap();
        }
        if n == many / 2 {
            damaged = Some(journal.path().to_owned());
        }
    }
    let damaged = damaged.unwrap();
    let mut bytes = fs::read(&damaged).unwrap();
    let at = bytes.windows(4).position(|w| w == b"wipe").unwrap();
    bytes[at] ^= 1;
    fs::write(&damaged, bytes).unwrap();

    let start = Instant::now();
    let listed = list(dir.path()).unwrap();
    let listing = start.elapsed();
    let hurt = listed.iter().filter(|l| matches!(l, Listed::Job(s) if s.class == Class::Damaged)).count();
    assert_eq!((listed.len() as u64, hurt), (many, 1));

    let start = Instant::now();
    let report = verify(dir.path()).unwrap();
    let checking = start.elapsed();
    let found: Vec<_> = report.files.iter().filter(|f| f.class == Class::Damaged).collect();
    assert_eq!((report.files.len() as u64, found.len()), (many, 1));
    assert_eq!((&found[0].path, found[0].faults[0].line), (&damaged, 2));
    let came_out = format!(
        "listed in {} ms, every hash checked in {} ms, the damaged one named by line",
        listing.as_millis(),
        checking.as_millis()
    );
    figures::note("20", "records listed, one of them damaged", usize::try_from(many).unwrap(), 1, &came_out);
}
