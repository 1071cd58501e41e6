//! Faults in trees as each command meets them.

use crate::bench::Bench;

#[test]
fn faulty_trees_stop_every_command_alike() {
    let bench = Bench::new();
    let folder = bench.folder.path().join("bad");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("a.yaml"), "format: roughrun-tree-1\nchecks:\n  x: {title: \u{1b}[31m}\n").unwrap();
    let folder = folder.to_str().unwrap();
    for args in [
        &["tree", "show", "--trees", folder][..],
        &["tree", "graph", "--trees", folder],
        &["diagnose", "e.yaml", "--trees", folder],
        &["report", "last", "--trees", folder],
        &["trace", "--plain", "--trees", folder],
        &["resume", "--plain", "--trees", folder],
    ] {
        bench.run(args).code(1).complains("a.yaml:3:").plainly();
    }
    // Records are checked without trees.
    std::fs::create_dir_all(bench.records()).unwrap();
    bench.run(&["verify", "--trees", folder]).code(4).says("0 files").says("nothing was checked");
    bench.run(&["verify", "nowhere"]).code(3).complains("nowhere");
}
