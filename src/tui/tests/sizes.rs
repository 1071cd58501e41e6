//! Every screen at every size: nothing may panic, whatever the terminal.

use super::play::Play;

/// Ways to every screen, from the start of a job.
pub(super) const WAYS: &[(&str, &str)] = &[
    ("walk", "a a a"),
    ("caution", ""),
    ("cursor", "a a a down"),
    ("others", "/"),
    ("search", "/ \"lead"),
    ("nothing found", "/ \"zzzz"),
    ("card", "a a a K"),
    ("conditions", "a a a C right"),
    ("stands", "a a a J"),
    ("not to be had", "/ \"continuity enter a a B"),
    ("provoke", "a a a P"),
    ("correct", "a a a F"),
    ("proof run", "a a a R a a"),
    ("proof run conditions", "a a a R a a C"),
    ("not possible", "a a a X"),
    ("note", "a a a N \"a_word"),
    ("suspects", "a a a L"),
    ("suspect", "a a a L enter"),
    ("showing", "a a a W"),
    ("ending", "a a a E"),
    ("remark", "a a a E 3"),
    ("closed", "a a a E 3 \"no_time enter"),
    ("report", "a a a O"),
    ("report searched", "a a a O / \"plug enter n"),
    ("report searching", "a a a O / \"course"),
    ("report whole", "a a a O O tab tab"),
    ("report headings", "a a a O G"),
    ("report to a file", "a a a O S"),
    ("entries", "a a a T"),
    ("help", "a a a ?"),
    ("takes a reading", "/ \"continuity enter a a"),
    ("reading", "/ \"continuity enter a a 8"),
    ("verdict", "/ \"continuity enter a a 8 0 enter"),
    ("which", "/ \"continuity enter a a 2 0 0 enter"),
    ("engine", "a a a M"),
    ("engine moved", "a n M down down down"),
    ("site", "a n M down down down enter"),
    ("pick site", "a / tab"),
    ("tree", "a n D"),
    ("tree open", "a n D down down right down"),
    ("grid", "a G"),
    ("grid typed", "/ \"continuity enter a a G 8 0 enter O L enter 8 5 0 enter 9 0 enter"),
    ("grid fault", "/ \"continuity enter a a G 8 z z"),
    ("course", "a n n H left"),
    ("changed", "a n V"),
    ("palette", "a :"),
    ("palette found", "a : \"lo1"),
    ("records", "a n esc R"),
    ("records found", "a n esc R \"state:open_rough"),
    ("records fault", "a n esc R \"state:gone"),
    ("narrow", "a n esc R tab"),
    ("replay", "a n n esc R enter"),
    ("replay marked", "a f F \"clean_left_1 enter d E 1 \"no_time enter esc R enter n"),
    ("replay to the mark", "a f F \"clean_left_1 enter d E 1 \"no_time enter esc R enter"),
    ("replay entry", "a n n esc R enter down down"),
    ("lead name", "a n esc R enter down r"),
    ("lead remark", "a n esc R enter down r \"L._Lead enter \"Why_so?"),
    ("replay remark", "a n esc R enter down down r \"L._Lead enter \"Why_so? enter v end"),
    ("learn", "a n n esc L"),
    ("large letters", "a Z"),
    ("large reading", "/ \"continuity enter a a Z 8 2"),
    ("practise", "esc P down"),
    ("practises", "esc P enter"),
    ("practice", "esc P 2 enter"),
    ("practice chosen", "esc P 2 enter / \"look enter a a"),
    ("practice answered", "esc P 2 enter / \"look enter a a d"),
    ("practice sure", "esc P 2 enter % \"fouled enter \"60"),
    ("practice said", "esc P 2 enter % \"fouled enter \"60_sooty enter"),
    ("practice hint", "esc P 2 enter !"),
    ("practice engine", "esc P 2 enter M"),
    ("debrief", "esc P 2 enter % \"fouled enter \"60 enter / \"look enter a a d / \"look enter a a d E 2 enter"),
    ("progress", "esc P 2 enter / \"look enter a a d E 2 enter esc P end enter"),
];

fn every_size(play: &mut Play) {
    for width in 0..=90 {
        // Every width with some heights and the reverse: the division depends on each by itself.
        for height in (0..=30).filter(|h| width % 7 == 0 || h % 5 == 2 || *h < 3) {
            drop(play.buffer(width, height));
        }
    }
    for (width, height) in [(1, 200), (200, 1), (100, 30), (160, 50), (500, 500)] {
        drop(play.buffer(width, height));
    }
}

#[test]
fn the_bench_and_the_intake_draw_at_every_size() {
    for way in [
        "",
        "1",
        "1 1",
        "1 1 1",
        "1 1 1 1",
        "1 1 1 1 down down right",
        "1 2",
        "1 1 1 1 tab tab tab tab tab tab right",
        "1 1 1 1 up up up right",
        "1 1 1 1 up up up right \"leads enter",
        "?",
        ":",
        "2 a n M",
    ] {
        let mut play = Play::new();
        play.keys(way);
        every_size(&mut play);
    }
}

#[test]
fn every_screen_of_a_job_draws_at_every_size() {
    for (_, way) in WAYS {
        let mut play = Play::on_walk();
        play.keys(way);
        every_size(&mut play);
    }
}

#[test]
fn a_tiny_terminal_is_told_what_is_needed() {
    let mut play = Play::on_walk();
    assert!(play.screen(39, 12).starts_with("Terminal too small"));
    let tiny = play.screen(20, 5);
    assert!(tiny.starts_with("Terminal too small:\n40x12 is needed."), "{tiny}");
    assert!(play.screen(10, 2).contains("40x12"));
}
