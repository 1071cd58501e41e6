//! Thinking apart from the keys: three threads that work a job out while the screens go on.
//!
//! The first ranks the causes, the second says what to do next, the third works out how the job went. Each takes the
//! newest state only, so that none holds up what was entered since. One that panics says so and goes on with the next
//! state. Owns the threads and their channels. Must not know any screen.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use super::caught::caught;
use crate::analysis::Analysis;
use crate::job::Job;

/// The threads, asked through one channel and heard through another.
pub(super) struct Thinker {
    ask: Sender<Task>,
    told: Receiver<Told>,
}

/// What is to be worked out.
#[derive(Debug, Clone)]
pub(super) struct Task {
    /// The state of the job.
    pub job: Arc<Job>,
    /// What is known of it already.
    pub known: Option<Arc<Analysis>>,
}

impl Task {
    /// The job with its causes ranked.
    pub(super) fn ranked(&self) -> Arc<Analysis> {
        self.known.clone().unwrap_or_else(|| Arc::new(Analysis::of(Arc::clone(&self.job))))
    }
}

/// What a thread has to say.
#[derive(Debug)]
pub(super) enum Told {
    /// The causes are ranked.
    Ranked(Arc<Analysis>),
    /// Something more was worked out; it is in the analysis.
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

/// How the first thread ranks the causes of a job.
type Ranking = Box<dyn FnMut(&Task) -> Arc<Analysis> + Send>;
/// What one of the others does with a ranked job. It calls the function it is given whenever something is worked out.
type Work = Box<dyn FnMut(&Arc<Analysis>, &dyn Fn()) + Send>;

impl Thinker {
    /// Starts the threads. They end by themselves when the thinker is dropped.
    pub(super) fn start() -> std::io::Result<Self> {
        let mut last: Option<Arc<Analysis>> = None;
        let course = move |of: &Arc<Analysis>, done: &dyn Fn()| {
            match &last {
                Some(last) => _ = of.course_after(last),
                None => _ = of.course(),
            }
            done();
            // What is in front is never changed by it under a finger: it is shown beside it, with a key of its own.
            let _ = of.advice_with_doubts();
            done();
            let _ = of.alike();
            last = Some(Arc::clone(of));
            done();
        };
        let advice = |of: &Arc<Analysis>, done: &dyn Fn()| {
            let _ = of.advice();
            done();
        };
        Self::of(Box::new(Task::ranked), Box::new(advice), Box::new(course))
    }

    /// The three threads with their work; the second and the third get what the first is done with.
    pub(super) fn of(mut ranking: Ranking, advice: Work, course: Work) -> std::io::Result<Self> {
        let (ask, to_rank) = channel();
        let (to_advise, to_tell) = (channel(), channel());
        let (tell, told) = channel();
        let next = [to_advise.0, to_tell.0];
        let rank = move |task: &Task, tell: &Sender<Told>| {
            let ranked = ranking(task);
            // The other ends are gone only when the program ends.
            drop(tell.send(Told::Ranked(Arc::clone(&ranked))));
            next.iter().for_each(|next| drop(next.send(Arc::clone(&ranked))));
        };
        stage("ranking", to_rank, rank, |task| &task.job, tell.clone())?;
        stage("advice", to_advise.1, telling(advice), |of| of.job(), tell.clone())?;
        stage("course", to_tell.1, telling(course), |of| of.job(), tell)?;
        Ok(Self { ask, told })
    }

    /// Has a job worked out.
    pub(super) fn ask(&self, task: Task) {
        let _ = self.ask.send(task);
    }

    /// What the threads said since the last call.
    pub(super) fn heard(&self) -> Vec<Told> {
        self.told.try_iter().collect()
    }
}

/// Work that says so whenever something is worked out.
fn telling(mut work: Work) -> impl FnMut(&Arc<Analysis>, &Sender<Told>) + Send {
    move |of, tell| work(of, &|| drop(tell.send(Told::Done)))
}

/// A thread that does the newest of what it is asked for.
fn stage<Asked: Send + 'static>(
    name: &str,
    asked: Receiver<Asked>,
    mut work: impl FnMut(&Asked, &Sender<Told>) + Send + 'static,
    job: fn(&Asked) -> &Arc<Job>,
    tell: Sender<Told>,
) -> std::io::Result<()> {
    let run = move || {
        while let Ok(first) = asked.recv() {
            let newest = asked.try_iter().last().unwrap_or(first);
            if let Err(why) = caught(|| work(&newest, &tell)) {
                drop(tell.send(Told::Failed(Failure { job: Arc::clone(job(&newest)), why })));
            }
        }
    };
    thread::Builder::new().name(name.to_owned()).spawn(run).map(drop)
}
