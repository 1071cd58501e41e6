//! The trees that are shipped inside the program.

/// Every `.yaml` file of the `trees` folder, by its path in it, sorted.
pub(super) const FILES: &[(&str, &str)] = &[
    ("box-checks.yaml", include_str!("../../trees/box-checks.yaml")),
    ("coil-checks.yaml", include_str!("../../trees/coil-checks.yaml")),
    ("complaints.yaml", include_str!("../../trees/complaints.yaml")),
    ("condition-complaints.yaml", include_str!("../../trees/condition-complaints.yaml")),
    ("dual.yaml", include_str!("../../trees/dual.yaml")),
    ("effects.yaml", include_str!("../../trees/effects.yaml")),
    ("electronic-checks.yaml", include_str!("../../trees/electronic-checks.yaml")),
    ("electronic.yaml", include_str!("../../trees/electronic.yaml")),
    ("engine-complaints.yaml", include_str!("../../trees/engine-complaints.yaml")),
    ("ground.yaml", include_str!("../../trees/ground.yaml")),
    ("layouts/four-dual-magneto.yaml", include_str!("../../trees/layouts/four-dual-magneto.yaml")),
    ("layouts/four-magneto-electronic.yaml", include_str!("../../trees/layouts/four-magneto-electronic.yaml")),
    ("layouts/four-two-electronic.yaml", include_str!("../../trees/layouts/four-two-electronic.yaml")),
    ("layouts/four-two-magnetos.yaml", include_str!("../../trees/layouts/four-two-magnetos.yaml")),
    ("layouts/six-individual-coils.yaml", include_str!("../../trees/layouts/six-individual-coils.yaml")),
    ("layouts/six-retard-electronic.yaml", include_str!("../../trees/layouts/six-retard-electronic.yaml")),
    ("layouts/six-retard-plain.yaml", include_str!("../../trees/layouts/six-retard-plain.yaml")),
    ("layouts/six-two-electronic.yaml", include_str!("../../trees/layouts/six-two-electronic.yaml")),
    ("layouts/six-two-impulse.yaml", include_str!("../../trees/layouts/six-two-impulse.yaml")),
    ("leads.yaml", include_str!("../../trees/leads.yaml")),
    ("look-alike-checks.yaml", include_str!("../../trees/look-alike-checks.yaml")),
    ("look-alikes.yaml", include_str!("../../trees/look-alikes.yaml")),
    ("magneto-checks.yaml", include_str!("../../trees/magneto-checks.yaml")),
    ("magneto.yaml", include_str!("../../trees/magneto.yaml")),
    ("patterns.yaml", include_str!("../../trees/patterns.yaml")),
    ("plugs.yaml", include_str!("../../trees/plugs.yaml")),
    ("power-complaints.yaml", include_str!("../../trees/power-complaints.yaml")),
    ("practice/lessons.yaml", include_str!("../../trees/practice/lessons.yaml")),
    ("practice/sets.yaml", include_str!("../../trees/practice/sets.yaml")),
    ("recent-work.yaml", include_str!("../../trees/recent-work.yaml")),
    ("run-checks.yaml", include_str!("../../trees/run-checks.yaml")),
    ("start-switch.yaml", include_str!("../../trees/start-switch.yaml")),
    ("starting-checks.yaml", include_str!("../../trees/starting-checks.yaml")),
    ("swaps.yaml", include_str!("../../trees/swaps.yaml")),
    ("switch-and-supply.yaml", include_str!("../../trees/switch-and-supply.yaml")),
    ("switch-mends.yaml", include_str!("../../trees/switch-mends.yaml")),
    ("trigger.yaml", include_str!("../../trees/trigger.yaml")),
    ("wiring.yaml", include_str!("../../trees/wiring.yaml")),
];

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
