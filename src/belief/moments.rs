//! A cause that is awake in every spell, but only for moments: each look that it can show in meets one or not.
//!
//! What a check misses once it misses again, so the looks of one check are taken together: for each way in which its outcomes can show the
//! cause at all, every look by itself sets what it shows where it met a moment, and nothing where it did not.

use crate::model::{Sees, met};

use super::bits::BitSet;
use super::cut::{MOST, Worth};
use super::findings::Touch;
use super::ways::{merge_ways, ways};

/// Outcomes of one check, seen more than once, that are summed over case by case; past this many each look misses on its own.
const MOST_OUTCOMES: usize = 6;

/// The ways in which all looks before spell `end` can go, with their chances. The share of what can
/// become of them that was cut for size is added to `lost`.
pub(super) fn momentary<B: BitSet>(
    each_minute: f64,
    touches: &[Touch],
    end: usize,
    (masks, worth): (&[B], &Worth<B>),
    lost: &mut f64,
) -> Vec<(B, f64)> {
    let mut before: Vec<Touch> = touches.iter().filter(|t| t.spell < end).copied().collect();
    before.sort_by_key(|t| (t.key.0, t.look));
    let mut all = vec![(B::empty(), 1.0)];
    for check in before.chunk_by(|a, b| a.key.0 == b.key.0) {
        let of_check = of_check(each_minute, check, (masks, worth), lost);
        all = both(&all, &of_check, worth, lost);
    }
    all
}

fn of_check<B: BitSet>(each: f64, looks: &[Touch], (masks, worth): (&[B], &Worth<B>), lost: &mut f64) -> Vec<(B, f64)> {
    let repeated = looks.first().map(|t| t.look) != looks.last().map(|t| t.look);
    let mut doubtful: Vec<((usize, usize), f64)> =
        looks.iter().filter(|t| repeated && t.chance < 1.0).map(|t| (t.key, t.chance)).collect();
    doubtful.sort_by_key(|(key, _)| *key);
    doubtful.dedup_by_key(|(key, _)| *key);
    doubtful.truncate(MOST_OUTCOMES);
    let mut found: Vec<(B, f64)> = Vec::new();
    for case in 0..1usize << doubtful.len() {
        let shows = |at: usize| case >> at & 1 == 1;
        let weight: f64 =
            doubtful.iter().enumerate().map(|(at, (_, c))| if shows(at) { *c } else { 1.0 - c }).product();
        let as_is = |touch: &Touch| match doubtful.iter().position(|(key, _)| *key == touch.key) {
            Some(at) if touch.chance < 1.0 => Touch { chance: f64::from(u8::from(shows(at))), ..*touch },
            _ => *touch,
        };
        let mut of_case = vec![(B::empty(), weight)];
        for look in looks.chunk_by(|a, b| a.look == b.look) {
            let there: Vec<Touch> = look.iter().map(as_is).collect();
            let mut shown = ways(there.iter(), masks, worth, lost);
            if let Some(first) = look.first().filter(|first| first.sees == Sees::Awake) {
                let met = met(each, first.minutes);
                shown.iter_mut().for_each(|(_, by)| *by *= met);
                shown.push((B::empty(), 1.0 - met));
            }
            of_case = both(&of_case, &shown, worth, lost);
        }
        found.extend(of_case);
    }
    merge_ways(&mut found);
    found
}

/// Two independent parts together.
fn both<B: BitSet>(one: &[(B, f64)], other: &[(B, f64)], worth: &Worth<B>, lost: &mut f64) -> Vec<(B, f64)> {
    let mut found: Vec<(B, f64)> =
        one.iter().flat_map(|(bits, a)| other.iter().map(move |(more, b)| (bits.union(*more), a * b))).collect();
    merge_ways(&mut found);
    *lost += worth.trim(&mut found, MOST, |by| *by);
    found
}
