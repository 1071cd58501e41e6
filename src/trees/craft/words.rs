//! Words of steps: clauses, phrases in them, and whether a clause says that something is not done.
//!
//! A phrase is words with a space between; each is a word, several with `|` between, or one of
//! `~` up to three small words, `#` a number, `^` the start of an order (of the clause, or after a comma, "and", "or", "then"),
//! `!word|word` none of these next. Words are compared whole and in small letters.

/// Small words that stand between a verb and its object.
const SMALL: [&str; 28] = [
    "the",
    "a",
    "an",
    "one",
    "it",
    "its",
    "this",
    "that",
    "each",
    "every",
    "once",
    "twice",
    "slowly",
    "gently",
    "smoothly",
    "carefully",
    "over",
    "through",
    "back",
    "by",
    "hand",
    "engine",
    "propeller",
    "fast",
    "slow",
    "low",
    "out",
    "several",
];
/// Words that say of what follows in the clause that it is not done here.
const NOT: [&str; 17] = [
    "not", "never", "no", "nobody", "none", "nor", "without", "cannot", "don't", "before", "after", "if", "whether",
    "unless", "instead", "rather", "since",
];

/// A part of a sentence that a negation holds for.
pub(super) struct Clause(Vec<String>);

/// The clauses of a text: they end at stops, colons, semicolons and brackets, and at "but".
pub(super) fn clauses(text: &str) -> Vec<Clause> {
    let mut all = vec![Vec::new()];
    let letters: Vec<char> = text.chars().flat_map(char::to_lowercase).collect();
    let mut word = String::new();
    for (i, letter) in letters.iter().enumerate() {
        let next = letters.get(i + 1).copied().unwrap_or(' ');
        let figure = i > 0 && letters[i - 1].is_ascii_digit() && next.is_ascii_digit();
        match letter {
            // 1,700 is a word, and so is 0.5.
            ',' if figure => {}
            '.' if figure => word.push('.'),
            '-' | '\'' if !word.is_empty() && next.is_alphanumeric() => word.push(*letter),
            letter if letter.is_alphanumeric() => word.push(*letter),
            _ => {
                let done = std::mem::take(&mut word);
                match all.last_mut() {
                    Some(clause) if !done.is_empty() && done != "but" => clause.push(done),
                    _ if done == "but" => all.push(Vec::new()),
                    _ => {}
                }
                match letter {
                    '.' | ';' | ':' | '!' | '?' | '(' | ')' => all.push(Vec::new()),
                    ',' => all.last_mut().into_iter().for_each(|clause| clause.push(",".to_owned())),
                    _ => {}
                }
            }
        }
    }
    if let Some(clause) = all.last_mut()
        && !word.is_empty()
    {
        clause.push(word);
    }
    all.into_iter().filter(|clause| !clause.is_empty()).map(Clause).collect()
}

impl Clause {
    /// The words of the first phrase that the clause says and does not deny.
    pub(super) fn says(&self, phrases: &[&str]) -> Option<String> {
        let at = |phrase: &&str| {
            let pattern: Vec<&str> = phrase.split(' ').collect();
            (0..self.0.len()).find_map(|start| {
                let end = self.fits(&pattern, start)?;
                let before = &self.0[..start];
                let denied = before.iter().any(|word| NOT.contains(&word.as_str()))
                    || before.first().is_some_and(|word| word == "until")
                    || before.last().is_some_and(|word| ["test", "tests", "check", "checks"].contains(&word.as_str()));
                (!denied).then(|| self.0[start..end].join(" ").replace(" ,", ","))
            })
        };
        phrases.iter().find_map(at)
    }

    /// Whether the clause has one of the phrases, denied or not.
    pub(super) fn speaks_of(&self, phrases: &[&str]) -> bool {
        let fits = |phrase: &&str| {
            let pattern: Vec<&str> = phrase.split(' ').collect();
            (0..self.0.len()).any(|start| self.fits(&pattern, start).is_some())
        };
        phrases.iter().any(fits)
    }

    /// Where a phrase ends that starts at a word, if it does.
    fn fits(&self, pattern: &[&str], at: usize) -> Option<usize> {
        let Some((first, rest)) = pattern.split_first() else { return Some(at) };
        let word = self.0.get(at).map(String::as_str);
        let one_of = |words: &str| word.is_some_and(|word| words.split('|').any(|w| w == word));
        match first.chars().next() {
            Some('^') => {
                let before = at.checked_sub(1).map(|i| self.0[i].as_str());
                let order = before.is_none_or(|before| [",", "and", "or", "then"].contains(&before));
                if order { self.fits(rest, at) } else { None }
            }
            Some('!') => {
                if one_of(&first[1..]) {
                    None
                } else {
                    self.fits(rest, at)
                }
            }
            Some('~') => {
                let small = |i: &usize| *i == at || SMALL.contains(&self.0[*i - 1].as_str());
                (at..=(at + 3).min(self.0.len())).take_while(small).find_map(|i| self.fits(rest, i))
            }
            Some('#') if word.is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit())) => {
                self.fits(rest, at + 1)
            }
            Some('#') => None,
            _ => {
                if one_of(first) {
                    self.fits(rest, at + 1)
                } else {
                    None
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str, phrases: &[&str]) -> Option<String> {
        clauses(text).iter().find_map(|clause| clause.says(phrases))
    }

    #[test]
    fn phrases_are_whole_words_of_one_clause() {
        assert_eq!(said("Turn the propeller slowly.", &["turn ~ propeller"]).as_deref(), Some("turn the propeller"));
        assert_eq!(said("Return the propeller.", &["turn ~ propeller"]), None);
        assert_eq!(said("Turn the key. Propeller clear.", &["turn ~ propeller"]), None);
        assert_eq!(said("Run at 1,700 rpm.", &["at # rpm"]).as_deref(), Some("at 1700 rpm"));
        assert_eq!(said("Mixture to idle cut-off.", &["to ~ idle !cut-off"]), None);
        assert_eq!(said("Measure, then run up.", &["^ run"]).as_deref(), Some("run"));
        assert_eq!(said("The wires run up.", &["^ run"]), None);
    }

    #[test]
    fn what_is_denied_is_not_said() {
        for text in ["Do not start the engine.", "Never start the engine.", "Before you start the engine, close it."] {
            assert_eq!(said(text, &["start ~ engine"]), None, "{text}");
        }
        assert_eq!(said("Engine stopped.", &["start ~ engine", "engine running"]), None);
        assert_eq!(said("If it fires, start the engine.", &["start ~ engine"]), None);
        assert!(said("Do not lean on it. Start the engine.", &["start ~ engine"]).is_some());
        assert!(said("Not here but there start the engine.", &["start ~ engine"]).is_some(), "another clause");
    }
}
