//! One job in several folders: alike, one further than the other, or parted. What the folders hold is read together and said; none of
//! them is chosen silently.

use std::path::{Path, PathBuf};

use super::{Row, lines};
use crate::record::{JobId, read_listed};
use crate::text::safe_text;

/// The row of a job that has one in each of these folders.
pub(super) fn together(id: &JobId, rows: Vec<(&Path, Row)>) -> Option<Row> {
    let mut files: Vec<PathBuf> = rows.iter().flat_map(|(_, row)| row.files.iter().cloned()).collect();
    files.sort();
    files.dedup();
    let shown = |folder: &Path| safe_text(&folder.to_string_lossy()).into_owned();
    let names: Vec<String> = rows.iter().map(|(folder, _)| shown(folder)).collect();
    let alike = rows.windows(2).all(|pair| same(&pair[0].1, &pair[1].1));
    if alike {
        let mut row = rows.into_iter().next()?.1;
        // A folder inside another holds the very same files.
        if files.len() > row.files.len() {
            row.notes.push(format!("This job is in {} folders, alike: {}.", names.len(), names.join(", ")));
        }
        row.files = files;
        return Some(row);
    }
    let mut whole = lines::row(&read_listed(id, &files))?;
    if whole.ends.len() > 1 {
        whole.notes.push(format!(
            "This job was worked on in several places and goes on in different ways in {}. Nothing was mixed: bring its files together in one folder, and choose where to go on.",
            names.join(" and ")
        ));
        return Some(whole);
    }
    for ((folder, row), name) in rows.iter().zip(&names) {
        if row.entries < whole.entries {
            whole.notes.push(format!(
                "The copy in {name} lacks the last {} entries of this job: copy its files from the other folder over it.",
                whole.entries - row.entries
            ));
        } else if row.trouble.is_some() && whole.trouble.is_none() {
            whole.notes.push(format!("The copy in {} is damaged; the other one is whole.", shown(folder)));
        }
    }
    Some(whole)
}

fn same(a: &Row, b: &Row) -> bool {
    (&a.head, &a.ends, a.soundness, a.entries) == (&b.head, &b.ends, b.soundness, b.entries)
}
