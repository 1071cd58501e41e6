//! The palette: any command, check, cause or site by a few letters.
//!
//! Owns what can be found and how well it fits. Must not draw, and must not know how a command is carried out.

use super::action::Action;
use super::app::{App, Screen};
use super::commands::offered;
use super::grid;
use super::pick::{Does, Item};
use super::words;
use crate::model::{CauseId, CheckId, SiteKind};
use crate::plan;

/// Everything that can be found from the screen below the palette.
#[must_use]
pub(super) fn items(app: &App) -> Vec<Item> {
    let below = app.stack.iter().rev().find(|s| !matches!(s, Screen::Pick(super::pick::Pick::Palette, _)));
    let context = below.map_or_else(|| app.context(), |screen| app.context_of(screen));
    let mut found: Vec<Item> = offered(app, context)
        .filter(|(row, _)| !row.action.moves())
        .map(|(row, key)| {
            Item::new(format!("{}: {}", row.name, row.doc), format!("{key}"), Does::Command(row.action.clone()))
        })
        .collect();
    let Some(job) = app.job().map(AsRef::as_ref) else { return found };
    let model = job.model();
    if job.state().ended.is_none() && !app.is_read_only() {
        let grids = grid::kinds(model).into_iter().filter(|_| !app.is_practice());
        found.extend(grids.map(|id| {
            let title = super::text::clean(&model[id].title);
            Item::new(format!("{title}, all at once"), "grid", Does::Grid(id))
        }));
        found.extend(
            (0..model.checks.len())
                .map(CheckId)
                .map(|id| Item::new(words::check(model, id), "check", Does::Front(plan::Action::Check(id)))),
        );
        let runs = job.state().setting.engine.turns();
        let words = if runs { "The engine was shut down" } else { "The engine was started, and runs" };
        found.push(Item::new(words, "engine", Does::EngineRuns(!runs)));
        let complaints = if app.is_practice() { Vec::new() } else { super::pick_items::complaints(job) };
        found.extend(
            complaints.into_iter().map(|item| Item { left: format!("Reported as well: {}", item.left), ..item }),
        );
    }
    found.extend(
        (0..model.causes.len()).map(CauseId).map(|id| Item::new(words::cause(model, id), "cause", Does::Suspect(id))),
    );
    let kinds = [SiteKind::Side, SiteKind::Coil, SiteKind::Cylinder, SiteKind::Plug];
    found.extend(
        kinds
            .into_iter()
            .flat_map(|k| model.layout.sites(k))
            .map(|site| Item::new(model.site_words(site), "site", Does::Site(site))),
    );
    found
}

/// How well a row fits what is typed: none where it does not. Every word must be found: at the start of a word of the row, inside
/// one, or letter by letter in order.
#[must_use]
pub(super) fn fit(text: &str, typed: &str) -> Option<u32> {
    let text = text.to_lowercase();
    let mut points = 0;
    for word in typed.to_lowercase().split_whitespace() {
        let starts = text.split(|c: char| !c.is_alphanumeric());
        points += match starts.map(|w| (w.starts_with(word), w == word)).max() {
            Some((true, true)) => 40,
            Some((true, false)) => 30,
            _ if text.contains(word) => 15,
            _ if initials(&text, word) => 12,
            _ if word.chars().count() > 2 && in_order(&text, word) => 4,
            _ => return None,
        };
    }
    Some(points)
}

/// Whether the letters are the beginnings of words in order: "lo3" finds "lead open, left 3".
fn initials(text: &str, word: &str) -> bool {
    let mut firsts = text.split(|c: char| !c.is_alphanumeric()).filter_map(|w| w.chars().next());
    word.chars().all(|c| firsts.any(|first| first == c))
}

/// Whether the letters come in this order.
fn in_order(text: &str, word: &str) -> bool {
    let mut letters = text.chars();
    word.chars().all(|c| letters.any(|letter| letter == c))
}

/// The rows that fit, the best first. With nothing typed, commands stand first as they come.
#[must_use]
pub(super) fn found(items: Vec<Item>, typed: &str) -> Vec<Item> {
    let mut scored: Vec<(u32, usize, Item)> = items
        .into_iter()
        .filter_map(|item| {
            let points = points(&item, typed)?;
            // What is said in fewer letters is nearer to what was typed.
            Some((points, item.left.chars().count(), item))
        })
        .collect();
    if !typed.trim().is_empty() {
        scored.sort_by(|a, b| b.0.cmp(&a.0).then(is_command(&b.2).cmp(&is_command(&a.2))).then(a.1.cmp(&b.1)));
    }
    scored.into_iter().map(|(_, _, item)| item).collect()
}

/// How well a row fits. A command is looked for by its name, or by its key; what it does in words comes after.
fn points(item: &Item, typed: &str) -> Option<u32> {
    match item.left.split_once(": ") {
        Some(_) if is_command(item) && item.right == typed.trim() => Some(100),
        Some((name, does)) if is_command(item) => {
            fit(name, typed).map(|points| points + 1).or_else(|| fit(does, typed).map(|points| points / 2))
        }
        _ => fit(&item.left, typed),
    }
}

fn is_command(item: &Item) -> bool {
    matches!(item.does, Does::Command(_))
}

impl Action {
    /// Whether it only moves a mark, a caret or a page, or types: nothing to look for by name.
    pub(super) fn moves(&self) -> bool {
        matches!(
            self,
            Self::Up
                | Self::Down
                | Self::Left
                | Self::Right
                | Self::PageUp
                | Self::PageDown
                | Self::First
                | Self::Last
                | Self::Enter
                | Self::Backspace
                | Self::Delete
                | Self::NextFound
                | Self::FoundBefore
                | Self::NextHeading
                | Self::HeadingBefore
                | Self::Palette
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_few_letters_find_a_row_and_the_nearest_comes_first() {
        assert_eq!(fit("lead open, left 3 upper", "zz"), None);
        assert!(fit("lead open, left 3 upper", "lead 3") > fit("lead open, left 3 upper", "ead 3"));
        assert!(fit("lead open, left 3 upper", "lol3").is_some());
        assert!(fit("plug fouled", "fould").is_some());
        let row = |left: &str| Item::new(left, "", Does::Site(crate::model::Site::Engine));
        let rows = vec![row("unleaded"), row("look at the lead end, left 2"), row("lead open, left 2")];
        let found: Vec<String> = found(rows, "lead 2").into_iter().map(|i| i.left).collect();
        assert_eq!(found, ["lead open, left 2", "look at the lead end, left 2"]);
    }

    #[test]
    fn a_command_is_found_by_its_key_and_by_its_name_before_what_it_does() {
        let command = |left: &str, key: &str, action| Item::new(left, key, Does::Command(action));
        let rows = vec![
            command("report: Read the job written up so far, fix after fix.", "O", Action::Report),
            command("fix: Say what was put right.", "F", Action::Correct),
            command("suspend: Go back for now; `fg` brings it back.", "Ctrl-Z", Action::Suspend),
        ];
        let first = |typed: &str| found(rows.clone(), typed).first().map(|i| i.right.clone());
        assert_eq!(first("fix").as_deref(), Some("F"));
        assert_eq!(first("F").as_deref(), Some("F"));
        assert_eq!(first("O").as_deref(), Some("O"));
    }
}
