//! "Did you mean": the known name nearest to one that is not known.

/// The nearest known name, where one is near enough to be meant.
#[must_use]
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = (name.chars().count() / 3).clamp(1, 4);
    if name.len() > 64 {
        return None;
    }
    known
        .into_iter()
        .filter(|k| k.len().abs_diff(name.len()) <= most)
        .filter_map(|k| Some((distance(name, k, most)?, k)))
        .min()
        .map(|(_, k)| k)
}

/// How many letters must be put in, taken out, replaced or swapped with their neighbour to turn `a` into `b`; nothing where
/// it is more than `most`.
fn distance(a: &str, b: &str, most: usize) -> Option<usize> {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 0..a.len() {
        let mut row = Vec::with_capacity(b.len() + 1);
        row.push(i + 1);
        for j in 0..b.len() {
            let mut least = (last[j] + usize::from(a[i] != b[j])).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && a[i] == b[j - 1] && a[i - 1] == b[j] {
                least = least.min(before[j - 1] + 1);
            }
            row.push(least);
        }
        // A swap can take up from the row before this one, so two rows must be past hope.
        if row.iter().chain(&last).all(|d| *d > most) {
            return None;
        }
        before = std::mem::replace(&mut last, row);
    }
    Some(last[b.len()]).filter(|d| *d <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_found() {
        let known = ["lead-open", "lead-leaking", "plug-fouled", "cap-loose"];
        assert_eq!(nearest("lead-opne", known), Some("lead-open"));
        assert_eq!(nearest("plug-foulded", known), Some("plug-fouled"));
        assert_eq!(nearest("caploose", known), Some("cap-loose"));
        assert_eq!(nearest("impulse-worn", known), None);
        assert_eq!(nearest("", known), None);
    }

    #[test]
    fn distances_are_counted_in_letters() {
        assert_eq!(distance("", "abc", 9), Some(3));
        assert_eq!(distance("abc", "abc", 0), Some(0));
        assert_eq!(distance("abc", "acb", 1), Some(1));
        assert_eq!(distance("kitten", "sitting", 9), Some(3));
        assert_eq!(distance("kitten", "sitting", 2), None);
    }
}
