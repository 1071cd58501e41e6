//! Answers in bulk: one check at all its sites, with what stands beside it, typed down the column and judged as typed.
//!
//! Owns the cells and what each means so far. A cell takes a reading, the letter of an outcome, or a reading and a letter. Must not draw,
//! and must not reach the disk.

use crate::job::{Answer, Entry, Job, Logged};
use crate::measure::{Reading, parse_reading, robust_scores};
use crate::model::{Check, CheckId, Model, Seen, Side, Site, SiteKind};

use super::field::Field;
use super::front;

/// A score from which a reading stands out among its like: the figure of the methods for modified z-scores.
const ODD: f64 = crate::measure::ODD_SCORE;

/// The grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    /// What the rows are: cylinders, coils, sides.
    pub kind: &'static str,
    /// Which one each row is.
    pub rows: Vec<String>,
    /// What each column is.
    pub columns: Vec<String>,
    /// The cells by row and column; none where the check cannot be made.
    pub cells: Vec<Vec<Option<Cell>>>,
    /// The marked row; one past the last is the row that enters all.
    pub row: usize,
    /// The marked column.
    pub column: usize,
    /// Whether it was said that leaving forgets what is typed.
    pub warned: bool,
}

/// One answer being typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cell {
    /// The check at its site.
    pub check: CheckId,
    /// The site.
    pub site: Site,
    /// What is typed.
    pub field: Field,
    /// What it means so far.
    pub judged: Judged,
}

/// What a cell means.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) enum Judged {
    /// Nothing is typed.
    #[default]
    Empty,
    /// It cannot be taken: why.
    Fault(String),
    /// It is taken.
    Taken {
        /// The outcome, where one is clear.
        seen: Option<Seen>,
        /// In words.
        words: String,
        /// What is compared with its like, where it is a number.
        value: Option<f64>,
        /// Whether it stands out among its like.
        odd: bool,
    },
}

/// Names of the checks that are made at more than one site, in the model's order.
#[must_use]
pub(super) fn kinds(model: &Model) -> Vec<CheckId> {
    let mut found: Vec<CheckId> = Vec::new();
    for at in 0..model.checks.len() {
        let name = &model.checks[at].name;
        let several = model.checks.iter().filter(|c| c.name == *name).count() > 1;
        if several && !found.iter().any(|id| model[*id].name == *name) {
            found.push(CheckId(at));
        }
    }
    found
}

impl Grid {
    /// The grid of a check, the mark on a site of it.
    #[must_use]
    pub(super) fn of(job: &Job, check: CheckId) -> Option<Self> {
        let model = job.model();
        let (kind, rows, ..) = shape(model, model[check].site.kind())?;
        let mut grid = Self {
            kind,
            cells: vec![Vec::new(); rows.len()],
            rows,
            columns: Vec::new(),
            row: 0,
            column: 0,
            warned: false,
        };
        let named = |name: &String| model.checks.iter().position(|c| c.name == *name).map(CheckId);
        for id in model[check].beside.iter().filter_map(named).chain([check]) {
            grid.add_columns(model, id);
        }
        let place = grid.places().into_iter().find(|(r, c)| grid.cell(*r, *c).is_some_and(|x| x.check == check));
        (grid.row, grid.column) = place?;
        // Typing down the column begins at its top.
        grid.row = grid.places().into_iter().find(|(_, c)| *c == grid.column)?.0;
        Some(grid)
    }

    /// Adds the columns of a check that can be made at some of the rows.
    fn add_columns(&mut self, model: &Model, id: CheckId) {
        let check = &model[id];
        let Some((_, rows, columns, sites)) = shape(model, check.site.kind()).filter(|shape| shape.1 == self.rows)
        else {
            return;
        };
        let cell = |site: Site| {
            let check = model.find_check(&check.name, site)?;
            Some(Cell { check, site, field: Field::default(), judged: Judged::Empty })
        };
        for (at, title) in columns.into_iter().enumerate() {
            let column: Vec<Option<Cell>> = (0..rows.len()).map(|row| cell(sites[row][at])).collect();
            if column.iter().any(Option::is_some) {
                self.columns.push(title);
                self.cells.iter_mut().zip(column).for_each(|(row, cell)| row.push(cell));
            }
        }
    }

    /// The check that the marked cell answers; on the row that enters all, that of the first cell.
    #[must_use]
    pub(super) fn check(&self) -> Option<CheckId> {
        let marked = self.cell(self.row, self.column);
        marked.or_else(|| self.places().first().and_then(|(r, c)| self.cell(*r, *c))).map(|cell| cell.check)
    }

    /// A cell.
    #[must_use]
    pub(super) fn cell(&self, row: usize, column: usize) -> Option<&Cell> {
        self.cells.get(row)?.get(column)?.as_ref()
    }

    /// The marked cell.
    pub(super) fn marked(&mut self) -> Option<&mut Cell> {
        self.cells.get_mut(self.row)?.get_mut(self.column)?.as_mut()
    }

    /// Row and column of every cell, down the columns.
    #[must_use]
    pub(super) fn places(&self) -> Vec<(usize, usize)> {
        let all = (0..self.columns.len()).flat_map(|c| (0..self.rows.len()).map(move |r| (r, c)));
        all.filter(|(r, c)| self.cell(*r, *c).is_some()).collect()
    }

    /// Goes to the next or the last cell down the columns; behind the last is the row that enters all.
    pub(super) fn step(&mut self, forward: bool) {
        let places = self.places();
        let now = places.iter().position(|p| *p == (self.row, self.column)).unwrap_or(places.len());
        let next = if forward { (now + 1).min(places.len()) } else { now.saturating_sub(1) };
        match places.get(next) {
            Some((row, column)) => (self.row, self.column) = (*row, *column),
            None => self.row = self.rows.len(),
        }
    }

    /// Goes to the column beside.
    pub(super) fn aside(&mut self, right: bool) {
        let last = self.columns.len().saturating_sub(1);
        let to = if right { (self.column + 1).min(last) } else { self.column.saturating_sub(1) };
        if self.row >= self.rows.len() || self.cell(self.row, to).is_some() {
            self.column = to;
        }
    }

    /// Cells with something typed in them.
    #[must_use]
    pub(super) fn typed(&self) -> usize {
        self.cells.iter().flatten().flatten().filter(|cell| !cell.field.is_empty()).count()
    }

    /// Whether the mark is on the row that enters all.
    #[must_use]
    pub(super) fn on_last(&self) -> bool {
        self.row >= self.rows.len()
    }

    /// Types a run of readings down from the mark. Readings part at line ends, tabs and semicolons; a single line of several
    /// readings parts at blanks.
    pub(super) fn paste(&mut self, text: &str) {
        let lines: Vec<&str> = text.split(['\n', '\r', '\t', ';']).map(str::trim).filter(|t| !t.is_empty()).collect();
        let run: Vec<&str> = match lines.as_slice() {
            [one] => {
                let words: Vec<&str> = one.split_whitespace().collect();
                let figures = words.iter().filter(|w| w.starts_with(|c: char| c.is_ascii_digit() || c == '.')).count();
                if figures > 1 { words } else { vec![*one] }
            }
            _ => lines,
        };
        let many = run.len() > 1;
        for part in run {
            if self.on_last() {
                break;
            }
            if let Some(cell) = self.marked() {
                if many {
                    cell.field = Field::default();
                }
                part.chars().for_each(|c| cell.field.push(c));
            }
            if many {
                self.step(true);
            }
        }
    }

    /// Judges every cell by all that are typed, as if they were entered in order.
    pub(super) fn judge(&mut self, job: &Job) {
        let mut trial = job.clone();
        for (row, column) in self.places() {
            let Some(cell) = self.cells[row][column].as_mut() else { continue };
            let check = &job.model()[cell.check];
            cell.judged = match answer(job.model(), check, cell.field.text()) {
                None => Judged::Empty,
                Some(Err(why)) => Judged::Fault(why),
                Some(Ok(answer)) => {
                    let entry = Entry::Answer(answer);
                    let logged = Logged { number: trial.next_number(), when: String::new(), entry };
                    match trial.enter(logged) {
                        Ok(()) => Judged::Taken { seen: None, words: String::new(), value: None, odd: false },
                        Err(refusal) => Judged::Fault(refusal.to_string()),
                    }
                }
            };
        }
        let given = &trial.state().given;
        for cell in self.cells.iter_mut().flatten().flatten() {
            let Judged::Taken { seen, words, value, .. } = &mut cell.judged else { continue };
            let Some(found) = given.iter().rfind(|g| g.check == cell.check) else { continue };
            let check = &job.model()[cell.check];
            *seen = found.seen();
            *value = match (&found.judged, &found.reading) {
                (Some(Ok(judgement)), _) if judgement.compared.is_some() => judgement.compared,
                (_, Some(Reading::Value { quantity, .. })) => Some(quantity.value),
                _ => None,
            };
            *words = match (*seen, &found.judged) {
                (Some(seen), _) => check.outcome_title(seen).to_owned(),
                (None, Some(Err(more))) => more.clone(),
                (None, _) if found.weights.is_empty() => "kept, not judged yet".into(),
                (None, Some(Ok(judgement))) if judgement.clear => "which? add its letter".into(),
                (None, _) => "too close to call".into(),
            };
        }
        self.mark_odd(job);
    }

    fn mark_odd(&mut self, job: &Job) {
        // Readings of one limit are like each other; those of the check beside it are another matter.
        let like =
            |model: &Model, (row, column): (usize, usize)| self.cell(row, column).and_then(|c| model[c.check].limit);
        let mut odd_ones = Vec::new();
        for limit in 0..job.model().limits.len() {
            let alike = self.values().into_iter().filter(|(place, _)| like(job.model(), *place) == Some(limit));
            let (places, values): (Vec<_>, Vec<f64>) = alike.unzip();
            let scores = robust_scores(&values);
            let worst = scores.iter().map(|s| s.abs()).fold(0.0, f64::max);
            let stands_out = |score: &f64| score.abs() >= ODD && score.abs() >= worst;
            odd_ones.extend(places.into_iter().zip(scores).filter(|(_, s)| stands_out(s)).map(|(place, _)| place));
        }
        for (row, column) in odd_ones {
            if let Some(Judged::Taken { odd, .. }) = self.cells[row][column].as_mut().map(|c| &mut c.judged) {
                *odd = true;
            }
        }
    }

    /// The readings that are compared, with their places.
    #[must_use]
    pub(super) fn values(&self) -> Vec<((usize, usize), f64)> {
        let value = |(r, c): (usize, usize)| match &self.cell(r, c)?.judged {
            Judged::Taken { value: Some(value), .. } => Some(((r, c), *value)),
            _ => None,
        };
        self.places().into_iter().filter_map(value).collect()
    }

    /// The entries of what is typed, in order.
    ///
    /// # Errors
    /// Which cell cannot be taken, and what to do.
    pub(super) fn entries(&self, model: &Model) -> Result<Vec<Entry>, String> {
        let mut entries = Vec::new();
        for (row, column) in self.places() {
            let Some(cell) = self.cell(row, column) else { continue };
            let check = &model[cell.check];
            let typed = match &cell.judged {
                Judged::Fault(why) => Some(Err(why.clone())),
                _ => answer(model, check, cell.field.text()),
            };
            match typed {
                Some(Ok(answer)) => entries.push(Entry::Answer(answer)),
                Some(Err(why)) => {
                    let site = model.site_words(check.site);
                    return Err(format!("{site} cannot be taken: {why} Mend it, or clear it with Delete."));
                }
                None => {}
            }
        }
        Ok(entries)
    }

    /// This is entered: its cell is empty again.
    pub(super) fn entered(&mut self, model: &Model, entry: &Entry) {
        let Entry::Answer(answer) = entry else { return };
        let is_it = |cell: &&mut Cell| cell.site == answer.at && model[cell.check].name == answer.check;
        for cell in self.cells.iter_mut().flatten().flatten().filter(is_it) {
            cell.field = Field::default();
            cell.judged = Judged::Empty;
        }
    }
}

type Shape = (&'static str, Vec<String>, Vec<String>, Vec<Vec<Site>>);

/// The rows and columns of a kind of site.
fn shape(model: &Model, kind: SiteKind) -> Option<Shape> {
    let layout = &model.layout;
    let sides = || Side::BOTH.iter().map(ToString::to_string).collect::<Vec<_>>();
    let cylinders = || (1..=layout.cylinders).map(|n| n.to_string()).collect::<Vec<_>>();
    match kind {
        SiteKind::Engine => None,
        SiteKind::Side => {
            Some(("side", sides(), vec![String::new()], Side::BOTH.map(|s| vec![Site::Side(s)]).to_vec()))
        }
        SiteKind::Cylinder => {
            let sites = (1..=layout.cylinders).map(|n| vec![Site::Cylinder(n)]).collect();
            Some(("cylinder", cylinders(), vec!["both".to_owned()], sites))
        }
        SiteKind::Plug => {
            let sites = (1..=layout.cylinders).map(|n| Side::BOTH.map(|s| Site::Plug(s, n)).to_vec()).collect();
            Some(("cylinder", cylinders(), sides(), sites))
        }
        SiteKind::Coil => {
            let mut letters: Vec<char> =
                Side::BOTH.iter().flat_map(|s| layout.side(*s).coils.iter().map(|c| c.letter)).collect();
            letters.sort_unstable();
            letters.dedup();
            let sites = letters.iter().map(|l| Side::BOTH.map(|s| Site::Coil(s, *l)).to_vec()).collect();
            Some(("coil", letters.iter().map(char::to_string).collect(), sides(), sites))
        }
    }
}

/// The answer that a text means; none where it is empty.
fn answer(model: &Model, check: &Check, text: &str) -> Option<Result<Answer, String>> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let limit = check.limit.and_then(|at| model.limits.get(at));
    let letter = |word: &str| {
        let mut letters = word.chars();
        let only = letters.next().filter(|_| letters.next().is_none())?;
        let at = front::letters(check).iter().position(|key| *key == Some(only))?;
        check.all_seen().nth(at)
    };
    let reads = |text: &str| {
        let reading = front::Reading::of(text)?;
        match limit {
            Some(limit) => parse_reading(&reading.typed, limit.dimension, Some(&limit.unit))
                .map(|_| reading)
                .map_err(|fault| format!("{fault}")),
            None => Err("this check takes no figure, only the letter of an outcome.".to_owned()),
        }
    };
    // A letter that is a unit too, as in "12 v", is read as the unit.
    let whole = reads(text);
    if let Ok(reading) = &whole {
        return Some(Ok(front::answer(check, None, Some(reading))));
    }
    if let Some(seen) = letter(text) {
        return Some(Ok(front::answer(check, Some(seen), None)));
    }
    // A question mark behind the letter: it only looks so.
    if let Some(seen) = text.strip_suffix('?').and_then(|word| letter(word.trim_end())) {
        return Some(Ok(Answer { looks_so: true, ..front::answer(check, Some(seen), None) }));
    }
    let parted =
        text.rsplit_once(char::is_whitespace).and_then(|(figure, word)| Some((reads(figure).ok()?, letter(word)?)));
    match parted {
        Some((reading, seen)) => Some(Ok(front::answer(check, Some(seen), Some(&reading)))),
        None => Some(whole.map(|reading| front::answer(check, None, Some(&reading)))),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::job::Opening;
    use crate::trees::Library;

    /// The temperatures of each cylinder on both systems, on the left and on the right, in one grid of the shipped trees.
    #[test]
    fn what_stands_beside_a_check_is_answered_in_columns_before_it() {
        let library = Library::embedded().unwrap();
        let layout = library.layout("four-two-magnetos").unwrap();
        let model = std::sync::Arc::new(library.expand(&layout).unwrap());
        let opening = Opening::of("four-two-magnetos", "rough-one-side", Site::Side(Side::Left));
        let log = vec![Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) }];
        let job = Job::replay(model.clone(), log).unwrap();
        let id = model.find_check("cold-cylinder", Site::Plug(Side::Left, 1)).unwrap();
        let mut grid = Grid::of(&job, id).unwrap();
        assert_eq!(grid.columns, ["both", "left", "right"]);
        assert_eq!((grid.rows.len(), grid.check()), (4, Some(id)));
        grid.column = 0;
        assert_eq!(model[grid.check().unwrap()].name, "temperature-on-both");
        grid.cells[2][0].as_mut().unwrap().field.push('f');
        for (row, reading) in ["150", "148", "152", "40"].iter().enumerate() {
            reading.chars().for_each(|c| grid.cells[row][1].as_mut().unwrap().field.push(c));
        }
        grid.judge(&job);
        let odd = |row: usize, column: usize| {
            matches!(grid.cell(row, column).map(|c| &c.judged), Some(Judged::Taken { odd: true, .. }))
        };
        assert!(odd(3, 1) && !odd(0, 1) && !odd(2, 0));
        let entries = grid.entries(&model).unwrap();
        assert_eq!(entries.len(), 5);
        assert!(
            matches!(&entries[0], Entry::Answer(a) if a.check == "temperature-on-both" && a.at == Site::Cylinder(3))
        );
        grid.entered(&model, &entries[0]);
        assert_eq!(grid.typed(), 4);
    }
}
