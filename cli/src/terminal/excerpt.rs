//! The line of a text that a message is about, and carets below the place that is meant.

use std::ops::Range;

/// Characters shown before, of and after the place. A line that is longer is cut, because carets
/// below a line that the terminal has folded point nowhere.
const SHOWN: [usize; 3] = [72, 60, 40];

/// What stands in the place of a tab: its width on a screen is not known.
const TAB: &str = "    ";

/// A line and the carets below it, one row each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Excerpt {
    /// The line; empty if it is blank.
    pub line: String,
    /// Blanks and carets, and what is said about the place.
    pub carets: String,
}

/// The line in which a stretch of bytes begins. A stretch that goes on in further lines is marked
/// to the end of its first, with the number of its last.
#[must_use]
pub fn excerpt(text: &str, bytes: &Range<usize>, note: &str) -> Excerpt {
    let start = whole(text, bytes.start);
    let end = whole(text, bytes.end).max(start);
    let line_start = text[..start].rfind('\n').map_or(0, |i| i + 1);
    let line_end = text[start..].find('\n').map_or(text.len(), |i| start + i);
    let marked_end = end.min(line_end);
    let before = last(&printable(&text[line_start..start]), SHOWN[0]);
    let marked = first(printable(&text[start..marked_end]).trim_end(), SHOWN[1]);
    let after = first(&printable(&text[marked_end..line_end]), SHOWN[2]);
    let blanks = " ".repeat(before.chars().count());
    let carets = "^".repeat(marked.chars().count().max(1));
    let onward = onward(text, start, end);
    Excerpt {
        line: format!("{before}{marked}{after}").trim_end().to_owned(),
        carets: format!("{blanks}{carets}{onward} {note}")
            .trim_end()
            .to_owned(),
    }
}

/// Where a stretch ends that does not end in its first line.
fn onward(text: &str, start: usize, end: usize) -> String {
    let inner = text[start..end].trim_end();
    match inner.matches('\n').count() {
        0 => String::new(),
        more => {
            let first = text[..start].matches('\n').count() + 1;
            format!(" to line {}", first + more)
        }
    }
}

/// The nearest start of a character at or before a byte, inside the text.
fn whole(text: &str, byte: usize) -> usize {
    let byte = byte.min(text.len());
    let boundary = |b: &usize| text.is_char_boundary(*b);
    (0..=byte).rev().find(boundary).unwrap_or(0)
}

/// Text that moves no cursor.
fn printable(text: &str) -> String {
    let spread = text.replace('\t', TAB);
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    spread.chars().map(plain).collect()
}

fn first(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((cut, _)) => format!("{}…", &text[..cut]),
        None => text.to_owned(),
    }
}

fn last(text: &str, most: usize) -> String {
    let excess = text.chars().count().saturating_sub(most);
    match text.char_indices().nth(excess) {
        Some((cut, _)) if excess > 0 => format!("…{}", &text[cut..]),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str, part: &str) -> (String, String) {
        let start = text.find(part).expect("the part stands in the text");
        let got = excerpt(text, &(start..start + part.len()), "");
        (got.line, got.carets)
    }

    fn rows(line: &str, carets: &str) -> (String, String) {
        (line.to_owned(), carets.to_owned())
    }

    #[test]
    fn carets_stand_below_the_place() {
        let text = "a = 1\r\nvolume = 50\r\n";
        assert_eq!(of(text, "50"), rows("volume = 50", "         ^^"));
        assert_eq!(of(text, "a"), rows("a = 1", "^"));
    }

    #[test]
    fn characters_are_counted_not_bytes() {
        let text = "t = \"µ± 5 °C\" # ok";
        assert_eq!(of(text, "5 °C"), rows(text, "        ^^^^"));
    }

    #[test]
    fn tabs_and_control_characters_move_no_caret() {
        let text = "\tk =\t\u{1b}7";
        // Four blanks for each tab, one for the escape.
        assert_eq!(of(text, "7"), rows("    k =     7", "            ^"));
    }

    #[test]
    fn a_stretch_over_several_lines_names_its_last() {
        let text = "x = [[0, 0],\n  [1, 2],\n]\n";
        let list = "[[0, 0],\n  [1, 2],\n]";
        assert_eq!(
            of(text, list),
            rows("x = [[0, 0],", "    ^^^^^^^^ to line 3")
        );
        // The end of a line that belongs to the stretch makes no second line.
        assert_eq!(of(text, "[1, 2],\n"), rows("  [1, 2],", "  ^^^^^^^"));
    }

    #[test]
    fn nothing_lies_outside_of_the_text() {
        assert_eq!(excerpt("", &(0..0), "").line, "");
        assert_eq!(excerpt("", &(7..9), "note").carets, "^ note");
        let inside = "é".len() - 1;
        assert_eq!(excerpt("é", &(inside..99), "").carets, "^");
        let backwards = Range { start: 3, end: 1 };
        assert_eq!(excerpt("a = 1", &backwards, "").carets, "   ^");
    }

    #[test]
    fn a_long_line_is_cut_around_the_place() {
        let text = format!("{}HERE{}", "b".repeat(500), "a".repeat(500));
        let (line, carets) = of(&text, "HERE");
        assert_eq!(line.chars().count(), 1 + SHOWN[0] + 4 + SHOWN[2] + 1);
        assert_eq!(carets, format!("{}^^^^", " ".repeat(SHOWN[0] + 1)));
        let wide = excerpt(&text, &(0..900), "");
        assert_eq!(wide.carets, "^".repeat(SHOWN[1] + 1));
    }
}
