//! How the screens look: by flags, else by the environment, else by the settings file, else as the terminal seems to be.

use std::path::{Path, PathBuf};

use clap::ValueEnum;
use etcetera::BaseStrategy as _;
use serde::Deserialize;

use super::{CliError, Kind};
use crate::tui::{Depth, Theme};

/// Largest settings file taken, in bytes.
const LARGEST: u64 = 64 * 1024;

/// How the screens look.
#[derive(Debug, Default, clap::Args)]
pub(super) struct Look {
    /// Settings file; roughrun/settings.yaml in this user's configuration folder, where left out
    #[arg(long, global = true, value_name = "FILE", env = "ROUGHRUN_SETTINGS", help_heading = "Look")]
    pub settings: Option<PathBuf>,
    /// Colours of the screens
    #[arg(long, global = true, value_enum, help_heading = "Look")]
    pub colour: Option<Colour>,
    /// The ground of the terminal
    #[arg(long, global = true, value_enum, help_heading = "Look")]
    pub ground: Option<Ground>,
    /// Draw ASCII only
    #[arg(long, global = true, help_heading = "Look")]
    pub ascii: bool,
    /// Draw the question and its answers in large letters
    #[arg(long, global = true, help_heading = "Look")]
    pub big: bool,
    /// Leave the mouse to the terminal, to select text with it
    #[arg(long, global = true, help_heading = "Look")]
    pub no_mouse: bool,
}

/// How many colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Colour {
    /// As the terminal says of itself
    Auto,
    /// None: weight and reverse only
    None,
    /// The terminal's own sixteen
    #[value(name = "16")]
    #[serde(rename = "16")]
    Sixteen,
    /// 256
    #[value(name = "256")]
    #[serde(rename = "256")]
    Many,
    /// Any
    True,
}

/// The ground of the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Ground {
    /// As the terminal says of itself
    Auto,
    /// Light letters on a dark ground
    Dark,
    /// Dark letters on a light ground
    Light,
}

/// The settings file. Everything in it may be left out.
#[derive(Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case", default)]
struct Settings {
    colour: Option<Colour>,
    ground: Option<Ground>,
    ascii: Option<bool>,
    big: Option<bool>,
    mouse: Option<bool>,
}

/// The look that comes of all of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Chosen {
    pub theme: Theme,
    pub big: bool,
    pub mouse: bool,
}

impl Look {
    /// Chooses.
    ///
    /// # Errors
    /// A settings file that is named and not there, or that has a fault.
    pub(super) fn choose(&self, look: impl Fn(&str) -> Option<String>) -> Result<Chosen, CliError> {
        let settings = match (&self.settings, default_file()) {
            (Some(named), _) if !named.as_os_str().is_empty() => read(named)?,
            (_, Some(file)) if file.exists() => read(&file)?,
            _ => Settings::default(),
        };
        Ok(self.over(&settings, look))
    }

    fn over(&self, settings: &Settings, look: impl Fn(&str) -> Option<String>) -> Chosen {
        let set = |name: &str| look(name).is_some_and(|v| !v.is_empty());
        let mut theme = Theme::from_environment(&look);
        let no_colour = set("NO_COLOR");
        match self.colour.or(settings.colour.filter(|_| !no_colour)) {
            None | Some(Colour::Auto) => {}
            Some(Colour::None) => theme.depth = Depth::None,
            Some(Colour::Sixteen) => theme.depth = Depth::Sixteen,
            Some(Colour::Many) => theme.depth = Depth::Many,
            Some(Colour::True) => theme.depth = Depth::True,
        }
        match self.ground.or(settings.ground.filter(|_| !set("ROUGHRUN_GROUND"))) {
            None | Some(Ground::Auto) => {}
            Some(ground) => theme.light = ground == Ground::Light,
        }
        theme.ascii |= self.ascii || settings.ascii == Some(true);
        Chosen {
            theme,
            big: self.big || settings.big == Some(true),
            mouse: !self.no_mouse && settings.mouse != Some(false),
        }
    }
}

fn default_file() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.config_dir().join("roughrun").join("settings.yaml"))
}

/// The file that says that the tour was seen; none where it was, or where it could not be kept.
pub(super) fn tour_file() -> Option<PathBuf> {
    let base = etcetera::choose_base_strategy().ok()?;
    let folder = base.state_dir().unwrap_or_else(|| base.data_dir());
    let file = folder.join("roughrun").join("tour-seen");
    (!file.exists()).then_some(file)
}

fn read(file: &Path) -> Result<Settings, CliError> {
    let shown = crate::text::safe_text(&file.to_string_lossy()).into_owned();
    let fault = |why: String| {
        CliError::new(Kind::Usage, format!("The settings file {shown} cannot be used: {why}."))
            .hint("It takes: colour (auto, none, \"16\", \"256\", true), ground (auto, dark, light), ascii, big, mouse (yes or no as true or false).")
    };
    let size = std::fs::metadata(file).map_err(|e| fault(e.to_string()))?;
    if !size.is_file() || size.len() > LARGEST {
        return Err(fault(format!("it is no file of at most {LARGEST} bytes")));
    }
    let text = std::fs::read_to_string(file).map_err(|e| fault(e.to_string()))?;
    parse(&text).map_err(|why| fault(crate::text::safe_text(&why).trim_end_matches('.').to_owned()))
}

fn parse(text: &str) -> Result<Settings, String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let has_nothing = text.lines().all(|l| l.trim().is_empty() || l.trim_start().starts_with('#'));
    if has_nothing {
        return Ok(Settings::default());
    }
    serde_yaml::from_str(text).map_err(|fault| fault.to_string())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn chosen(look: &Look, settings: &str, environment: &[(&str, &str)]) -> Chosen {
        let find = |name: &str| environment.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_owned());
        look.over(&parse(settings).unwrap(), find)
    }

    #[test]
    fn flags_come_before_the_environment_and_that_before_the_file() {
        let flag = Look { colour: Some(Colour::Sixteen), ..Look::default() };
        let utf8 = ("LANG", "en_GB.UTF-8");
        assert_eq!(chosen(&flag, "colour: none", &[("NO_COLOR", "1"), utf8]).theme.depth, Depth::Sixteen);
        let none = Look::default();
        assert_eq!(chosen(&none, "colour: \"256\"", &[("NO_COLOR", "1")]).theme.depth, Depth::None);
        assert_eq!(chosen(&none, "colour: \"256\"", &[("TERM", "xterm")]).theme.depth, Depth::Many);
        assert_eq!(chosen(&none, "colour: auto", &[("TERM", "xterm")]).theme.depth, Depth::Sixteen);
        assert!(chosen(&none, "ground: light", &[]).theme.light);
        assert!(!chosen(&none, "ground: light", &[("ROUGHRUN_GROUND", "dark")]).theme.light);
        let all = chosen(&none, "ascii: true\nbig: true\nmouse: false", &[utf8]);
        assert!(all.theme.ascii && all.big && !all.mouse);
        assert!(chosen(&none, "", &[utf8]).mouse);
    }

    #[test]
    fn faults_of_the_file_are_said() {
        assert!(parse("color: none").unwrap_err().contains("color"));
        assert!(parse("colour: pink").is_err());
        assert!(parse("ascii: maybe").is_err());
        assert_eq!(parse("# nothing set\n").unwrap(), Settings::default());
    }
}
