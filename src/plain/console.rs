//! Lines in, lines out. The only place of this room that reads or writes.

use std::io::{self, BufRead, Write};

use crate::text::safe_lines;

/// The longest line taken, in bytes. Of a longer one nothing is taken, and it is asked for again.
const LONGEST: u64 = 16 * 1024;

/// Where questions are asked.
pub struct Console<'a> {
    input: &'a mut dyn BufRead,
    out: &'a mut dyn Write,
    echo: bool,
}

/// What came back from a numbered question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Picked {
    /// One of the options.
    Option(usize),
    /// Something else.
    Said(String),
    /// The end of input.
    End,
}

/// What was read.
enum Line {
    Typed(String),
    TooLong,
    End,
}

impl<'a> Console<'a> {
    /// A console on an input and an output.
    pub fn new(input: &'a mut dyn BufRead, out: &'a mut dyn Write) -> Self {
        Self { input, out, echo: false }
    }

    /// The same, writing each line that was read after its prompt: for input that no terminal shows.
    #[must_use]
    pub fn echoing(mut self, echo: bool) -> Self {
        self.echo = echo;
        self
    }

    /// Writes lines, made safe.
    pub(super) fn say(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.out, "{}", safe_lines(text))
    }

    /// Asks for a line, again where one is too long. None at the end of input.
    pub(super) fn ask(&mut self, prompt: &str) -> io::Result<Option<String>> {
        loop {
            match self.line(prompt)? {
                Line::Typed(line) => return Ok(Some(line)),
                Line::End => return Ok(None),
                Line::TooLong => self.say(&format!(
                    "That line is longer than {} KiB, so nothing of it was taken. Split it in two, and enter them one after the other.",
                    LONGEST >> 10
                ))?,
            }
        }
    }

    fn line(&mut self, prompt: &str) -> io::Result<Line> {
        write!(self.out, "{} ", safe_lines(prompt))?;
        self.out.flush()?;
        let mut bytes = Vec::new();
        let read = io::Read::take(&mut *self.input, LONGEST).read_until(b'\n', &mut bytes)?;
        if read == 0 {
            // The prompt's line is ended, so that what follows starts on its own.
            writeln!(self.out)?;
            return Ok(Line::End);
        }
        if bytes.last() != Some(&b'\n') && read as u64 == LONGEST {
            self.drop_line()?;
            return Ok(Line::TooLong);
        }
        let line = String::from_utf8_lossy(&bytes).trim().to_owned();
        if self.echo {
            self.say(&line)?;
        }
        Ok(Line::Typed(line))
    }

    fn drop_line(&mut self) -> io::Result<()> {
        loop {
            let mut rest = Vec::new();
            let read = io::Read::take(&mut *self.input, LONGEST).read_until(b'\n', &mut rest)?;
            if read == 0 || rest.last() == Some(&b'\n') {
                return Ok(());
            }
        }
    }

    /// Lists options by number, from 1.
    pub(super) fn list(&mut self, options: &[String]) -> io::Result<()> {
        for (at, option) in options.iter().enumerate() {
            self.say(&format!("  {}. {option}", at + 1))?;
        }
        Ok(())
    }

    /// Asks a numbered question once.
    pub(super) fn pick(&mut self, question: &str, options: &[String]) -> io::Result<Picked> {
        self.say(question)?;
        self.list(options)?;
        self.number(options.len())
    }

    /// Asks for the number of one of so many options.
    pub(super) fn number(&mut self, options: usize) -> io::Result<Picked> {
        let Some(line) = self.ask(&format!("Number, 1 to {options}:"))? else { return Ok(Picked::End) };
        Ok(match line.parse::<usize>() {
            Ok(n) if (1..=options).contains(&n) => Picked::Option(n - 1),
            _ => Picked::Said(line),
        })
    }
}
