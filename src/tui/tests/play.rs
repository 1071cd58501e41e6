//! A mechanic's hands and eyes: keys in, lines of the screen out.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::small::MemoryDesk;
use crate::tui::action::Context;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::desk::Desk as _;
use crate::tui::effect::Then;
use crate::tui::input::{Input, Key};
use crate::tui::message::Message;
use crate::tui::theme::Theme;
use crate::tui::think::Told;
use crate::tui::view;

pub(super) struct Play {
    pub(super) app: App,
    pub(super) desk: MemoryDesk,
}

impl Play {
    pub(super) fn new() -> Self {
        let desk = MemoryDesk::new();
        let app = App::new(Theme::default(), desk.layouts(), desk.study());
        Self { app, desk }
    }

    /// A job begun on the left side, nothing answered.
    pub(super) fn on_walk() -> Self {
        let mut play = Self::new();
        play.keys("1 1 1 1 enter");
        play
    }

    /// Presses keys, separated by blanks: a character, `enter`, `esc`, `up`, `f1`, `"words` types words joined by `_`.
    pub(super) fn keys(&mut self, script: &str) -> &mut Self {
        for word in script.split_whitespace() {
            if let Some(text) = word.strip_prefix('"').filter(|t| !t.is_empty()) {
                text.replace('_', " ").chars().for_each(|c| {
                    self.input(Input::Key(Key::Char(c)));
                });
                continue;
            }
            let key = match word {
                "enter" => Key::Enter,
                "esc" => Key::Esc,
                "up" => Key::Up,
                "down" => Key::Down,
                "left" => Key::Left,
                "right" => Key::Right,
                "home" => Key::Home,
                "end" => Key::End,
                "pgdn" => Key::PageDown,
                "tab" => Key::Tab,
                "backtab" => Key::BackTab,
                "back" => Key::Backspace,
                "f1" => Key::F1,
                "space" => Key::Char(' '),
                "ctrl-c" => Key::Ctrl('c'),
                "ctrl-z" => Key::Ctrl('z'),
                _ => Key::Char(word.chars().next().unwrap()),
            };
            self.input(Input::Key(key));
        }
        self
    }

    pub(super) fn input(&mut self, input: Input) -> Then {
        let then = self.press(input);
        for news in self.desk.news() {
            self.tell(Message::News(news));
        }
        self.work_out();
        then
    }

    /// One input, with nothing worked out behind it.
    pub(super) fn press(&mut self, input: Input) -> Then {
        // What is on the screen when the key is pressed, where it can be scrolled or acknowledged.
        if matches!(self.app.context(), Context::Page | Context::Report | Context::Caution) {
            let (width, height) = self.app.size;
            self.buffer(width, height);
        }
        crate::tui::take(&mut self.app, &mut self.desk, input)
    }

    pub(super) fn tell(&mut self, message: Message) -> Then {
        crate::tui::tell(&mut self.app, &mut self.desk, message)
    }

    /// What the threads would work out, here and now.
    pub(super) fn work_out(&mut self) {
        if let Some(analysis) = self.app.all_worked_out() {
            self.tell(Message::Thought(Told::Ranked(analysis)));
        }
    }

    pub(super) fn buffer(&mut self, width: u16, height: u16) -> Buffer {
        self.tell(Message::Resized(width, height));
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        let mut canvas = Canvas::new(&mut buffer);
        view::draw(&self.app, area, &mut canvas);
        let drawn = canvas.drawn;
        self.tell(Message::Drawn(drawn));
        buffer
    }

    /// The screen as text, line ends trimmed.
    pub(super) fn screen(&mut self, width: u16, height: u16) -> String {
        let buffer = self.buffer(width, height);
        let line = |y: u16| {
            let cells = (0..width).map(|x| buffer[(x, y)].symbol().to_owned());
            cells.collect::<String>().trim_end().to_owned()
        };
        (0..height).map(line).collect::<Vec<_>>().join("\n")
    }

    pub(super) fn sees(&mut self, words: &str) {
        let screen = self.screen(80, 24);
        assert!(screen.contains(words), "\"{words}\" is not on the screen:\n{screen}");
    }

    pub(super) fn sees_not(&mut self, words: &str) {
        let screen = self.screen(80, 24);
        assert!(!screen.contains(words), "\"{words}\" is on the screen:\n{screen}");
    }
}
