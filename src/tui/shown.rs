//! Lists as they are shown: their rows, narrowed by what is searched for.

use super::app::App;
use super::palette;
use super::pick::{Item, List, Pick};
use super::pick_items::items;

/// The rows that are shown: all words searched for must be in the row.
#[must_use]
pub(super) fn shown(app: &App, pick: &Pick, list: &List) -> Vec<Item> {
    if *pick == Pick::Palette {
        return palette::found(palette::items(app), list.search.text());
    }
    let search = list.search.text().to_lowercase();
    let words: Vec<&str> = search.split_whitespace().collect();
    let fits = |item: &Item| {
        let text = format!("{} {}", item.left, item.right).to_lowercase();
        words.iter().all(|w| text.contains(w))
    };
    items(app, pick).into_iter().filter(fits).collect()
}
