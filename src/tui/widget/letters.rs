//! Large letters, to be read at arm's length: five dots high, drawn with half blocks, or with `#` where only ASCII may be drawn.

use crate::tui::theme::Theme;

/// The dots of a letter, five rows, `#` for a dot. Drawn for this program.
fn dots(letter: char) -> [&'static str; 5] {
    match letter.to_ascii_uppercase() {
        'A' => [".#.", "#.#", "###", "#.#", "#.#"],
        'B' => ["##.", "#.#", "##.", "#.#", "##."],
        'C' => [".##", "#..", "#..", "#..", ".##"],
        'D' => ["##.", "#.#", "#.#", "#.#", "##."],
        'E' => ["###", "#..", "##.", "#..", "###"],
        'F' => ["###", "#..", "##.", "#..", "#.."],
        'G' => [".##", "#..", "#.#", "#.#", ".##"],
        'H' => ["#.#", "#.#", "###", "#.#", "#.#"],
        'I' => ["#", "#", "#", "#", "#"],
        'J' => ["..#", "..#", "..#", "#.#", ".#."],
        'K' => ["#.#", "#.#", "##.", "#.#", "#.#"],
        'L' => ["#..", "#..", "#..", "#..", "###"],
        'M' => ["#...#", "##.##", "#.#.#", "#...#", "#...#"],
        'N' => ["#..#", "##.#", "#.##", "#..#", "#..#"],
        'O' => ["###", "#.#", "#.#", "#.#", "###"],
        'P' => ["##.", "#.#", "##.", "#..", "#.."],
        'Q' => ["###", "#.#", "#.#", "###", "..#"],
        'R' => ["##.", "#.#", "##.", "#.#", "#.#"],
        'S' => [".##", "#..", ".#.", "..#", "##."],
        'T' => ["###", ".#.", ".#.", ".#.", ".#."],
        'U' => ["#.#", "#.#", "#.#", "#.#", "###"],
        'V' => ["#.#", "#.#", "#.#", "#.#", ".#."],
        'W' => ["#...#", "#...#", "#.#.#", "##.##", "#...#"],
        'X' => ["#.#", "#.#", ".#.", "#.#", "#.#"],
        'Y' => ["#.#", "#.#", ".#.", ".#.", ".#."],
        'Z' => ["###", "..#", ".#.", "#..", "###"],
        '0' => [".#.", "#.#", "#.#", "#.#", ".#."],
        '1' => [".#", "##", ".#", ".#", ".#"],
        '2' => ["##.", "..#", ".#.", "#..", "###"],
        '3' => ["##.", "..#", ".#.", "..#", "##."],
        '4' => ["#.#", "#.#", "###", "..#", "..#"],
        '5' => ["###", "#..", "##.", "..#", "##."],
        '6' => [".##", "#..", "###", "#.#", "###"],
        '7' => ["###", "..#", ".#.", ".#.", ".#."],
        '8' => ["###", "#.#", "###", "#.#", "###"],
        '9' => ["###", "#.#", "###", "..#", "##."],
        '.' => [".", ".", ".", ".", "#"],
        ',' => ["..", "..", "..", ".#", "#."],
        ':' => [".", "#", ".", "#", "."],
        ';' => ["..", ".#", "..", ".#", "#."],
        '-' => ["..", "..", "##", "..", ".."],
        '+' => ["...", ".#.", "###", ".#.", "..."],
        '/' => ["..#", "..#", ".#.", "#..", "#.."],
        '%' => ["#.#", "..#", ".#.", "#..", "#.#"],
        '(' => [".#", "#.", "#.", "#.", ".#"],
        ')' => ["#.", ".#", ".#", ".#", "#."],
        '\'' => ["#", "#", ".", ".", "."],
        '_' => ["...", "...", "...", "...", "###"],
        '?' => ["##.", "..#", ".#.", "...", ".#."],
        ' ' => ["..", "..", "..", "..", ".."],
        _ => ["###", "###", "###", "###", "###"],
    }
}

/// Columns that a text takes in large letters.
pub(crate) fn columns(text: &str) -> usize {
    text.chars().map(|c| dots(c)[0].len() + 1).sum()
}

/// A text in large letters, line by line; it must fit.
pub(crate) fn draw(theme: Theme, text: &str) -> Vec<String> {
    let mut rows = [const { String::new() }; 6];
    for letter in text.chars() {
        for (row, dots) in rows.iter_mut().zip(dots(letter)) {
            row.push_str(dots);
            row.push('.');
        }
    }
    rows[5] = ".".repeat(rows[0].len());
    if theme.ascii {
        return rows.iter().map(|row| row.replace('.', " ")).collect();
    }
    let half = |pair: &[String]| {
        let both = pair[0].chars().zip(pair[1].chars());
        both.map(|(upper, lower)| match (upper, lower) {
            ('#', '#') => '█',
            ('#', _) => '▀',
            (_, '#') => '▄',
            _ => ' ',
        })
        .collect()
    };
    let mut lines: Vec<String> = rows.chunks(2).map(half).collect();
    lines.push(String::new());
    lines
}

/// Parts a text at blanks into lines of large letters that fit; none where a word does not.
pub(crate) fn wrap(text: &str, room: usize) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if columns(word) > room {
            return None;
        }
        match lines.last_mut() {
            Some(line) if columns(line) + columns(" ") + columns(word) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_is_five_rows_of_one_width_and_no_two_are_alike() {
        let all: Vec<char> = ('A'..='Z').chain('0'..='9').chain(".,:;-+/%()'_? ".chars()).collect();
        for (at, letter) in all.iter().enumerate() {
            let dots_here = dots(*letter);
            assert!(dots_here.iter().all(|row| row.len() == dots_here[0].len()), "{letter}");
            for other in &all[..at] {
                assert!(dots(*other) != dots_here, "{letter} looks like {other}");
            }
        }
    }

    #[test]
    fn half_blocks_show_two_dots_in_one_character() {
        let theme = Theme::default();
        assert_eq!(draw(theme, "L"), ["█   ", "█   ", "▀▀▀ ", ""]);
        assert_eq!(draw(Theme { ascii: true, ..theme }, "I")[0], "# ");
        assert_eq!(wrap("lead open", 18), Some(vec!["lead".to_owned(), "open".to_owned()]));
        assert_eq!(wrap("continuity", 16), None);
    }
}
