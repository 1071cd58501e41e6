//! The trees that are shipped inside the program.

/// Every `.yaml` file of the `trees` folder, by its path in it, sorted.
pub(super) const FILES: &[(&str, &str)] = &[];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::fmt::Write as _;
    use std::path::Path;

    use super::super::faults::Faults;
    use super::super::folder;

    #[test]
    fn the_list_is_that_of_the_folder() {
        let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("trees");
        let found = folder::read_folder(&dir, &mut Faults::default());
        let wanted = found.iter().fold(String::new(), |mut all, file| {
            writeln!(all, "    ({0:?}, include_str!(\"../../trees/{0}\")),", file.name).unwrap();
            all
        });
        let listed: Vec<(&str, &[u8])> = super::FILES.iter().map(|(name, text)| (*name, text.as_bytes())).collect();
        let found: Vec<(&str, &[u8])> = found.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())).collect();
        assert!(listed == found, "the list should be:\n{wanted}");
    }
}
