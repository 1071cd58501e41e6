//! The terminal screens: bench, intake, walk, and what belongs to them.
//!
//! Input becomes an action by the one table (`action`). Actions, what came of effects, and what the threads tell are messages
//! (`message`); a message changes the state and asks for effects (`update`), and nothing else changes it. Effects are carried out
//! in one place (`effect`) and answer with messages; the screen is drawn from the state alone (`view`). It is a reader and writer of
//! job entries like every other surface. It must not know how records are kept: that is behind the `desk`.

mod action;
mod app;
mod bounce;
mod canvas;
mod caught;
mod commands;
mod demo;
mod desk;
mod desk_shop;
mod effect;
mod engine;
mod field;
mod front;
mod grid;
mod held;
mod input;
mod intake;
mod lead;
mod lead_desk;
mod message;
mod mode;
mod palette;
mod pick;
mod pick_items;
mod practice;
mod practice_items;
mod report;
mod screen;
mod shown;
mod table;
mod terminal;
mod text;
mod theme;
mod think;
mod tree;
mod update;
mod view;
mod watchdog;
mod widget;
mod words;
mod work;

#[cfg(test)]
mod tests;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

pub use action::Context;
pub use commands::{KeysOf, keys};
pub use front::letters;
pub use theme::{Depth, Theme};

use action::Action;
use app::App;
use bounce::Bounce;
use canvas::Drawn;
use desk::Desk;
use desk_shop::ShopDesk;
use effect::{Effect, Then};
use input::Input;
use message::{Given, Message};
use terminal::Terminal;
use think::{Task, Thinker, Told};
use watchdog::Outside;

use crate::model::Site;
use crate::shop::{MadeSure, OpenJob, Shop};

/// How often signals are looked at while no key comes.
const TICK: Duration = Duration::from_millis(200);
/// How often it is looked whether something was worked out, while something is.
const SOON: Duration = Duration::from_millis(4);

/// How often the time that goes by is reckoned with, and the record looked after.
const PASSES: Duration = Duration::from_secs(30);

/// How often it is looked what long work tells, while it is done.
const WORKING: Duration = Duration::from_millis(40);

/// What the screens start with.
#[derive(Debug, Default)]
pub enum Begin {
    /// The bench.
    #[default]
    Bench,
    /// A new job.
    Trace(Trace),
    /// The records of these folders, for the lead; of the records folder where none is named.
    Review(Vec<PathBuf>),
    /// A job that is open already, and what there is to say about its record.
    Going(Box<OpenJob>, Vec<String>),
}

/// What is known of a new job before the first question.
#[derive(Debug, Clone, Default)]
pub struct Trace {
    /// The layout's name or path; the card's where there is one.
    pub layout: Option<String>,
    /// The path of an aircraft card.
    pub card: Option<String>,
    /// The complaint's name.
    pub complaint: Option<String>,
    /// Where the complaint is.
    pub at: Option<Site>,
    /// Who works the job.
    pub mechanic: Option<String>,
}

/// How the screens are to look and begin.
#[derive(Debug)]
pub struct Options {
    /// The look.
    pub theme: Theme,
    /// Whether the question and its answers are drawn large.
    pub big: bool,
    /// Whether presses of the mouse are taken; without, the terminal selects text with them.
    pub mouse: bool,
    /// The file that says that the tour was seen; none where it need not be shown.
    pub tour: Option<PathBuf>,
    /// The first screen.
    pub begin: Begin,
}

/// What asked the screens to end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExitKind {
    /// The mechanic left.
    Left,
    /// A signal of this number asked for the end.
    Signal(usize),
}

/// How the screens ended.
#[derive(Debug)]
#[must_use]
pub struct Ended {
    /// What asked for it, or why the terminal failed.
    pub how: std::io::Result<ExitKind>,
    /// The job that was open.
    pub left: Option<Left>,
}

/// A job that was open when the screens ended.
#[derive(Debug)]
pub struct Left {
    /// Its id.
    pub id: String,
    /// Whether it is closed.
    pub closed: bool,
    /// The proof that all of it is on disk; else why not, with what is lost, in full sentences.
    pub sure: Result<MadeSure, String>,
}

/// Why the screens could not run.
#[derive(Debug, thiserror::Error)]
pub enum TuiError {
    /// There is no terminal.
    #[error("There is no terminal to draw on ({0}).")]
    NoTerminal(std::io::Error),
}

/// Runs the screens until the mechanic leaves, a signal ends them or the terminal fails. What waits to be saved then
/// is tried once more.
///
/// # Errors
/// [`TuiError`], each with what to do.
pub fn run(shop: Shop, options: Options) -> Result<Ended, TuiError> {
    // Under NO_COLOR the library would drop bold and reverse too; our own theme has no colours then.
    crossterm::style::force_color_output(true);
    let outside = Outside::watch().map_err(TuiError::NoTerminal)?;
    let thinker = Thinker::start().map_err(TuiError::NoTerminal)?;
    let mut terminal = Terminal::take(options.mouse).map_err(|fault| {
        // Without a terminal there is nothing to look after.
        outside.ended();
        TuiError::NoTerminal(fault)
    })?;
    let (mut app, mut desk) = opened(shop, options, terminal.size());
    let how = turn(&mut app, &mut desk, &mut terminal, &outside, &thinker);
    // The watchdog still looks after this: a disk can hang as a terminal can.
    let left = left(&mut desk);
    outside.ended();
    drop(terminal);
    Ok(Ended { how, left })
}

/// Makes sure of the job that is open.
fn left(desk: &mut dyn Desk) -> Option<Left> {
    let sure = desk.make_sure()?.map_err(|fault| match (desk.waiting(), desk.job()) {
        (Some(entry), Some(job)) => {
            format!("{fault}\nWrite it down: this entry is lost now: {}", words::entry(job.model(), &entry))
        }
        _ => fault,
    });
    let closed = desk.job().is_some_and(|job| job.state().ended.is_some());
    let (id, _) = desk.mark()?;
    Some(Left { id, closed, sure })
}

/// The first screen as it would be drawn on a terminal of this many columns and rows, as lines of text. For benchmarks and
/// for pictures in documents; it takes no terminal.
#[must_use]
pub fn first_frame(shop: Shop, options: Options, columns: u16, rows: u16) -> String {
    let (mut app, mut desk) = opened(shop, options, (columns, rows));
    if let Some(analysis) = app.all_worked_out() {
        _ = tell(&mut app, &mut desk, Message::Thought(Told::Ranked(analysis)));
    }
    let Ok(mut terminal) = ratatui::Terminal::new(ratatui::backend::TestBackend::new(columns, rows));
    let Ok(_) = terminal.draw(|frame| _ = view::view(&app, frame));
    terminal.backend().to_string()
}

/// The screens as they stand before the first key.
fn opened(shop: Shop, options: Options, size: (u16, u16)) -> (App, ShopDesk) {
    let shows_tour = options.tour.is_some() && matches!(options.begin, Begin::Bench);
    let mut desk = ShopDesk::new(shop, options.tour);
    let mut app = App { big: options.big, size, ..App::new(options.theme, desk.layouts(), desk.study()) };
    begin(&mut app, &mut desk, options.begin);
    if shows_tour {
        _ = tell(&mut app, &mut desk, Message::Tour);
    }
    (app, desk)
}

fn begin(app: &mut App, desk: &mut ShopDesk, begin: Begin) {
    let mut notes = Vec::new();
    let mut first = None;
    let mut given = None;
    match begin {
        Begin::Bench => {}
        Begin::Review(folders) => {
            desk.reviewed = folders;
            first = Some(Action::Review);
        }
        Begin::Going(open, said) => {
            notes = said;
            notes.extend(desk.take(*open).err());
        }
        Begin::Trace(known) => {
            let Trace { layout, card, complaint, at, mechanic } = known;
            let engine = match (card, layout) {
                (Some(path), _) => Some(Effect::Card(path)),
                (None, Some(name)) => Some(Effect::Layout(name)),
                (None, None) => None,
            };
            if engine.is_none() {
                first = Some(Action::Nth(0));
            }
            given = Some((engine, Given { complaint, at, mechanic }));
        }
    }
    _ = carry_out(app, desk, vec![Effect::Begin(notes)]);
    if let Some(action) = first {
        _ = tell(app, desk, Message::Act(action));
    }
    if let Some((engine, given)) = given {
        _ = carry_out(app, desk, engine.into_iter().collect());
        _ = tell(app, desk, Message::Given(given));
    }
}

fn turn(
    app: &mut App,
    desk: &mut dyn Desk,
    terminal: &mut Terminal,
    outside: &Outside,
    thinker: &Thinker,
) -> std::io::Result<ExitKind> {
    let mut stale = true;
    let mut bounce = Bounce::default();
    let mut asked = None;
    let mut passed = Instant::now();
    loop {
        outside.has(desk.last_word());
        // Signals before input: whoever asks for the end is not kept waiting by keys.
        if let Some(signal) = outside.ending() {
            return Ok(ExitKind::Signal(signal));
        }
        if outside.take_stop() {
            terminal.suspend()?;
            stale = true;
        }
        if outside.take_go_on() {
            terminal.retake()?;
            stale = true;
        }
        let thought = thinker.heard().into_iter().map(Message::Thought);
        for message in thought.chain(desk.news().into_iter().map(Message::News)) {
            _ = tell(app, desk, message);
            stale = true;
        }
        if stale {
            let (columns, rows) = terminal.size();
            _ = tell(app, desk, Message::Resized(columns, rows));
            let mut drawn = Drawn::default();
            terminal.draw(|frame| drawn = view::view(app, frame))?;
            _ = tell(app, desk, Message::Drawn(drawn));
            stale = false;
            // The entry is on the screen before anything is worked out of it.
            let is_new = |task: &Task| asked.as_ref().is_none_or(|a| !Arc::ptr_eq(a, &task.job));
            if let Some(task) = app.to_work_out().filter(is_new) {
                asked = Some(Arc::clone(&task.job));
                thinker.ask(task);
            }
        }
        // While nobody presses a key the engine cools all the same.
        if passed.elapsed() >= PASSES {
            passed = Instant::now();
            for message in [effect::pass_time(desk), effect::look_after(desk)].into_iter().flatten() {
                _ = tell(app, desk, message);
                stale = true;
            }
        }
        let patience = match (app.is_thinking(), desk.is_working()) {
            (true, _) => SOON,
            (false, true) => WORKING,
            (false, false) => TICK,
        };
        if !crossterm::event::poll(patience)? {
            continue;
        }
        let Some(input) = input::read(crossterm::event::read()?) else { continue };
        if bounce.swallows(&input, Instant::now()) {
            continue;
        }
        stale = true;
        let entries = app.job().map_or(0, |j| j.log().len());
        let then = take(app, desk, input.clone());
        if app.job().map_or(0, |j| j.log().len()) > entries {
            bounce.entered(&input, Instant::now());
        }
        match then {
            Then::GoOn => {}
            Then::Clear => terminal.clear()?,
            Then::Suspend => terminal.suspend()?,
            Then::Copy(text) => terminal.copy(&text)?,
            Then::Quit => return Ok(ExitKind::Left),
        }
    }
}

/// Takes one input all the way: meaning, change, effects.
fn take(app: &mut App, desk: &mut dyn Desk, input: Input) -> Then {
    let action = match input {
        Input::Key(key) => commands::meaning(app, key),
        Input::Paste(text) => Some(Action::Paste(text)),
        Input::Press(column, row) => view::pressed(app, column, row),
        Input::Wheel(down) => Some(if down { Action::Down } else { Action::Up }),
        Input::Redraw => None,
    };
    action.map_or(Then::GoOn, |action| tell(app, desk, Message::Act(action)))
}

/// Tells the state what happened, and has done in the world what it then asks for.
fn tell(app: &mut App, desk: &mut dyn Desk, message: Message) -> Then {
    let effects = update::update(app, message);
    carry_out(app, desk, effects)
}

/// Carries effects out in their order; what came of each is told before the next is begun.
fn carry_out(app: &mut App, desk: &mut dyn Desk, effects: Vec<Effect>) -> Then {
    for effect in effects {
        if let Effect::Loop(then) = effect {
            return then;
        }
        for message in effect::run(desk, effect) {
            match tell(app, desk, message) {
                Then::GoOn => {}
                other => return other,
            }
        }
    }
    Then::GoOn
}
