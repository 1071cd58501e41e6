//! The power cut: a real file system on an image is shut down without writing its log out, and mounted again.
//!
//! The writer is stopped first, so that no flush is under way: what was acknowledged then must be there, and a control file that nobody
//! flushed must be gone, or the cut has not happened.

use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rustix::process::{Pid, Signal, kill_process};

use crate::figures;
use crate::namespace::{again, inside, mount, unmount};
use crate::program::{Talk, acknowledged, goes_on, holds, note};

const CASE: &str = "02";
const WHAT: &str = "power cuts (file system shut down without its log, mounted again)";

/// `EXT4_IOC_SHUTDOWN` with "do not write the log", which is how file systems test themselves against a power cut.
const CUT: &str = "import fcntl, os, struct, sys\n\
                   fd = os.open(sys.argv[1], os.O_RDONLY)\n\
                   fcntl.ioctl(fd, 0x8004587d, struct.pack('I', 2))";

fn shut_down(at: &Path) {
    assert!(Command::new("python3").args(["-c", CUT]).arg(at).status().unwrap().success(), "no cut");
}

#[test]
fn a_power_cut_loses_nothing_acknowledged() {
    if inside() {
        return cuts();
    }
    if !again("cut::a_power_cut_loses_nothing_acknowledged", true) {
        figures::not_run(CASE, WHAT, "it takes root and a mount namespace");
    }
}

fn cuts() {
    let dir = tempfile::tempdir().unwrap();
    let (image, disk) = (dir.path().join("image"), dir.path().join("disk"));
    fs::create_dir(&disk).unwrap();
    let made = fs::File::create(&image).unwrap().set_len(16 << 20).is_ok()
        && Command::new("mkfs.ext4").args(["-q", "-F"]).arg(&image).status().is_ok_and(|s| s.success());
    let can =
        made && Command::new("mount").args(["-o", "loop"]).arg(&image).arg(&disk).status().is_ok_and(|s| s.success());
    if !can {
        return figures::not_run(CASE, WHAT, "it takes mkfs.ext4 and loop devices");
    }
    unmount(&disk);
    let wanted = figures::cases(200, 8);
    let mut chance = ChaCha8Rng::seed_from_u64(4);
    let (mut fired, mut entries) = (0, 0);
    for cut in 0..wanted {
        mount("ext4", "loop", &image, &disk);
        let records = disk.join(format!("records-{cut}"));
        let mut talk = Talk::begun(&records);
        for n in 0..chance.random_range(0..6) {
            talk.type_until(&format!("note {}\n", note(n)), &["Saved as entry"]);
        }
        // One more that may be anywhere between typed and saved.
        let rest = format!("note {}\n", note(90));
        if cut % 2 == 0 {
            talk.type_until(&rest, &["Saved as entry"]);
        }
        std::thread::sleep(Duration::from_micros(chance.random_range(0..800)));
        let pid = Pid::from_raw(i32::try_from(talk.child.id()).unwrap()).unwrap();
        kill_process(pid, Signal::STOP).unwrap();
        let control = disk.join("control");
        fs::write(&control, "never flushed").unwrap();
        shut_down(&disk);
        let acked = acknowledged(&talk.kill());
        unmount(&disk);
        mount("ext4", "loop", &image, &disk);
        let lost = fs::read(&control).map_or(true, |bytes| bytes.is_empty());
        assert!(lost, "cut {cut}: the control file is still there, so nothing was cut");
        fired += 1;
        let what = format!("cut {cut}");
        assert!(!acked.is_empty(), "{what}");
        entries += acked.len();
        let record = holds(&records, &acked, &what).unwrap();
        goes_on(&records, &record.id, &what);
        let _ = fs::remove_file(&control);
        fs::remove_dir_all(&records).unwrap();
        unmount(&disk);
    }
    let came_out = format!("0 of {entries} acknowledged entries lost; the unflushed control file lost each time");
    figures::note(CASE, WHAT, wanted, fired, &came_out);
}
