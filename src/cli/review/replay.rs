//! `roughrun review replay`: a job walked again, step by step.

use serde_json::json;

use super::args::{Places, Replay};
use super::tree::pretty;
use super::{Outcome, out};
use crate::review::replay;

pub(super) fn run(places: &Places, args: &Replay) -> Outcome {
    let shop = places.shop()?;
    let id = shop.find(&args.id)?.to_string();
    let (job, head, notes) = shop.look(&id)?;
    notes.iter().for_each(|note| out::remark(note));
    let replay = replay::Replay::of(&job);
    let marked = job.review().map(|mark| json!({"by": mark.by, "when": mark.when, "since": mark.since}));
    let page = if args.json {
        let (steps, totals) = (&replay.steps, &replay.totals);
        pretty(
            &json!({"format": "roughrun-replay-1", "job": id, "head": head, "reviewed": marked, "totals": totals, "steps": steps}),
        )?
    } else {
        replay::page(&replay)
    };
    out::print(&page)?;
    Ok(0)
}
