//! Thinking apart from the keys: three threads that work a job out while the screens go on.
//!
//! The first ranks the causes, the second says what to do next, the third works out how the job went. Each takes the newest
//! state only, so that none holds up what was entered since. One that panics says so and goes on with the next state.
//! Owns the threads and their channels. Must not know any screen.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use super::caught::caught;
use crate::job::Job;

/// The threads, asked through one channel and heard through another.
pub(super) struct Thinker {
    ask: Sender<Arc<Job>>,
    told: Receiver<Told>,
}

/// What a thread has to say.
#[derive(Debug)]
pub(super) enum Told {
    /// Something was worked out; it is in the job.
    Done,
    /// Something could not be worked out.
    Failed(Failure),
}

/// A panic while a job was worked out: a fault of the program. The job itself is as it was.
#[derive(Debug, Clone)]
pub(super) struct Failure {
    /// The state of the job.
    pub job: Arc<Job>,
    /// What the panic said, and where.
    pub why: String,
}

/// What one of the threads does with a job. It calls the function it is given whenever something is worked out.
type Work = Box<dyn FnMut(&Arc<Job>, &dyn Fn()) + Send>;

impl Thinker {
    /// Starts the threads. They end by themselves when the thinker is dropped.
    pub(super) fn start() -> std::io::Result<Self> {
        let mut last: Option<Arc<Job>> = None;
        let course = move |job: &Arc<Job>, done: &dyn Fn()| {
            match &last {
                Some(last) => _ = job.course_after(last),
                None => _ = job.course(),
            }
            done();
            let _ = job.alike();
            last = Some(Arc::clone(job));
            done();
        };
        let ranking = |job: &Arc<Job>, done: &dyn Fn()| {
            let _ = job.posterior();
            done();
        };
        let advice = |job: &Arc<Job>, done: &dyn Fn()| {
            let _ = job.advice();
            done();
        };
        Self::of(Box::new(ranking), Box::new(advice), Box::new(course))
    }

    /// The three threads with their work; the second and the third get what the first is done with.
    pub(super) fn of(ranking: Work, advice: Work, course: Work) -> std::io::Result<Self> {
        let (ask, to_rank) = channel();
        let (to_advise, to_tell) = (channel(), channel());
        let (tell, told) = channel();
        stage("ranking", to_rank, ranking, tell.clone(), vec![to_advise.0, to_tell.0])?;
        stage("advice", to_advise.1, advice, tell.clone(), Vec::new())?;
        stage("course", to_tell.1, course, tell, Vec::new())?;
        Ok(Self { ask, told })
    }

    /// Has a job worked out.
    pub(super) fn ask(&self, job: &Arc<Job>) {
        let _ = self.ask.send(Arc::clone(job));
    }

    /// What the threads said since the last call.
    pub(super) fn heard(&self) -> Vec<Told> {
        self.told.try_iter().collect()
    }
}

/// A thread that does the newest of what it is asked for, then passes it on.
fn stage(
    name: &str,
    asked: Receiver<Arc<Job>>,
    mut work: Work,
    tell: Sender<Told>,
    then: Vec<Sender<Arc<Job>>>,
) -> std::io::Result<()> {
    let run = move || {
        while let Ok(job) = asked.recv() {
            let newest = asked.try_iter().last().unwrap_or(job);
            // The other ends are gone only when the program ends.
            let done = || drop(tell.send(Told::Done));
            match caught(|| work(&newest, &done)) {
                Ok(()) => then.iter().for_each(|next| drop(next.send(Arc::clone(&newest)))),
                Err(why) => drop(tell.send(Told::Failed(Failure { job: newest, why }))),
            }
        }
    };
    thread::Builder::new().name(name.to_owned()).spawn(run).map(drop)
}
