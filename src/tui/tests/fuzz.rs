//! Keys at random on every screen: nothing panics, nothing that was entered is lost.

use rand::{Rng as _, RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::play::Play;
use super::sizes::WAYS;
use crate::job::Entry;
use crate::tui::effect::Then;
use crate::tui::input::{Input, Key};

/// Keys pressed in all; `ROUGHRUN_RANDOM_KEYS` sets another number.
const KEYS: usize = 100_000;
/// Keys pressed from one start: the further, the stranger, but the longer each answer takes.
const RUN: usize = 60;

fn key(rng: &mut ChaCha8Rng) -> Input {
    const NAMED: [Key; 17] = [
        Key::Enter,
        Key::Enter,
        Key::Enter,
        Key::Esc,
        Key::Backspace,
        Key::Delete,
        Key::Up,
        Key::Down,
        Key::Down,
        Key::Left,
        Key::Right,
        Key::Tab,
        Key::BackTab,
        Key::PageUp,
        Key::PageDown,
        Key::Home,
        Key::End,
    ];
    match rng.random_range(0..100) {
        0..45 => Input::Key(Key::Char(char::from(rng.random_range(b' '..=b'~')))),
        45..60 => Input::Key(Key::Char(['a', 'n', 'd', 'G', 'M', 'D', 'H', ':', 'T', '/'][rng.random_range(0..10)])),
        60..90 => Input::Key(NAMED[rng.random_range(0..NAMED.len())]),
        90..92 => Input::Key(Key::Ctrl(['s', 'p', 'l', 'z'][rng.random_range(0..4)])),
        92..93 => Input::Key(Key::F1),
        93..97 => Input::Press(rng.random_range(0..200), rng.random_range(0..60)),
        97..98 => Input::Wheel(rng.random_bool(0.5)),
        _ => {
            Input::Paste(["80\n85 12\n\n\u{1b}[2J", "8k2", "\u{202e}x\u{0}", "OL OL 3"][rng.random_range(0..4)].into())
        }
    }
}

/// Whether everything entered before is still there, as it was, at the beginning of what is there now.
fn keeps(before: &[Entry], now: &[Entry]) -> bool {
    now.len() >= before.len() && now[..before.len()] == *before
}

#[test]
fn random_keys_on_every_screen_never_panic_and_lose_nothing() {
    let keys = std::env::var("ROUGHRUN_RANDOM_KEYS").ok().and_then(|n| n.parse().ok()).unwrap_or(KEYS);
    let mut pressed = 0;
    let mut seed = 0;
    let mut starts: Vec<&str> = WAYS.iter().map(|(_, way)| *way).collect();
    starts.push("");
    while pressed < keys {
        for start in &starts {
            seed += 1;
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            let mut play = if rng.next_u32() % 8 == 0 { Play::new() } else { Play::on_walk() };
            play.keys(start);
            let mut before: Vec<Vec<Entry>> = play.desk.all();
            for _ in 0..RUN {
                pressed += 1;
                let input = key(&mut rng);
                if play.input(input.clone()) == Then::Quit {
                    break;
                }
                let now = play.desk.all();
                let kept = before.iter().zip(&now).all(|(b, n)| keeps(b, n)) && now.len() >= before.len();
                assert!(kept, "seed {seed}: {input:?} lost an entry");
                before = now;
                if rng.random_range(0..8) == 0 {
                    drop(play.buffer(rng.random_range(0..170), rng.random_range(0..55)));
                }
            }
        }
    }
}
