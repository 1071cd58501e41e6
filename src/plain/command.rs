//! From a typed line to what is meant by it.

use crate::job::Levels;
use crate::model::Site;

/// What can be typed at the main question, for `help` and for the words after a line that was not understood.
pub(super) const HELP: &[(&str, &str)] = &[
    ("1, 2, ...", "the outcome of that number"),
    ("NAME", "the outcome of that name, as it stands in brackets"),
    ("8.2 kohm", "a reading, where the check takes one; `8.2 kohm at 60 C` gives the temperature of the part too"),
    ("skip", "pass this suggestion over for now"),
    ("not possible WHY", "this check, or this way to provoke it, cannot be had on this aircraft"),
    ("no tool", "a tool or gauge that this check asks for is not to be had; no check asks for it again"),
    ("state", "how the aircraft stands, and what must be closed and done before it runs and before the job ends"),
    ("engine off|running", "the engine was shut down, or was started"),
    ("still", "after a pause: it is still as warm and as wet as before it"),
    ("other WORDS", "choose another check, provocation or correction; without words, the other suggestions"),
    ("conditions heat=hot", "the conditions have changed: a new spell"),
    ("showing yes|no|unknown", "whether the complaint is there right now"),
    ("correct NAME at SITE", "a correction was carried out"),
    ("confirm CAUSE at SITE", "a cause was found for certain"),
    ("proof yes|no", "a proof run was made; yes if the complaint showed in it, no if it did not"),
    ("also NAME at SITE", "one more complaint, reported as well or seen in a run; also without a name lists them"),
    ("note WORDS", "a note for the record"),
    ("undo", "take the last entry back; it stays in the record"),
    ("why", "what each outcome would mean"),
    ("ranking", "the causes, most probable first"),
    ("because CAUSE at SITE", "what each answer did to the odds of a cause"),
    ("again", "say the question again"),
    ("close", "close the job"),
    ("save FOLDER", "go on saving in another folder, after a failure of the disk"),
    ("quit", "stop for now; the job is gone on with later"),
];

/// What was typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Command {
    /// A plain number.
    Number(usize),
    Undo,
    Skip,
    NotPossible(String),
    Note(String),
    Other(String),
    Conditions(Levels),
    Showing(Option<bool>),
    Correct(String, Option<Site>),
    Confirm(String, Option<Site>),
    Proof(bool),
    /// One more complaint; without a name they are listed.
    Also(String, Option<Site>),
    Yes,
    NoTool(String),
    State,
    /// Whether it runs now.
    Engine(bool),
    Still,
    Why,
    Ranking,
    Because(String, Option<Site>),
    Again,
    /// How, and a remark.
    Close(String),
    Save(String),
    Quit,
    Help,
    /// A command word whose rest is not understood: what is accepted.
    Wrong(String),
    /// Anything else: the name of an outcome, or a reading.
    Words(String),
}

impl Command {
    /// Reads a line.
    pub(super) fn parse(line: &str) -> Self {
        let line = line.trim();
        let (word, rest) = line.split_once(char::is_whitespace).map_or((line, ""), |(w, r)| (w, r.trim()));
        let wrong = |accepted: &str| Self::Wrong(format!("That is not understood. Type {accepted}."));
        match (word.to_ascii_lowercase().as_str(), rest) {
            ("undo", "") => Self::Undo,
            ("skip", "") => Self::Skip,
            ("not", rest) if rest.to_ascii_lowercase().starts_with("possible") => {
                Self::NotPossible(rest.get("possible".len()..).unwrap_or_default().trim().to_owned())
            }
            ("no", rest) if rest.to_ascii_lowercase().starts_with("tool") => {
                Self::NoTool(rest.get("tool".len()..).unwrap_or_default().trim().to_owned())
            }
            ("state", "") => Self::State,
            ("still", _) => Self::Still,
            ("engine", rest) => match rest.to_ascii_lowercase().as_str() {
                "off" | "stopped" | "shut down" => Self::Engine(false),
                "running" | "on" | "started" => Self::Engine(true),
                _ => wrong("engine off where it was shut down, engine running where it was started"),
            },
            ("note", "") => wrong("note and then the words"),
            ("note", rest) => Self::Note(rest.to_owned()),
            ("other", rest) => Self::Other(rest.to_owned()),
            ("conditions", rest) => levels(rest).map_or_else(
                || wrong("conditions and then each as NAME=LEVEL: conditions heat=hot damp=dry"),
                Self::Conditions,
            ),
            ("showing", rest) => match rest.to_ascii_lowercase().as_str() {
                "yes" => Self::Showing(Some(true)),
                "no" => Self::Showing(Some(false)),
                "unknown" => Self::Showing(None),
                _ => wrong("showing yes, showing no or showing unknown"),
            },
            ("correct", "") => wrong("correct NAME at SITE; other and a word of its title finds it too"),
            ("confirm", "") => wrong("confirm CAUSE at SITE; ranking shows the names"),
            ("correct", rest) => match name_at(rest) {
                Ok((name, site)) => Self::Correct(name, site),
                Err(fault) => Self::Wrong(fault),
            },
            ("confirm", rest) => match name_at(rest) {
                Ok((name, site)) => Self::Confirm(name, site),
                Err(fault) => Self::Wrong(fault),
            },
            ("proof", rest) => match rest.to_ascii_lowercase().as_str() {
                "yes" | "showed" | "failed" => Self::Proof(true),
                "no" | "gone" | "passed" => Self::Proof(false),
                _ => wrong("proof yes if the complaint showed in the run, or proof no if it did not"),
            },
            ("also", rest) => match name_at(rest) {
                Ok((name, site)) => Self::Also(name, site),
                Err(fault) => Self::Wrong(fault),
            },
            ("yes" | "y", "") => Self::Yes,
            ("why", "") => Self::Why,
            ("ranking", "") => Self::Ranking,
            ("because", "") => wrong("because CAUSE at SITE; ranking shows the names"),
            ("because", rest) => match name_at(rest) {
                Ok((name, site)) => Self::Because(name, site),
                Err(fault) => Self::Wrong(fault),
            },
            ("again", "") => Self::Again,
            ("close", rest) => Self::Close(rest.to_owned()),
            ("save", "") => wrong("save and then the folder"),
            ("save", rest) => Self::Save(rest.to_owned()),
            ("quit" | "exit", "") => Self::Quit,
            ("help" | "?", _) => Self::Help,
            _ => line.parse().map_or_else(|_| Self::Words(line.to_owned()), Self::Number),
        }
    }
}

/// `heat=hot damp=dry`, with commas or blanks between, and `:` as well as `=`.
fn levels(text: &str) -> Option<Levels> {
    let spaced = text.replace([',', ';'], " ").replace(": ", "=").replace(" = ", "=");
    let mut found = Levels::new();
    for part in spaced.split_whitespace() {
        let (name, level) = part.split_once(['=', ':'])?;
        found.insert(name.to_ascii_lowercase(), level.to_ascii_lowercase());
    }
    (!found.is_empty()).then_some(found)
}

/// `NAME at SITE`, or a name alone.
fn name_at(text: &str) -> Result<(String, Option<Site>), String> {
    match text.rsplit_once(" at ") {
        None => Ok((text.trim().to_owned(), None)),
        Some((name, at)) => match at.parse::<Site>() {
            Ok(site) => Ok((name.trim().to_owned(), Some(site))),
            Err(fault) => Err(format!("{fault}.")),
        },
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn lines_are_told_apart() {
        let levels = |pairs: &[(&str, &str)]| pairs.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
        for (line, meant) in [
            ("2", Command::Number(2)),
            (" Undo ", Command::Undo),
            ("not possible no borescope", Command::NotPossible("no borescope".into())),
            ("no tool", Command::NoTool(String::new())),
            ("no tool borescope", Command::NoTool("borescope".into())),
            ("state", Command::State),
            ("still hot", Command::Still),
            ("note chafed at the clamp", Command::Note("chafed at the clamp".into())),
            ("conditions heat=hot, damp: wet", Command::Conditions(levels(&[("heat", "hot"), ("damp", "wet")]))),
            ("showing no", Command::Showing(Some(false))),
            ("proof no", Command::Proof(false)),
            ("correct replace-lead at left 3", Command::Correct("replace-lead".into(), "left 3".parse().ok())),
            ("8.2 kohm", Command::Words("8.2 kohm".into())),
            ("open", Command::Words("open".into())),
            ("skipping", Command::Words("skipping".into())),
            ("-1", Command::Words("-1".into())),
        ] {
            assert_eq!(Command::parse(line), meant, "{line}");
        }
        for line in ["showing maybe", "conditions", "conditions hot", "proof", "note", "correct x at nowhere", "save"] {
            assert!(matches!(Command::parse(line), Command::Wrong(_)), "{line}");
        }
    }
}
