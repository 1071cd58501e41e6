//! Swap checks: two sites change a part, and what is then seen at each place tells part from place.
//!
//! A cause of a swapped part goes along with it; all other causes stay where they are. Made for any two sites of a kind. The
//! names of causes go by the places the parts came from, so both parts are put back before anything else is answered.

use super::declared::Decl;
use super::event::{LEAST_LEAK, event};
use super::expand::Parts;
use super::faults::{Faults, code};
use super::twin::{BetweenTwin, CheckTwin, SwapTwin};
use crate::model::{Cause, CauseId, Event, Formula, Layout, Outcome, Pair, Site};

/// Names and keys of the outcomes of a swap: seen at the first place, at the second, at both.
pub(super) const OUTCOMES: [(&str, char); 3] = [("at-both", 'b'), ("at-first", 'f'), ("at-second", 's')];

/// The pairs of sites that a swap is made for.
pub(super) fn pairs(layout: &Layout, sites: &[Site], between: BetweenTwin) -> Vec<Site> {
    let magneto = |site: Site| site.side().map(|side| layout.side(side).coils.is_empty());
    let fits = |a: Site, b: Site| match between {
        BetweenTwin::SameSide => a.side().is_some() && a.side() == b.side(),
        BetweenTwin::Alike => magneto(a) == magneto(b),
        BetweenTwin::Any => true,
    };
    let mut found = Vec::new();
    for (i, a) in sites.iter().enumerate() {
        found.extend(sites[i + 1..].iter().filter(|b| fits(*a, **b)).filter_map(|b| Pair::of(*a, *b).map(Site::Pair)));
    }
    found
}

/// A text with the two places in it.
pub(super) fn placed(text: &str, site: Site) -> String {
    match site {
        Site::Pair(pair) => {
            let [first, second] = pair.sites();
            text.replace("{first}", &first.to_string()).replace("{second}", &second.to_string())
        }
        _ => text.to_owned(),
    }
}

impl Parts<'_> {
    /// What can be seen after two sites have changed their parts.
    pub(super) fn swapped(
        &self,
        decl: &Decl<CheckTwin>,
        swap: &SwapTwin,
        pair: Pair,
        causes: &[Cause],
        faults: &mut Faults,
    ) -> Vec<Outcome> {
        let sites = pair.sites();
        let before = sites
            .map(|site| event(self.declared, self.ground, self.members, self.effects, site, &swap.misses, swap.leak));
        if before.iter().any(|event| !event.gates.is_empty()) {
            faults.add(
                code::BAD_VALUE,
                decl.at("swap/misses"),
                format!("What a swap shows cannot hang on a gate of several faults (\"{}\").", decl.name),
                "Name causes, and effects that are made with any: only.",
            );
            return Vec::new();
        }
        let [first, second] = [0, 1].map(|here| {
            let stays = before[here].causes.iter().filter(|(id, _)| !self.goes_along(swap, &causes[id.0], sites[here]));
            let there = 1 - here;
            let comes =
                before[there].causes.iter().filter(|(id, _)| self.goes_along(swap, &causes[id.0], sites[there]));
            together(stays.chain(comes), before[here].leak)
        });
        if first.causes.is_empty() || second.causes.is_empty() {
            return Vec::new();
        }
        let places = ["both places".to_owned(), sites[0].to_string(), sites[1].to_string()];
        let events = [at_both(&first, &second), first, second];
        let outcomes = OUTCOMES.into_iter().zip(events).zip(places);
        outcomes
            .map(|(((name, key), event), place)| Outcome {
                name: name.to_owned(),
                title: format!("{} at {place}", swap.seen.trim()),
                key: Some(key),
                event,
                proves: false,
                looks_so: None,
                warning: None,
                formerly: None,
            })
            .collect()
    }

    /// Whether a cause sits in what is swapped at a site.
    fn goes_along(&self, swap: &SwapTwin, cause: &Cause, site: Site) -> bool {
        swap.parts.contains(&cause.part) && self.ground.layout.encloses(site, cause.site)
    }
}

/// A noisy-or of causes, each once; of one that stands there twice the larger chance counts.
fn together<'a>(causes: impl Iterator<Item = &'a (CauseId, f64)>, leak: f64) -> Event {
    let mut found: Vec<(CauseId, f64)> = causes.copied().collect();
    found.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)));
    found.dedup_by_key(|(cause, _)| *cause);
    Event { causes: found, gates: Vec::new(), leak }
}

/// Both places at once: a gate over what each of them shows. It is noted as well as the two are, one after the other, and
/// misread half as often as one of them.
fn at_both(first: &Event, second: &Event) -> Event {
    let part = |event: &Event| Formula::Any(event.causes.iter().map(|(cause, _)| *cause).collect());
    let best = |event: &Event| event.causes.iter().map(|(_, chance)| *chance).fold(0.0, f64::max);
    let gate = Formula::AtLeast { count: 2, of: vec![part(first), part(second)] };
    Event {
        causes: Vec::new(),
        gates: vec![(gate, best(first) * best(second))],
        leak: (first.leak.min(second.leak) / 2.0).max(LEAST_LEAK),
    }
}
