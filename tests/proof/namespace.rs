//! This test program again, in a mount namespace of its own: what it mounts is gone when it ends, whatever happens.

use std::env;
use std::path::Path;
use std::process::{Command, Stdio};

const PART: &str = "ROUGHRUN_PROOF_PART";

/// A folder in memory where this machine has one.
pub(crate) fn quick_dir() -> tempfile::TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

fn unshare(root: bool) -> Command {
    let mut unshare = Command::new("unshare");
    // Another user than root may mount in memory where the system lets users be root of their own.
    unshare.args(if root { &["--mount"][..] } else { &["--mount", "--map-root-user"] });
    unshare
}

/// Whether this is the run inside the namespace.
pub(crate) fn inside() -> bool {
    env::var_os(PART).is_some()
}

/// Runs the test of this name (`module::function`) again in a namespace, and fails where it fails. False where the machine has none;
/// `real_root` where no lesser one will do.
pub(crate) fn again(test: &str, real_root: bool) -> bool {
    let is_root = rustix::process::geteuid().is_root();
    if real_root && !is_root {
        return false;
    }
    let can = unshare(is_root)
        .args(["sh", "-c", "mount -t tmpfs none /mnt"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    if !can {
        return false;
    }
    let status = unshare(is_root)
        .arg(env::current_exe().unwrap())
        .args(["--exact", test, "--nocapture"])
        .env(PART, "inside")
        .status()
        .unwrap();
    assert!(status.success(), "{test} failed in its namespace");
    true
}

/// Mounts, as `mount -t KIND -o OPTIONS WHAT WHERE` does.
pub(crate) fn mount(kind: &str, options: &str, what: &Path, at: &Path) {
    let status = Command::new("mount").args(["-t", kind, "-o", options]).arg(what).arg(at).status().unwrap();
    assert!(status.success(), "mount -t {kind} -o {options}");
}

pub(crate) fn unmount(at: &Path) {
    // What was just killed may still hold it for a moment.
    for _ in 0..50 {
        if Command::new("umount").arg(at).stderr(Stdio::null()).status().unwrap().success() {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    panic!("{} cannot be unmounted", at.display());
}
