//! The end that comes from outside: a signal, a terminal that is gone or no longer reads.
//!
//! What the screen shows as saved is on the disk. What waits to be saved is tried once more here where the main loop
//! does not end by itself. Owns giving the terminal back and ending within two seconds, without spinning: the
//! terminal library never returns from a terminal that is gone.
//! Must not know jobs or screens.

use std::io::{self, IsTerminal, Write as _};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use rustix::fs::{OFlags, fcntl_getfl, fcntl_setfl};
use rustix::termios::{OptionalActions, Termios, tcgetattr, tcsetattr};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP};
use signal_hook::flag;
use signal_hook::low_level;

use super::terminal::GIVE_BACK;
use crate::shop::LastWord;
use crate::text::safe_lines;

/// How often the terminal is looked at.
const LOOK: Duration = Duration::from_millis(200);
/// The exit code where not everything could be saved.
const UNSAVED: i32 = 3;
/// How long the main loop has to end by itself.
const GRACE: Duration = Duration::from_millis(900);

/// What came from outside.
#[derive(Debug, Clone, Default)]
pub(crate) struct Outside {
    ending: Arc<AtomicUsize>,
    stop: Arc<AtomicBool>,
    go_on: Arc<AtomicBool>,
    ended: Arc<AtomicBool>,
    /// Of the job that is open.
    word: Arc<Mutex<Option<LastWord>>>,
}

impl Outside {
    /// Listens to signals and looks after the terminal. Call before the terminal is taken over.
    pub(crate) fn watch() -> io::Result<Self> {
        let outside = Self::default();
        for signal in [SIGTERM, SIGHUP, SIGINT, SIGQUIT] {
            let number = usize::try_from(signal).unwrap_or(1);
            flag::register_usize(signal, Arc::clone(&outside.ending), number)?;
        }
        flag::register(SIGTSTP, Arc::clone(&outside.stop))?;
        flag::register(SIGCONT, Arc::clone(&outside.go_on))?;
        let (watched, first) = (outside.clone(), tcgetattr(io::stdin()).ok());
        thread::Builder::new().name("watchdog".into()).spawn(move || watched.look_after(first.as_ref()))?;
        Ok(outside)
    }

    /// The signal that asks to end, where one did.
    pub(crate) fn ending(&self) -> Option<usize> {
        Some(self.ending.load(Ordering::SeqCst)).filter(|signal| *signal > 0)
    }

    /// Whether a stop was asked for since the last call.
    pub(crate) fn take_stop(&self) -> bool {
        self.stop.swap(false, Ordering::SeqCst)
    }

    /// Whether the program was set going again since the last call.
    pub(crate) fn take_go_on(&self) -> bool {
        self.go_on.swap(false, Ordering::SeqCst)
    }

    /// The job that is open now, to be made sure of where the main loop does not come to it.
    pub(crate) fn has(&self, word: Option<LastWord>) {
        *self.word.lock().unwrap_or_else(PoisonError::into_inner) = word;
    }

    /// The main loop ended by itself: the watchdog sleeps.
    pub(crate) fn ended(&self) {
        self.ended.store(true, Ordering::SeqCst);
    }

    fn look_after(&self, first: Option<&Termios>) {
        let parent = rustix::process::getppid();
        if cfg!(broken = "no-watchdog") {
            return;
        }
        loop {
            thread::sleep(LOOK);
            if self.ended.load(Ordering::SeqCst) {
                return;
            }
            let gone = !io::stdin().is_terminal();
            let orphaned = rustix::process::getppid() != parent && gone;
            let signal = self.ending();
            if !(gone || orphaned || signal.is_some()) {
                continue;
            }
            let since = Instant::now();
            while since.elapsed() < GRACE && !gone {
                if self.ended.load(Ordering::SeqCst) {
                    return;
                }
                thread::sleep(LOOK / 4);
            }
            let code = signal.map_or(1, |s| 128 + i32::try_from(s).unwrap_or(0));
            // Not the ordinary exit: that would flush what a stalled terminal does not take.
            let word = self.word.lock().unwrap_or_else(PoisonError::into_inner).clone();
            if let Some(word) = word {
                word.speak(|made_sure| {
                    let (said, code) = match made_sure {
                        Ok(kept) => (kept.words_of_place(), code),
                        Err(fault) => (fault.to_string(), UNSAVED),
                    };
                    give_back(first, &said);
                    low_level::exit(code);
                });
            }
            give_back(first, "");
            low_level::exit(code);
        }
    }
}

/// Gives the terminal back without waiting for it, and says this on it.
fn give_back(first: Option<&Termios>, said: &str) {
    let out = io::stdout();
    if let Ok(flags) = fcntl_getfl(&out) {
        let _ = fcntl_setfl(&out, flags | OFlags::NONBLOCK);
        let _ = write_past(GIVE_BACK);
        if !said.is_empty() {
            let _ = write_past(format!("{}\r\n", safe_lines(said)).as_bytes());
        }
        let _ = fcntl_setfl(&out, flags);
    }
    if let Some(first) = first {
        let _ = tcsetattr(io::stdin(), OptionalActions::Now, first);
    }
}

/// Writes without the lock of standard output, which the stalled thread may hold.
fn write_past(bytes: &[u8]) -> io::Result<()> {
    let mut file = std::fs::File::options().write(true).custom_nonblock().open("/dev/tty")?;
    file.write_all(bytes)
}

/// Opening without waiting.
trait Nonblock {
    fn custom_nonblock(&mut self) -> &mut Self;
}

impl Nonblock for std::fs::OpenOptions {
    fn custom_nonblock(&mut self) -> &mut Self {
        use std::os::unix::fs::OpenOptionsExt as _;
        // O_NONBLOCK has few enough bits for the signed kind the standard library takes.
        self.custom_flags(i32::try_from(OFlags::NONBLOCK.bits()).unwrap_or(0))
    }
}
