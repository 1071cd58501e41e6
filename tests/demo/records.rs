//! Plays a few jobs on invented aircraft against an engine that answers, and writes their records to the folder given:
//! this is how the records in `sessions/` came about.

use std::path::Path;
use std::sync::Arc;

use roughrun::job::{Disturbed, Entry, Job, Logged, Opening};
use roughrun::model::Site;
use roughrun::shop::{self, Shop};
use roughrun::teststand::{Engine, play};

struct Demo {
    card: &'static str,
    complaint: &'static str,
    at: &'static str,
    truth: (&'static str, &'static str),
    mechanic: &'static str,
    words: &'static str,
    disturbed: Option<(&'static str, &'static str)>,
}

const DEMOS: [Demo; 3] = [
    Demo {
        card: include_str!("tourer.yaml"),
        complaint: "rough-one-side",
        at: "left",
        truth: ("lead-open", "left 3"),
        mechanic: "A. Demo",
        words: "Rough on the left at the run-up, comes and goes.",
        disturbed: None,
    },
    Demo {
        card: include_str!("trainer.yaml"),
        complaint: "rough-hot",
        at: "engine",
        truth: ("el-coil-open", "right coil A"),
        mechanic: "B. Demo",
        words: "Smooth cold, misses on the second circuit.",
        disturbed: Some(("coil", "right coil A")),
    },
    Demo {
        card: include_str!("twin.yaml"),
        complaint: "rough-both",
        at: "engine",
        truth: ("nozzle-blocked", "cylinder 5"),
        mechanic: "A. Demo",
        words: "Left engine rough on both systems since the last flight.",
        disturbed: None,
    },
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "sessions".into());
    let shop = Shop::open(None, Some(Path::new(&folder)))?;
    for demo in DEMOS {
        let card = shop::read_card(shop.library(), demo.card)?;
        let model = Arc::new(shop::model(shop.library(), &card.layout, Some(&card))?);
        let site = |text: &str| text.parse::<Site>();
        let disturbed = match demo.disturbed {
            Some((what, at)) => vec![Disturbed { what: what.into(), at: site(at)? }],
            None => Vec::new(),
        };
        let parts = model.causes.iter().map(|c| c.part.as_str());
        let known = |d: &Disturbed| parts.clone().any(|part| part == d.what);
        let opening = Opening {
            window_hours: Some(25.0),
            disturbed: disturbed.into_iter().filter(known).collect(),
            aircraft: Some(card.facts.clone()),
            mechanic: demo.mechanic.into(),
            words: demo.words.into(),
            ..Opening::of(&card.layout, demo.complaint, site(demo.at)?)
        };
        let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening.clone())) };
        let mut job = Job::replay(Arc::clone(&model), vec![first]).map_err(|(_, refusal)| refusal)?;
        let cause = model.find_cause(demo.truth.0, site(demo.truth.1)?).ok_or("no such cause")?;
        let state = job.state();
        let mut engine = Engine::typical(&model, state.complaint, &state.reported, &[cause]).ok_or("never reported")?;
        play(&mut job, &mut engine, 150)?;
        let mut open = shop.start(opening, Some(demo.card))?;
        for logged in job.log().iter().skip(1) {
            open.enter(logged.entry.clone())?;
        }
    }
    Ok(())
}
