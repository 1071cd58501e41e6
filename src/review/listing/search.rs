//! Searching the rows: a line of words as a lead types it, each of which narrows what is shown.
//!
//! `hot lead` finds rows that hold both words anywhere; `state:open mechanic:kim cause:lead minutes:>120 since:2026-10` look in one place
//! each; a comma means or, quotes keep blanks. Pure: must not know files.

use chrono::NaiveDate;

use super::{Row, Soundness, State};
use crate::job::Ending;
use crate::shop::Purpose;

/// A search, read from what was typed. An empty one finds everything.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Query {
    terms: Vec<Term>,
}

/// Why a search cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QueryFault {
    /// A word that the place does not know.
    #[error("{place}:{given} cannot be searched for. After {place}: give one of {known}.")]
    Word {
        /// The place.
        place: &'static str,
        /// What was given, safe to show.
        given: String,
        /// What it knows.
        known: String,
    },
    /// Not a number of minutes.
    #[error("{place}:{given} is not a number of minutes. Give for example {place}:>120 or {place}:<60.")]
    Minutes {
        /// The place.
        place: &'static str,
        /// What was given, safe to show.
        given: String,
    },
    /// A day that comes after the one up to which is asked for.
    #[error(
        "{from} comes after {to}, so no job can lie between them. Give the earlier day as --from and the later one as --to."
    )]
    Backwards {
        /// The first day asked for, safe to show.
        from: String,
        /// The last.
        to: String,
    },
    /// Not a date, or the beginning of one.
    #[error("{place} {given} is not a date. Give a year, a month or a day: 2026, 2026-11 or 2026-11-25.")]
    Date {
        /// The place.
        place: &'static str,
        /// What was given, safe to show.
        given: String,
    },
}

/// One term; all of a query have to fit.
#[derive(Debug, Clone, PartialEq)]
enum Term {
    /// Any of these texts, in small letters, in that place.
    Text(Place, Vec<String>),
    State(Vec<StateWord>),
    Purpose(Vec<Purpose>),
    Reviewed(bool),
    /// By the tree's figures, or by the clock; more than, or less than.
    Minutes {
        by_clock: bool,
        more: bool,
        than: f64,
    },
    /// Any of these registrations, in small letters.
    Aircraft(Vec<String>),
    Since(String),
    Until(String),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Anywhere,
    Aircraft,
    Layout,
    Complaint,
    Mechanic,
    Cause,
    Id,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum StateWord {
    Is(State),
    Closed,
    NotCured,
    Record(Soundness),
}

/// The words of `state:`.
const STATES: [(&str, StateWord); 14] = [
    ("open", StateWord::Is(State::Open)),
    ("closed", StateWord::Closed),
    ("cured", StateWord::Is(State::Closed(Ending::CuredProven))),
    ("not-cured", StateWord::NotCured),
    ("handed-over", StateWord::Is(State::Closed(Ending::HandedOver))),
    ("not-proven", StateWord::Is(State::Closed(Ending::CorrectedNotProven))),
    ("not-found", StateWord::Is(State::Closed(Ending::NotFound))),
    ("not-reproduced", StateWord::Is(State::Closed(Ending::NotReproduced))),
    ("stopped", StateWord::Is(State::Closed(Ending::Stopped))),
    ("not-read", StateWord::Is(State::Unread)),
    ("damaged", StateWord::Record(Soundness::Damaged)),
    ("parted", StateWord::Record(Soundness::Parted)),
    ("torn", StateWord::Record(Soundness::Torn)),
    ("whole", StateWord::Record(Soundness::Whole)),
];
const PURPOSES: [(&str, Purpose); 3] =
    [("work", Purpose::Work), ("practice", Purpose::Practice), ("demo", Purpose::Demo)];
const YES_OR_NO: [(&str, bool); 2] = [("yes", true), ("no", false)];

impl Query {
    /// The places that can be searched by name, for help.
    pub const PLACES: [&'static str; 13] = [
        "aircraft",
        "layout",
        "complaint",
        "mechanic",
        "cause",
        "id",
        "state",
        "purpose",
        "reviewed",
        "minutes",
        "clock",
        "since",
        "until",
    ];

    /// Reads what was typed. A word before a colon that is no place is searched for as it stands.
    pub fn parse(typed: &str) -> Result<Self, QueryFault> {
        let terms: Result<Vec<Option<Term>>, QueryFault> = words(typed).iter().map(|word| term(word)).collect();
        Ok(Self { terms: terms?.into_iter().flatten().collect() })
    }

    /// This search, narrowed by `state:` with this word.
    ///
    /// # Errors
    /// A word that is no state.
    pub fn and_state(mut self, words: &str) -> Result<Self, QueryFault> {
        self.terms.push(Term::State(known("state", words, &STATES)?));
        Ok(self)
    }

    /// This search, narrowed to the jobs begun from the first of these days to the second, both among them, by the date where the job was begun,
    /// and to these aircraft by their whole registration. A month or a year stands for all its days.
    ///
    /// # Errors
    /// What is no day, or days the wrong way round.
    pub fn only(mut self, from: Option<&str>, to: Option<&str>, aircraft: &[String]) -> Result<Self, QueryFault> {
        if let Some(from) = from {
            self.terms.push(Term::Since(date("--from", from)?));
        }
        if let Some(to) = to {
            self.terms.push(Term::Until(date("--to", to)?));
        }
        if let Some((from, to)) = from.zip(to).filter(|(from, to)| from > to && !from.starts_with(to)) {
            return Err(QueryFault::Backwards { from: shown(from), to: shown(to) });
        }
        if !aircraft.is_empty() {
            self.terms.push(Term::Aircraft(aircraft.iter().map(|marks| marks.trim().to_lowercase()).collect()));
        }
        Ok(self)
    }

    /// Whether it finds everything.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.terms.is_empty()
    }

    /// Whether a row fits.
    #[must_use]
    pub fn fits(&self, row: &Row) -> bool {
        self.terms.iter().all(|term| term.fits(row))
    }

    /// The rows that fit, by their places in the list, in its order.
    #[must_use]
    pub fn find(&self, rows: &[Row]) -> Vec<usize> {
        rows.iter().enumerate().filter(|(_, row)| self.fits(row)).map(|(at, _)| at).collect()
    }
}

/// Splits at blanks outside quotes.
fn words(typed: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in typed.chars() {
        match c {
            '"' => quoted = !quoted,
            c if c.is_whitespace() && !quoted => {
                if !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
            }
            c => word.push(c),
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

fn term(word: &str) -> Result<Option<Term>, QueryFault> {
    let text = |place| move |of: &str| Ok(Term::Text(place, parts(of).map(str::to_lowercase).collect()));
    let Some((name, value)) = word.split_once(':') else {
        return Ok(Some(Term::Text(Place::Anywhere, vec![word.to_lowercase()])));
    };
    // Being typed still.
    let is_place = Query::PLACES.contains(&name.to_lowercase().as_str());
    if is_place && parts(value).next().is_none() {
        return Ok(None);
    }
    let term = match name.to_lowercase().as_str() {
        "aircraft" => text(Place::Aircraft)(value),
        "layout" => text(Place::Layout)(value),
        "complaint" => text(Place::Complaint)(value),
        "mechanic" => text(Place::Mechanic)(value),
        "cause" => text(Place::Cause)(value),
        "id" => text(Place::Id)(value),
        "state" => known("state", value, &STATES).map(Term::State),
        "purpose" => known("purpose", value, &PURPOSES).map(Term::Purpose),
        "reviewed" => known("reviewed", value, &YES_OR_NO).map(|said| Term::Reviewed(said.contains(&true))),
        "minutes" => minutes("minutes", value),
        "clock" => minutes("clock", value),
        "since" => date("since", value).map(Term::Since),
        "until" => date("until", value).map(Term::Until),
        _ => Ok(Term::Text(Place::Anywhere, vec![word.to_lowercase()])),
    };
    term.map(Some)
}

fn parts(value: &str) -> impl Iterator<Item = &str> {
    value.split(',').filter(|part| !part.trim().is_empty())
}

fn shown(given: &str) -> String {
    crate::text::safe_text(&given.chars().take(40).collect::<String>()).into_owned()
}

fn known<T: Copy>(place: &'static str, value: &str, all: &[(&str, T)]) -> Result<Vec<T>, QueryFault> {
    let one = |part: &str| {
        let part = part.trim().to_lowercase().replace(' ', "-");
        all.iter().find(|(name, _)| *name == part).map(|(_, meant)| *meant).ok_or_else(|| QueryFault::Word {
            place,
            given: shown(&part),
            known: all.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "),
        })
    };
    parts(value).map(one).collect()
}

fn minutes(place: &'static str, value: &str) -> Result<Term, QueryFault> {
    let (more, number) = match (value.strip_prefix('>'), value.strip_prefix('<')) {
        (Some(number), _) => (true, number),
        (None, Some(number)) => (false, number),
        (None, None) => (true, value),
    };
    let than = number.trim().parse::<f64>().ok().filter(|n| n.is_finite() && *n >= 0.0);
    let than = than.ok_or_else(|| QueryFault::Minutes { place, given: shown(value) })?;
    Ok(Term::Minutes { by_clock: place == "clock", more, than })
}

/// A date or the beginning of one: wall times of records begin so, which makes them comparable as texts.
fn date(place: &'static str, value: &str) -> Result<String, QueryFault> {
    let fits = |part: &str, digits: usize| part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
    let good = match value.split('-').collect::<Vec<_>>().as_slice() {
        [year] => fits(year, 4),
        [year, month] => fits(year, 4) && fits(month, 2) && ("01"..="12").contains(month),
        [year, month, day] => fits(year, 4) && fits(month, 2) && fits(day, 2) && value.parse::<NaiveDate>().is_ok(),
        _ => false,
    };
    if good { Ok(value.to_owned()) } else { Err(QueryFault::Date { place, given: shown(value) }) }
}

impl Term {
    fn fits(&self, row: &Row) -> bool {
        match self {
            Self::Text(place, texts) => texts.iter().any(|text| place.holds(row, text)),
            Self::State(words) => words.iter().any(|word| word.fits(row)),
            Self::Purpose(purposes) => purposes.contains(&row.purpose),
            Self::Reviewed(wanted) => row.reviewed.is_some() == *wanted,
            Self::Minutes { by_clock, more, than } => {
                let minutes = if *by_clock { row.clock_minutes } else { row.minutes() };
                minutes.is_some_and(|minutes| if *more { minutes > *than } else { minutes < *than })
            }
            Self::Aircraft(marks) => marks.contains(&row.aircraft.trim().to_lowercase()),
            Self::Since(date) => !row.opened.is_empty() && row.opened.as_str() >= date.as_str(),
            Self::Until(date) => row.opened.get(..date.len()).is_some_and(|begun| begun <= date.as_str()),
        }
    }
}

impl StateWord {
    fn fits(self, row: &Row) -> bool {
        match self {
            Self::Is(state) => row.state == state,
            Self::Closed => row.state.ending().is_some(),
            Self::NotCured => row.state.is_not_cured(),
            Self::Record(soundness) => row.soundness == soundness,
        }
    }
}

impl Place {
    /// Whether this place of a row holds a text, given in small letters.
    fn holds(self, row: &Row, text: &str) -> bool {
        let has = |within: &String| within.to_lowercase().contains(text);
        let proven = || row.worked.iter().flat_map(|w| &w.proven);
        let mut causes = row.seen.iter().chain(&row.put_right).chain(proven());
        match self {
            Self::Aircraft => has(&row.aircraft),
            Self::Layout => has(&row.layout),
            Self::Complaint => has(&row.complaint) || has(&row.at),
            Self::Mechanic => has(&row.mechanic),
            Self::Cause => causes.any(has),
            Self::Id => has(&row.id),
            Self::Anywhere => {
                let fields = [&row.aircraft, &row.layout, &row.complaint, &row.at, &row.mechanic, &row.id, &row.words];
                fields.into_iter().chain(&row.trouble).chain(causes).any(has)
                    || row.opened.starts_with(text)
                    || row.state.words() == text
                    || row.state.ending().is_some_and(|ending| ending.short() == text)
                    || row.soundness.words() == text
            }
        }
    }
}
