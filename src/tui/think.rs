//! Thinking apart from the keys: three threads that work a job out while the screens go on.
//!
//! The first ranks the causes, the second says what to do next, the third works out how the job went. Each takes the newest
//! state only, so that none holds up what was entered since. Owns the threads and their channels. Must not know any screen.

use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

use crate::job::Job;

/// The threads, asked through one channel and heard through another.
pub(super) struct Thinker {
    ask: Sender<Arc<Job>>,
    told: Receiver<()>,
}

impl Thinker {
    /// Starts the threads. They end by themselves when the thinker is dropped.
    pub(super) fn start() -> std::io::Result<Self> {
        let (ask, to_rank) = channel();
        let (to_adviser, to_advise) = channel::<Arc<Job>>();
        let (to_historian, to_tell) = channel::<Arc<Job>>();
        let (tell, told) = channel();
        let (advised, went) = (tell.clone(), tell.clone());
        stage("ranking", to_rank, move |job| {
            let _ = job.posterior();
            // The other end is gone only when the program ends.
            let _ = tell.send(());
            let _ = to_adviser.send(Arc::clone(job));
            let _ = to_historian.send(Arc::clone(job));
        })?;
        stage("advice", to_advise, move |job| {
            let _ = job.advice();
            let _ = advised.send(());
        })?;
        let mut last: Option<Arc<Job>> = None;
        stage("course", to_tell, move |job| {
            match &last {
                Some(last) => _ = job.course_after(last),
                None => _ = job.course(),
            }
            let _ = went.send(());
            let _ = job.alike();
            last = Some(Arc::clone(job));
            let _ = went.send(());
        })?;
        Ok(Self { ask, told })
    }

    /// Has a job worked out.
    pub(super) fn ask(&self, job: &Arc<Job>) {
        let _ = self.ask.send(Arc::clone(job));
    }

    /// Whether something was finished since the last call.
    pub(super) fn heard(&self) -> bool {
        self.told.try_iter().count() > 0
    }
}

/// A thread that does the newest of what it is asked for.
fn stage(
    name: &str,
    asked: Receiver<Arc<Job>>,
    mut work: impl FnMut(&Arc<Job>) + Send + 'static,
) -> std::io::Result<()> {
    let run = move || {
        while let Ok(job) = asked.recv() {
            let newest = asked.try_iter().last().unwrap_or(job);
            work(&newest);
        }
    };
    thread::Builder::new().name(name.to_owned()).spawn(run).map(drop)
}
