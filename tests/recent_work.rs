//! Laws of work done before a job: what a kind of work names it raises, by what it says, and nothing else; and records
//! and evidence of the first rule read as they always did.
#![allow(clippy::unwrap_used)]

use std::sync::Arc;

use roughrun::analysis::{problem, share_of_rate};
use roughrun::job::{Disturbed, Entry, Job, Logged, NoWork, Opening, RecentWork, Refusal, WorkDone};
use roughrun::model::{Cause, CauseId, Model, ORDINARY_WINDOW_HOURS, Site};
use roughrun::trees::Library;

fn models() -> Vec<Arc<Model>> {
    let library = Library::embedded().unwrap();
    library.layouts().iter().map(|layout| Arc::new(library.expand(layout).unwrap())).collect()
}

fn opened(model: &Arc<Model>, change: impl FnOnce(&mut Opening)) -> Result<Job, Refusal> {
    let complaint = &model.complaints[0];
    let mut opening = Opening::of(&model.layout.name, &complaint.name, complaint.site);
    change(&mut opening);
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    Job::replay(Arc::clone(model), vec![first]).map_err(|(_, refusal)| refusal)
}

fn done(list: &[(&str, Site)]) -> RecentWork {
    RecentWork::Done(list.iter().map(|(work, at)| WorkDone { work: (*work).to_owned(), at: *at }).collect())
}

fn priors(model: &Arc<Model>, said: Option<RecentWork>) -> Vec<f64> {
    let job = opened(model, |opening| opening.recent_work = said).unwrap();
    problem(model, job.state()).causes.iter().map(|cause| cause.prior).collect()
}

/// The chance by the rate alone, of a part of unknown age or of a new one, written out once more.
fn by_rate(cause: &Cause, new: bool, factor: f64) -> f64 {
    // A part that wears has at least a fifth of its rate, however new.
    let wear = if new && cause.life.is_some() { 0.2 } else { 1.0 };
    1.0 - (-cause.rate / 1000.0 * ORDINARY_WINDOW_HOURS * wear * factor).exp()
}

fn alike(one: &[f64], other: &[f64]) -> bool {
    one.len() == other.len() && one.iter().zip(other).all(|(a, b)| (a - b).abs() < 1e-12)
}

#[test]
fn a_kind_of_work_raises_what_it_names_by_what_it_says_and_nothing_else() {
    let mut tried = 0;
    for model in models() {
        for (name, _) in model.recent_kinds() {
            for site in model.recent_work_sites(name) {
                let now = priors(&model, Some(done(&[(name, site)])));
                let works: Vec<_> = model
                    .recent_work
                    .iter()
                    .filter(|work| work.name == name && model.layout.encloses(site, work.site))
                    .collect();
                for (at, cause) in model.causes.iter().enumerate() {
                    let brings = works.iter().flat_map(|work| &work.brings).filter(|b| b.cause == CauseId(at));
                    let new = works
                        .iter()
                        .any(|w| w.renews.contains(&cause.part) && model.layout.encloses(w.site, cause.site));
                    let without = brings.map(|b| 1.0 - b.chance).product::<f64>();
                    let expected = 1.0 - (1.0 - by_rate(cause, new, 1.0)) * without;
                    assert!((now[at] - expected).abs() < 1e-12, "{name} at {site}: {} {}", cause.name, cause.site);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 10_000, "{tried}");
}

#[test]
fn by_hand_one_plug_out_on_the_left_in_cylinder_three() {
    let model = models().into_iter().find(|m| m.layout.name == "four-two-magnetos").unwrap();
    let site: Site = "left 3".parse().unwrap();
    let (now, before) = (priors(&model, Some(done(&[("plugs-out", site)]))), priors(&model, None));
    let raised: Vec<String> = (0..model.causes.len())
        .filter(|at| now[*at] > before[*at])
        .map(|at| format!("{} at {}", model.causes[at].name, model.causes[at].site))
        .collect();
    let wanted = [
        "lead-end-damaged at left 3",
        "lead-loose at left 3",
        "leads-crossed at left",
        "plug-cracked at left 3",
        "plug-gap-bridged at left 3",
        "plug-gap-wide at left 3",
        "plug-loose at left 3",
        "plug-well-flash at left 3",
    ];
    let mut sorted = raised.clone();
    sorted.sort();
    assert_eq!(sorted, wanted);
    let at = model.find_cause("plug-loose", site).unwrap().0;
    // 0.008 in 1,000 hours over 50 hours, and 3 in 1,000 of the work.
    assert!((now[at] - (1.0 - (-0.0004_f64).exp() * 0.997)).abs() < 1e-12, "{}", now[at]);
}

#[test]
fn nothing_not_known_and_not_asked_raise_nothing_and_are_kept_apart() {
    for model in models() {
        let words = [None, Some(RecentWork::Said(NoWork::Nothing)), Some(RecentWork::Said(NoWork::NotKnown))];
        for said in &words {
            let plain: Vec<f64> = model.causes.iter().map(|cause| by_rate(cause, false, 1.0)).collect();
            assert!(alike(&priors(&model, said.clone()), &plain), "{said:?}");
        }
        let texts: Vec<String> = words
            .map(|said| {
                let job = opened(&model, |opening| opening.recent_work = said).unwrap();
                serde_json::to_string(job.opening().unwrap()).unwrap()
            })
            .into();
        assert!(!texts[0].contains("recent-work"), "{}", texts[0]);
        assert!(texts[1].contains(r#""recent-work":"nothing""#), "{}", texts[1]);
        assert!(texts[2].contains(r#""recent-work":"not-known""#), "{}", texts[2]);
    }
}

#[test]
fn order_and_saying_a_thing_twice_change_nothing() {
    for model in models() {
        let kinds = model.recent_kinds();
        let said: Vec<(&str, Site)> = kinds.iter().map(|(name, _)| (*name, model.recent_work_sites(name)[0])).collect();
        let forward = priors(&model, Some(done(&said)));
        let turned: Vec<_> = said.iter().rev().copied().collect();
        assert!(alike(&forward, &priors(&model, Some(done(&turned)))));
        // Said of a site it is said of all that the site encloses already.
        let inner = |(name, site): &(&str, Site)| {
            model.recent_work_sites(name).into_iter().rfind(|at| model.layout.encloses(*site, *at))
        };
        let again: Vec<_> = said.iter().map(|one| (one.0, inner(one).unwrap())).chain(said.clone()).collect();
        assert!(alike(&forward, &priors(&model, Some(done(&again)))));
    }
}

#[test]
fn work_that_was_said_comes_back_from_a_record() {
    let model = models().remove(0);
    let (name, site) = (&model.recent_work[0].name, model.recent_work[0].site);
    let job = opened(&model, |opening| opening.recent_work = Some(done(&[(name, site)]))).unwrap();
    let text = serde_json::to_string(job.opening().unwrap()).unwrap();
    assert!(text.contains(&format!(r#""recent-work":[{{"work":"{name}","at":"{site}"}}]"#)), "{text}");
    let back: Opening = serde_json::from_str(&text).unwrap();
    assert_eq!(&back, job.opening().unwrap());
}

#[test]
fn a_record_of_the_first_rule_keeps_its_factor() {
    let model = models().into_iter().find(|m| m.layout.name == "four-two-magnetos").unwrap();
    let line = r#"{"layout":"four-two-magnetos","trees":"","complaint":"rough-one-side","at":"left","reported":{},
        "disturbed":[{"what":"plug","at":"left 3"},{"what":"leads-crossed","at":"left"}],"mechanic":"","words":""}"#;
    let opening: Opening = serde_json::from_str(line).unwrap();
    assert_eq!(opening.recent_work, None);
    assert_eq!(opening.disturbed[0], Disturbed { what: "plug".into(), at: "left 3".parse().unwrap() });
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let job = Job::replay(Arc::clone(&model), vec![first]).unwrap();
    let now = problem(&model, job.state());
    for (at, cause) in model.causes.iter().enumerate() {
        let touched = (cause.part == "plug" && cause.site == "left 3".parse().unwrap())
            || (cause.name == "leads-crossed" && cause.site == "left".parse().unwrap());
        let expected = by_rate(cause, false, if touched { 5.0 } else { 1.0 });
        assert!((now.causes[at].prior - expected).abs() < 1e-12, "{} {}", cause.name, cause.site);
    }
}

#[test]
fn what_was_brought_by_work_tells_so_much_less_of_a_rate() {
    let model = models().into_iter().find(|m| m.layout.name == "four-two-magnetos").unwrap();
    let site: Site = "left 3".parse().unwrap();
    let job = opened(&model, |opening| opening.recent_work = Some(done(&[("plugs-out", site)]))).unwrap();
    let share = |name: &str| share_of_rate(&model, job.state(), model.find_cause(name, site).unwrap());
    let rate = 1.0 - (-0.0004_f64).exp();
    let all = 1.0 - (1.0 - rate) * 0.997;
    assert!((share("plug-loose") - rate / all).abs() < 1e-12, "{}", share("plug-loose"));
    assert!((share("plug-oil") - 1.0).abs() < 1e-12, "plugs out bring no oil");
}

#[test]
fn unknown_work_and_wrong_places_are_refused_in_words() {
    let model = models().into_iter().find(|m| m.layout.name == "four-two-magnetos").unwrap();
    let said = |name: &str, at: &str| {
        let work = done(&[(name, at.parse().unwrap())]);
        opened(&model, |opening| opening.recent_work = Some(work)).unwrap_err().to_string()
    };
    assert_eq!(
        said("plugs-oot", "left"),
        "there is no kind of work \"plugs-oot\" in this tree; did you mean \"plugs-out\"?"
    );
    assert_eq!(
        said("points-set", "cylinder 2"),
        "there is no kind of work \"points-set\" at cylinder 2; it is at engine, left, right"
    );
    assert!(said("sensor-work", "left").contains("no kind of work \"sensor-work\" in this tree"), "only magnetos here");
}
