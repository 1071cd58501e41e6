//! The system's own limits on a program.

use std::ffi::OsStr;

use crate::figures;
use crate::program::{TRACE, acknowledged, command, goes_on, holds, jobs_in, run, script};

/// A limit on the size of files, with its signal as it comes and ignored: the write fails and is said, as on a full disk.
#[test]
fn a_limit_on_the_size_of_files_is_said() {
    let (case, what) = ("10", "a limit on file size (RLIMIT_FSIZE), its signal as it comes and ignored");
    let mut fired = 0;
    for ignored in ["", "trap '' XFSZ; "] {
        let dir = crate::namespace::quick_dir();
        let (records, other) = (dir.path().join("records"), dir.path().join("elsewhere"));
        // In units of 512 bytes.
        let shell = format!("{ignored}ulimit -f 6; exec \"$0\" \"$@\"");
        let before = ["sh", "-c", &shell].map(OsStr::new);
        let typed = format!("{}save {}\n", script(12), other.display());
        let ended = run(command(&before, &TRACE, &records), &typed);
        assert!(ended.out.contains("limit on the size of a file"), "{ended:?}");
        fired += 1;
        let (first, _) = ended.out.split_once("NOT SAVED").unwrap();
        let acked = acknowledged(first);
        assert!(acked.len() > 3);
        holds(&records, &acked, what);
        goes_on(&records, &jobs_in(&records)[0], what);
    }
    figures::note(case, what, 2, fired, "said, nothing lost");
}
