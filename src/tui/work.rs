//! Long work apart from the keys: one thread that tells what it has as it goes, and ends when it is told to stop.
//!
//! Owns the thread, its channel and the word to stop. Must not know any screen, nor what is worked out.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::thread;

use super::caught::caught;
use crate::job::Job;
use crate::learn::Lessons;
use crate::review::listing::{Row, Worked};
use crate::review::replay::Step;

/// Long work that can be asked for. One is done at a time: asking for another stops it.
#[derive(Debug, Clone)]
pub(super) enum Work {
    /// List the records, then work out what is not known of them yet.
    List,
    /// Walk a job again.
    Replay(Arc<Job>),
    /// Learn from the closed jobs.
    Learn,
}

/// What long work tells.
#[derive(Debug)]
pub(super) enum News {
    /// The records, newest first, and what there is to say of them.
    Listed(Vec<Row>, Vec<String>),
    /// What was worked out of these rows.
    Worked(Vec<(usize, Worked)>),
    /// A step more of the job being walked.
    Step(Box<Step>),
    /// How far it is: pieces done, and of how many.
    Far(usize, usize),
    /// What the jobs teach, and what could not be read.
    Learnt(Box<Lessons>, Vec<String>),
    /// Why it came to nothing.
    Failed(String),
    /// It is done, or was stopped.
    Done,
}

/// The end of the thread that tells.
#[derive(Debug, Clone)]
pub(super) struct Teller {
    send: Sender<News>,
    stop: Arc<AtomicBool>,
}

/// It was told to stop.
#[derive(Debug)]
pub(super) struct Stopped;

impl Teller {
    /// Tells something, unless it was told to stop.
    ///
    /// # Errors
    /// It was told to stop.
    pub(super) fn tell(&self, news: News) -> Result<(), Stopped> {
        self.go_on()?;
        self.send.send(news).map_err(|_| Stopped)
    }

    /// Whether to go on.
    ///
    /// # Errors
    /// It was told to stop.
    pub(super) fn go_on(&self) -> Result<(), Stopped> {
        if self.stop.load(Ordering::Relaxed) { Err(Stopped) } else { Ok(()) }
    }
}

/// Work that is being done. Dropped, it is told to stop.
#[derive(Debug)]
pub(super) struct Worker {
    news: Receiver<News>,
    stop: Arc<AtomicBool>,
    done: bool,
}

impl Worker {
    /// Starts the work on a thread of its own.
    ///
    /// # Errors
    /// The system gives no thread.
    pub(super) fn start(work: impl FnOnce(&Teller) -> Result<(), Stopped> + Send + 'static) -> std::io::Result<Self> {
        let (send, news) = channel();
        let stop = Arc::new(AtomicBool::new(false));
        let teller = Teller { send, stop: Arc::clone(&stop) };
        let run = move || {
            // Stopped or done, the end of the channel says so. A fault of ours in it must not end the screens.
            if let Err(why) = caught(|| work(&teller)) {
                let why = format!("This could not be worked out, which is a fault of the program: {why}");
                let _ = teller.tell(News::Failed(crate::text::safe_text(&why).into_owned()));
            }
        };
        thread::Builder::new().name("work".into()).spawn(run)?;
        Ok(Self { news, stop, done: false })
    }

    /// What it has told since the last call.
    pub(super) fn news(&mut self) -> Vec<News> {
        let mut told = Vec::new();
        loop {
            match self.news.try_recv() {
                Ok(news) => told.push(news),
                Err(TryRecvError::Empty) => return told,
                Err(TryRecvError::Disconnected) => {
                    if !self.done {
                        self.done = true;
                        told.push(News::Done);
                    }
                    return told;
                }
            }
        }
    }

    /// Whether there may be more to hear.
    pub(super) fn is_busy(&self) -> bool {
        !self.done
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}
