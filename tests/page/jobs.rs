//! Writes the records of simulated jobs to the folder given, for their pages to be printed: every complaint there is, the
//! layouts in turn, worked as the planner says on engines dealt from a seed. Some are left open or stopped halfway, one in
//! five comes with a second complaint, and on two the wire that grounds a side is open.

use std::path::Path;
use std::sync::Arc;

use rayon::prelude::*;
use roughrun::job::{Ending, Entry, Job, Levels, Logged, Opening};
use roughrun::model::{ComplaintId, Model, Site};
use roughrun::shop::Shop;
use roughrun::teststand::{Engine, Field, play};

const SEED: u64 = 14;
/// Jobs in all; the complaints begin anew after the last.
const JOBS: usize = 27;
/// Steps after which a job is left as it is.
const MOST: usize = 40;
/// Jobs on which a known fault is put: their number, the complaint, its place, the cause and its place.
const KNOWN: [(usize, &str, &str, &str, &str); 2] =
    [(22, "no-drop", "left", "p-lead-open", "left"), (25, "will-not-stop", "engine", "p-lead-open", "right")];

type Fault = Box<dyn std::error::Error + Send + Sync>;

/// What is entered in one job, its opening first.
fn entries(models: &[Arc<Model>], number: usize) -> Result<Vec<Entry>, Fault> {
    let names: Vec<&str> = models.iter().flat_map(|model| &model.complaints).map(|c| c.name.as_str()).collect();
    let mut complaints: Vec<&str> = Vec::new();
    names.into_iter().for_each(|name| {
        if !complaints.contains(&name) {
            complaints.push(name);
        }
    });
    let known = KNOWN.iter().find(|known| known.0 == number);
    let name = known.map_or(complaints[number % complaints.len()], |known| known.1);
    let with: Vec<&Arc<Model>> =
        models.iter().filter(|model| model.complaints.iter().any(|c| c.name == name)).collect();
    let model = if known.is_some() { with[0] } else { with[number % with.len()] };
    let field = Field::of(Arc::clone(model), Some(name)).ok_or("nothing brings it")?;
    let (complaint, mut engine) = match known {
        Some((_, name, at, cause, place)) => {
            let complaint = model.find_complaint(name, at.parse::<Site>()?).ok_or("no such complaint")?;
            let cause = model.find_cause(cause, place.parse::<Site>()?).ok_or("no such cause")?;
            let engine = Engine::typical(model, complaint, &model[complaint].usual, &[cause]);
            (complaint, engine.ok_or("never reported")?)
        }
        None => field.deal(SEED, number as u64).ok_or("no faults bring it")?,
    };
    let of = &model[complaint];
    let opening = Opening {
        mechanic: "S. Simulated".into(),
        words: format!("{} since the last flight.", of.title),
        ..Opening::of(&model.layout.name, &of.name, of.site)
    };
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(Arc::clone(model), vec![first]).map_err(|(_, refusal)| refusal)?;
    if number % 5 == 4 {
        let other =
            (0..model.complaints.len()).map(ComplaintId).filter(|id| model[*id].site == of.site && *id != complaint);
        if let Some(id) = other.min_by_key(|id| model[*id].name.as_str()) {
            let also =
                Entry::Complained { complaint: model[id].name.clone(), at: model[id].site, reported: Levels::new() };
            job.enter(Logged { number: job.next_number(), when: String::new(), entry: also })?;
        }
    }
    play(&mut job, &mut engine, MOST)?;
    let mut all: Vec<Entry> = job.log().iter().map(|logged| logged.entry.clone()).collect();
    match number % 9 {
        // Put away halfway, and stopped halfway.
        3 => all.truncate(1 + all.len() / 2),
        7 => {
            all.truncate(1 + all.len() / 2);
            all.push(Entry::closed(Ending::Stopped, "The owner wants the aircraft back.".into()));
        }
        _ => {}
    }
    Ok(all)
}

fn main() -> Result<(), Fault> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "target/page-jobs".into());
    let shop = Shop::open(None, Some(Path::new(&folder)))?;
    let library = shop.library();
    let models: Result<Vec<Arc<Model>>, Fault> = library
        .layouts()
        .iter()
        .map(|layout| Ok(Arc::new(library.expand(layout).map_err(|e| format!("{e:?}"))?)))
        .collect();
    let models = models?;
    let jobs: Vec<Result<Vec<Entry>, Fault>> =
        (0..JOBS).into_par_iter().map(|number| entries(&models, number)).collect();
    for job in jobs {
        let mut entries = job?.into_iter();
        let Some(Entry::Opened(opening)) = entries.next() else { return Err("a job begins with its opening".into()) };
        let mut open = shop.start(*opening, None)?;
        for entry in entries {
            open.enter(entry)?;
        }
    }
    Ok(())
}
