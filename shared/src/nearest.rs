//! "Did you mean": the known word that a mistyped one is nearest to.

/// The candidate nearest to `word`, if one is near enough to be meant.
///
/// Upper and lower case count as equal. Near enough is one slip for every three letters, at
/// least one; among equals the first candidate wins.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: Vec<char> = word.to_lowercase().chars().collect();
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let letters: Vec<char> = candidate.to_lowercase().chars().collect();
        let most = (word.len().max(letters.len()) / 3).max(1);
        let slips = distance(&word, &letters);
        // A word that shares no letter with the candidate is another word, not a slip of it.
        let near = slips <= most && slips < letters.len().max(1);
        if near && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Slips between two words: letters left out, added, replaced, or swapped with a neighbour
/// (the optimal string alignment distance).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut next = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let replaced = row[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            next[j] = replaced.min(row[j] + 1).min(next[j - 1] + 1);
            let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if swapped {
                next[j] = next[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut row, next);
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_counted() {
        let count = |a: &str, b: &str| {
            let letters = |s: &str| s.chars().collect::<Vec<_>>();
            distance(&letters(a), &letters(b))
        };
        // The textbook pair of V. I. Levenshtein's distance, and one swap.
        assert_eq!(count("kitten", "sitting"), 3);
        assert_eq!(count("vovlume", "volume"), 1);
        assert_eq!(count("voulme", "volume"), 1);
        assert_eq!(count("", "abc"), 3);
    }

    #[test]
    fn the_nearest_word_is_found_and_a_far_one_is_not() {
        let kinds = ["bottle", "tank", "valve", "check_valve"];
        assert_eq!(nearest("botle", kinds), Some("bottle"));
        assert_eq!(nearest("Tank", kinds), Some("tank"));
        assert_eq!(nearest("chek_valve", kinds), Some("check_valve"));
        assert_eq!(nearest("pump", kinds), None);
        assert_eq!(nearest("", kinds), None);
        assert_eq!(nearest("x", ["K"]), None);
    }
}
