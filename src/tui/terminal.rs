//! The terminal, taken over and given back.
//!
//! Owns raw mode, the alternate screen, paste marks, the panic hook and the marks around a frame. Whatever way the program
//! ends, the terminal is given back. Must not know what is drawn.

use std::io::{self, BufWriter, IsTerminal, Stdout, Write as _};
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::clipboard::CopyToClipboard;
use crossterm::cursor::{Hide, Show};
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::style::Print;
use crossterm::terminal::{
    BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
    enable_raw_mode,
};
use crossterm::{execute, queue};
use ratatui::Frame;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;

use super::caught;

/// A frame goes out in one or two writes.
const OUTPUT: usize = 64 * 1024;

/// Whether the terminal is ours now, so that giving it back twice does no harm.
static TAKEN: AtomicBool = AtomicBool::new(false);
/// Presses and the wheel only, with coordinates of any size: motion would wake the program for nothing.
const MOUSE_ON: &str = "\x1b[?1000h\x1b[?1006h";
const MOUSE_OFF: &str = "\x1b[?1006l\x1b[?1000l";
/// Whether presses of the mouse are ours too.
static MOUSE: AtomicBool = AtomicBool::new(false);

type Screen = ratatui::Terminal<CrosstermBackend<BufWriter<Stdout>>>;

/// The terminal while it is ours.
pub(crate) struct Terminal {
    screen: Screen,
}

impl Terminal {
    /// Takes the terminal over, with the mouse or without: with it, text is selected by holding shift.
    pub(crate) fn take(mouse: bool) -> io::Result<Self> {
        MOUSE.store(mouse, Ordering::SeqCst);
        if !(io::stdin().is_terminal() && io::stdout().is_terminal()) {
            return Err(io::Error::other("standard input or output is no terminal"));
        }
        on_panic();
        enter()?;
        let out = BufWriter::with_capacity(OUTPUT, io::stdout());
        match Screen::new(CrosstermBackend::new(out)) {
            Ok(screen) => Ok(Self { screen }),
            Err(fault) => {
                leave();
                Err(fault)
            }
        }
    }

    /// Draws one frame, shown at once and not in pieces.
    pub(crate) fn draw(&mut self, view: impl FnOnce(&mut Frame<'_>)) -> io::Result<()> {
        queue!(self.screen.backend_mut(), BeginSynchronizedUpdate)?;
        self.screen.draw(view)?;
        execute!(self.screen.backend_mut(), EndSynchronizedUpdate)
    }

    /// Columns and rows.
    pub(crate) fn size(&self) -> (u16, u16) {
        self.screen.size().map_or((80, 24), |s| (s.width, s.height))
    }

    /// Forgets what is on the screen, so that all of it is drawn anew.
    pub(crate) fn clear(&mut self) -> io::Result<()> {
        // The library's own `clear` asks the terminal where its cursor is, and a terminal that does not answer would end us.
        let (width, height) = self.size();
        self.screen.resize(Rect::new(0, 0, width, height))
    }

    /// Hands a text to the clipboard of the terminal by OSC 52. Terminals do not answer whether they took it.
    pub(crate) fn copy(&mut self, text: &str) -> io::Result<()> {
        execute!(self.screen.backend_mut(), CopyToClipboard::to_clipboard_from(text))
    }

    /// Gives the terminal to the shell, stops, and takes it again when the shell says so.
    pub(crate) fn suspend(&mut self) -> io::Result<()> {
        leave();
        // SIGSTOP cannot be caught: the handler of SIGTSTP does not see it again.
        signal_hook::low_level::raise(signal_hook::consts::SIGSTOP)?;
        self.retake()
    }

    /// Takes the terminal anew after a stop: the shell may have set it up for itself meanwhile.
    pub(crate) fn retake(&mut self) -> io::Result<()> {
        leave();
        enter()?;
        self.clear()
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        leave();
    }
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    let mut entered = execute!(io::stdout(), EnterAlternateScreen, EnableBracketedPaste, Hide);
    if MOUSE.load(Ordering::SeqCst) {
        entered = entered.and_then(|()| execute!(io::stdout(), Print(MOUSE_ON)));
    }
    if entered.is_err() {
        leave();
    }
    entered
}

/// Gives the terminal back; errors are of no use to anyone here.
pub(crate) fn leave() {
    if TAKEN.swap(false, Ordering::SeqCst) && !cfg!(broken = "kept-terminal") {
        let _ = execute!(
            io::stdout(),
            EndSynchronizedUpdate,
            Print(MOUSE_OFF),
            DisableBracketedPaste,
            LeaveAlternateScreen,
            Show
        );
        let _ = io::stdout().flush();
        let _ = disable_raw_mode();
    }
}

/// What gives a terminal back when it is written past the library: end of frame, no mouse, no paste marks, main screen, cursor.
pub(crate) const GIVE_BACK: &[u8] = b"\x1b[?2026l\x1b[?1006l\x1b[?1000l\x1b[?2004l\x1b[?1049l\x1b[?25h";

fn on_panic() {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        // What is going to be caught is said on the screen, which goes on.
        if caught::takes(info) {
            return;
        }
        // First the terminal, so that the message can be read.
        leave();
        before(info);
    }));
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use crate::tui::tests::pty;

    /// A program that takes the terminal, draws, and panics: this test again, on a terminal of its own.
    #[test]
    fn a_panic_gives_the_terminal_back_and_can_be_read() {
        if pty::plays() {
            let mut terminal = Terminal::take(false).unwrap();
            terminal.draw(|frame| frame.render_widget("drawn", frame.area())).unwrap();
            panic!("on purpose");
        }
        let played = pty::again("tui::terminal::tests::a_panic_gives_the_terminal_back_and_can_be_read", &[]);
        assert!(!played.succeeded, "it panicked");
        assert!(played.written.contains("drawn"), "the terminal was never taken");
        let words = played.screen.screen().contents();
        assert!(words.contains("on purpose"), "{words}");
        played.is_given_back();
    }
}
