//! A drawing as a picture, the way fault trees are printed: each complaint at the left, what brings it to the right, no line crossing
//! another. What brings several things is drawn once, in a block of its own, and named wherever else it belongs (the transfer of
//! IEC 61025); the name is a link to it.

use std::collections::VecDeque;
use std::fmt::Write as _;

use super::{Drawing, Item, Kind};
use crate::text::{escaped, safe_text};

/// Sizes in pixels.
const BOX_WIDTH: usize = 250;
const BOX_HEIGHT: usize = 32;
const ROW: usize = 38;
const COLUMN: usize = 290;
const MARGIN: usize = 20;
const BETWEEN_BLOCKS: usize = 30;
/// Letters of a title that fit a box; the whole is in its tip.
const LETTERS: usize = 35;
/// Columns of a block; what lies deeper gets a block of its own.
const DEEPEST: usize = 5;

const STYLE: &str = "text{font:13px sans-serif;fill:#111}.s{font-size:10.5px;fill:#444}.h{font-size:18px}\
rect{fill:#fff;stroke:#333}.complaint{stroke-width:3}.effect{fill:#eef3f7}.cause{stroke:#777}\
.transfer{stroke-dasharray:5 3}path{fill:none;stroke:#777}a:hover rect{fill:#ffe9a8}.t:target rect{stroke-width:4}";

/// A box that has its place.
struct Placed {
    item: usize,
    column: usize,
    /// Middle of the box.
    y: usize,
    /// Where it hangs: an index into the placed boxes.
    parent: Option<usize>,
    /// Whether what brings it is drawn in a block of its own.
    transfer: bool,
}

impl Drawing {
    /// As SVG, which loads nothing and holds no script.
    #[must_use]
    pub fn svg(&self) -> String {
        let placed = self.place();
        let columns = placed.iter().map(|p| p.column).max().unwrap_or(0) + 1;
        let width = 2 * MARGIN + (columns - 1) * COLUMN + BOX_WIDTH;
        let height = placed.iter().map(|p| p.y).max().unwrap_or(0) + BOX_HEIGHT / 2 + MARGIN;
        let title = escaped(&safe_text(&self.title));
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\">\n\
             <title>Fault tree: {title}</title>\n<style>{STYLE}</style>\n\
             <rect width=\"{width}\" height=\"{height}\" style=\"fill:#fff;stroke:none\"/>\n\
             <text class=\"h\" x=\"{MARGIN}\" y=\"32\">{title}</text>\n"
        );
        for p in &placed {
            if let Some(parent) = p.parent.map(|at| &placed[at]) {
                let (from, to) = (MARGIN + parent.column * COLUMN + BOX_WIDTH, MARGIN + p.column * COLUMN);
                let middle = usize::midpoint(from, to);
                // Writing into a String cannot fail.
                let _ = writeln!(out, "<path d=\"M{from} {}H{middle}V{}H{to}\"/>", parent.y, p.y);
            }
        }
        for p in &placed {
            draw(&mut out, &self.items[p.item], p);
        }
        out.push_str("</svg>\n");
        out
    }

    /// Every box with its place: block by block, complaints first.
    fn place(&self) -> Vec<Placed> {
        let mut parents = vec![0_usize; self.items.len()];
        self.items.iter().flat_map(|item| &item.members).for_each(|member| parents[*member] += 1);
        let shared = |item: usize| self.items[item].kind != Kind::Cause && parents[item] > 1;
        // What brings no complaint comes after the complaints.
        let tops = (0..self.items.len()).filter(|i| self.items[*i].kind == Kind::Complaint || parents[*i] == 0);
        let mut tops: Vec<usize> = tops.collect();
        tops.sort_by_key(|item| self.items[*item].kind);
        let mut waiting: VecDeque<usize> = tops.into();
        let mut queued = vec![false; self.items.len()];
        waiting.iter().for_each(|item| queued[*item] = true);
        let mut placed = Vec::new();
        let mut y = 60 + BOX_HEIGHT / 2;
        while let Some(top) = waiting.pop_front() {
            let start = placed.len();
            self.block(top, &shared, &mut placed, &mut y);
            for transfer in placed[start..].iter().filter(|p| p.transfer) {
                if !std::mem::replace(&mut queued[transfer.item], true) {
                    waiting.push_back(transfer.item);
                }
            }
            y += BETWEEN_BLOCKS;
        }
        placed
    }

    /// One block: its boxes in the order they are read, each leaf in a row of its own, each other box beside its first member.
    fn block(&self, top: usize, shared: &impl Fn(usize) -> bool, placed: &mut Vec<Placed>, y: &mut usize) {
        let start = placed.len();
        let mut waiting: Vec<(usize, usize, Option<usize>)> = vec![(top, 0, None)];
        while let Some((item, column, parent)) = waiting.pop() {
            let members = &self.items[item].members;
            let transfer = parent.is_some() && !members.is_empty() && (shared(item) || column >= DEEPEST);
            let at = placed.len();
            placed.push(Placed { item, column, y: 0, parent, transfer });
            if transfer || members.is_empty() {
                placed[at].y = *y;
                *y += ROW;
            } else {
                waiting.extend(members.iter().rev().map(|member| (*member, column + 1, Some(at))));
            }
        }
        // Members come after what they bring, so that from the end each box finds its members placed.
        for at in (start..placed.len()).rev() {
            let least = placed[at + 1..].iter().filter(|p| p.parent == Some(at)).map(|p| p.y).min();
            placed[at].y = least.unwrap_or(placed[at].y);
        }
    }
}

fn draw(out: &mut String, item: &Item, p: &Placed) {
    let (x, y) = (MARGIN + p.column * COLUMN, p.y - BOX_HEIGHT / 2);
    let (class, round) = match item.kind {
        Kind::Complaint => ("complaint", 0),
        Kind::Effect => ("effect", 0),
        Kind::Cause => ("cause", BOX_HEIGHT / 2),
    };
    let title = safe_text(&item.title);
    let short: String = if title.chars().count() > LETTERS {
        title.chars().take(LETTERS - 1).chain(['\u{2026}']).collect()
    } else {
        title.to_string()
    };
    let gate = if item.gate.is_empty() { String::new() } else { format!(", {}", item.gate) };
    let (open, close, transfer, more) = if p.transfer {
        (format!("<a href=\"#n{}\">", p.item), "</a>", " transfer", ", drawn by itself".to_owned())
    } else {
        // Only the box with its members is the target of links.
        (format!("<g class=\"t\" id=\"n{}\">", p.item), "</g>", "", gate)
    };
    let open = if item.members.is_empty() { "<g>".to_owned() } else { open };
    let close = if item.members.is_empty() { "</g>" } else { close };
    let inset = x + 8 + round / 3;
    let _ = writeln!(
        out,
        "{open}<title>{}</title><rect class=\"{class}{transfer}\" x=\"{x}\" y=\"{y}\" width=\"{BOX_WIDTH}\" height=\"{BOX_HEIGHT}\" rx=\"{round}\"/>\
         <text x=\"{inset}\" y=\"{}\">{}</text><text class=\"s\" x=\"{inset}\" y=\"{}\">{}{more}</text>{close}",
        escaped(&title),
        y + 14,
        escaped(&short),
        y + 27,
        escaped(&item.place()),
    );
}
