//! The sources: only the proofs say that something is saved.

use std::fs;
use std::path::{Path, PathBuf};

/// The home of the proofs and of their sentences.
const HOME: &str = "src/record/kept.rs";

/// Words that promise.
const PROMISES: [&str; 9] = [
    "saved as entry",
    "is saved",
    "are saved",
    "answers saved",
    "and saved",
    "everything entered is",
    "everything is saved",
    "everything done is",
    "nothing is lost",
];

fn sources(at: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(at).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() && !path.ends_with("tests") {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("tests.rs") {
            into.push(path);
        }
    }
}

/// The texts between quotes on lines that are no comments.
fn texts(source: &str) -> Vec<String> {
    let code = source.split("#[cfg(test)]").next().unwrap_or_default();
    let lines: Vec<&str> = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
    let code = lines.join("\n").replace("\\\"", "'");
    code.split('"').skip(1).step_by(2).map(str::to_lowercase).collect()
}

#[test]
fn nothing_but_the_proofs_says_that_something_is_saved() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    sources(&root.join("src"), &mut files);
    assert!(files.len() > 200);
    for file in files {
        let name = file.strip_prefix(root).unwrap().to_string_lossy().into_owned();
        let texts = texts(&fs::read_to_string(&file).unwrap());
        if name == HOME {
            assert!(texts.iter().any(|text| text.contains("everything entered is saved")));
            continue;
        }
        for text in texts {
            let promise = PROMISES.iter().find(|promise| text.contains(**promise));
            assert_eq!(promise, None, "{name} says: {text}");
        }
    }
}

/// A value of them is made in one place, where the disk was looked at, and by nobody who only has its name.
#[test]
fn the_proofs_are_made_where_the_disk_is_looked_at() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let home = fs::read_to_string(root.join(HOME)).unwrap();
    for proof in ["pub struct Saved {", "pub struct Kept {", "pub struct UpTo {"] {
        let (_, fields) = home.split_once(proof).unwrap();
        let fields = fields.split('}').next().unwrap();
        assert!(!fields.contains("pub"), "{proof} {fields}");
    }
    for made in ["Ok(Self { seq, hash: hash.to_owned(), anew: None })", "Ok(Self { file, seq })"] {
        assert_eq!(home.matches(made).count(), 1, "{made}");
    }
}
