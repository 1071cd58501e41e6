//! Colours named by what they mean, and the characters the screens are drawn with.
//!
//! Owns how meaning looks at each depth of colour, on light and dark ground, and in plain ASCII. No colour carries a
//! meaning alone: a word or a character always says it too. Must not know any screen.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Ordinary text.
    Text,
    /// Labels and what matters less.
    Faint,
    /// What matters more.
    Strong,
    /// The thing in front.
    Title,
    /// A key to press.
    Key,
    /// All is well.
    Good,
    /// Take care.
    Warn,
    /// Danger, or something went wrong.
    Alarm,
    /// The filled part of a bar.
    Bar,
    /// A line between parts.
    Rule,
    /// The row that is picked.
    Chosen,
    /// A field being typed in.
    Field,
    /// What is shown good.
    Struck,
    /// A suspicion, from next to none (0) to strong (4).
    Heat(u8),
}

impl Role {
    /// The role of a suspicion of this strength, 0 to 4.
    #[must_use]
    pub fn heat(level: usize) -> Self {
        Self::Heat(u8::try_from(level.min(4)).unwrap_or(4))
    }
}

/// How many colours the terminal has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// None: weight and reverse only.
    None,
    /// The sixteen of the terminal's own.
    Sixteen,
    /// 256.
    Many,
    /// Any.
    True,
}

/// The characters of the screens.
#[derive(Debug)]
pub(crate) struct Glyphs {
    pub(crate) rule: &'static str,
    pub(crate) full: &'static str,
    pub(crate) half: &'static str,
    pub(crate) empty: &'static str,
    pub(crate) more: &'static str,
    pub(crate) mark: &'static str,
    pub(crate) caret: &'static str,
    pub(crate) done: &'static str,
    /// Suspicion from next to none to strong.
    pub(crate) shades: [&'static str; 5],
    /// The crankcase: its left wall, its right wall, and both in one column.
    pub(crate) case_left: &'static str,
    pub(crate) case_right: &'static str,
    pub(crate) case_mid: &'static str,
}

const DRAWN: Glyphs = Glyphs {
    rule: "─",
    full: "■",
    half: "▪",
    empty: "·",
    more: "…",
    mark: "▸",
    caret: "▁",
    done: "✓",
    shades: ["·", "░", "▒", "▓", "█"],
    case_left: "┤",
    case_right: "├",
    case_mid: "│",
};
const PLAIN: Glyphs = Glyphs {
    rule: "-",
    full: "#",
    half: "+",
    empty: ".",
    more: "~",
    mark: ">",
    caret: "_",
    done: "+",
    shades: [".", ":", "=", "%", "#"],
    case_left: "|",
    case_right: "|",
    case_mid: "|",
};

/// How everything looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    /// Colours there are.
    pub depth: Depth,
    /// Whether the ground is light.
    pub light: bool,
    /// Whether only ASCII may be drawn.
    pub ascii: bool,
}

impl Default for Theme {
    fn default() -> Self {
        Self { depth: Depth::None, light: false, ascii: false }
    }
}

impl Theme {
    /// What the environment says of the terminal; `look` finds a variable.
    pub fn from_environment(look: impl Fn(&str) -> Option<String>) -> Self {
        let value = |name: &str| look(name).unwrap_or_default();
        let term = value("TERM");
        let set = |name: &str| look(name).is_some_and(|v| !v.is_empty());
        let depth = if set("NO_COLOR") || term == "dumb" || term.starts_with("vt") {
            Depth::None
        } else if ["truecolor", "24bit"].contains(&value("COLORTERM").as_str()) || term.contains("direct") {
            Depth::True
        } else if term.contains("256") {
            Depth::Many
        } else {
            Depth::Sixteen
        };
        // COLORFGBG is "foreground;background"; 7 and 9 to 15 are light grounds.
        let ground = value("COLORFGBG").rsplit(';').next().and_then(|n| n.parse::<u8>().ok());
        let light = match value("ROUGHRUN_GROUND").as_str() {
            "light" => true,
            "dark" => false,
            _ => ground.is_some_and(|n| n == 7 || (9..=15).contains(&n)),
        };
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().map(value).find(|v| !v.is_empty()).unwrap_or_default();
        let utf8 = locale.to_ascii_lowercase().replace('-', "").contains("utf8");
        Self { depth, light, ascii: set("ROUGHRUN_ASCII") || !utf8 }
    }

    /// The style of a meaning.
    #[must_use]
    pub fn style(&self, role: Role) -> Style {
        let colour = |at: usize| match self.depth {
            Depth::None => None,
            Depth::Sixteen => Some(SIXTEEN[usize::from(self.light)][at]),
            Depth::Many => Some(Color::Indexed(MANY[usize::from(self.light)][at])),
            Depth::True => {
                let (r, g, b) = TRUE[usize::from(self.light)][at];
                Some(Color::Rgb(r, g, b))
            }
        };
        let ink = |at: usize| colour(at).map_or_else(Style::new, |c| Style::new().fg(c));
        match role {
            Role::Text | Role::Heat(1) => Style::new(),
            Role::Faint if self.depth == Depth::None => Style::new().add_modifier(Modifier::DIM),
            Role::Faint | Role::Rule => ink(0),
            Role::Strong => Style::new().add_modifier(Modifier::BOLD),
            Role::Title => ink(1).add_modifier(Modifier::BOLD),
            Role::Key => ink(2).add_modifier(Modifier::BOLD),
            Role::Good => ink(3).add_modifier(Modifier::BOLD),
            Role::Warn | Role::Heat(3) => ink(4).add_modifier(Modifier::BOLD),
            Role::Alarm => ink(5).add_modifier(Modifier::BOLD | Modifier::REVERSED),
            Role::Bar | Role::Heat(2) => ink(6),
            Role::Chosen => Style::new().add_modifier(Modifier::BOLD | Modifier::REVERSED),
            Role::Struck if self.depth == Depth::None => {
                Style::new().add_modifier(Modifier::DIM | Modifier::CROSSED_OUT)
            }
            Role::Struck => ink(0).add_modifier(Modifier::CROSSED_OUT),
            Role::Heat(0) => self.style(Role::Faint),
            Role::Heat(_) => ink(5).add_modifier(Modifier::BOLD),
            Role::Field => ink(2).add_modifier(Modifier::BOLD | Modifier::UNDERLINED),
        }
    }

    /// The characters to draw with.
    pub(crate) fn glyphs(self) -> &'static Glyphs {
        if self.ascii { &PLAIN } else { &DRAWN }
    }

    /// The nearest ASCII for a drawn symbol, where only ASCII may be drawn.
    pub(crate) fn plain(symbol: &str) -> &'static str {
        match symbol {
            "°" => "d",
            "µ" | "μ" | "ú" | "ù" | "û" | "ü" => "u",
            "Ω" => "O",
            "±" => "+",
            "–" | "—" | "−" | "─" => "-",
            "×" => "x",
            "“" | "”" | "„" => "\"",
            "‘" | "’" => "'",
            "…" => "~",
            "é" | "è" | "ê" | "ë" => "e",
            "á" | "à" | "â" | "ä" => "a",
            "ó" | "ò" | "ô" | "ö" => "o",
            _ => "?",
        }
    }
}

// In order: faint, title, key, good, warn, alarm, bar; dark ground first.
const SIXTEEN: [[Color; 7]; 2] = [
    [Color::DarkGray, Color::Yellow, Color::Cyan, Color::Green, Color::Yellow, Color::LightRed, Color::Yellow],
    [Color::DarkGray, Color::Blue, Color::Magenta, Color::Green, Color::Red, Color::Red, Color::Blue],
];
const MANY: [[u8; 7]; 2] = [[246, 222, 116, 114, 215, 203, 173], [240, 94, 24, 22, 130, 124, 130]];
const TRUE: [[(u8, u8, u8); 7]; 2] = [
    [(150, 148, 142), (240, 208, 136), (128, 206, 200), (140, 200, 120), (244, 172, 84), (240, 96, 80), (206, 138, 84)],
    [(92, 90, 86), (112, 70, 10), (0, 84, 100), (20, 96, 30), (150, 78, 0), (168, 24, 16), (160, 92, 40)],
];

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pairs: &[(&str, &str)]) -> Theme {
        Theme::from_environment(|name| pairs.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_owned()))
    }

    #[test]
    fn the_environment_decides_depth_ground_and_characters() {
        assert_eq!(of(&[("TERM", "xterm-256color"), ("LANG", "en_GB.UTF-8")]).depth, Depth::Many);
        assert_eq!(of(&[("TERM", "xterm-256color"), ("COLORTERM", "truecolor")]).depth, Depth::True);
        assert_eq!(of(&[("TERM", "xterm"), ("NO_COLOR", "1")]).depth, Depth::None);
        assert_eq!(of(&[("TERM", "linux")]).depth, Depth::Sixteen);
        assert!(of(&[("COLORFGBG", "0;15")]).light);
        assert!(!of(&[("COLORFGBG", "15;0")]).light);
        assert!(of(&[("LC_ALL", "C"), ("LANG", "en_GB.UTF-8")]).ascii);
        assert!(!of(&[("LANG", "de_DE.utf8")]).ascii);
    }

    #[test]
    fn without_colour_nothing_is_coloured() {
        let theme = Theme::default();
        for role in [Role::Faint, Role::Title, Role::Key, Role::Alarm, Role::Bar, Role::Warn] {
            assert_eq!(theme.style(role).fg, None, "{role:?}");
        }
    }
}
