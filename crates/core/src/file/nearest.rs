//! The known word nearest to a slip of the keyboard.

/// Longer words than this are not compared: nobody slipped there.
const LONGEST: usize = 40;

/// The word of `known` that `given` begins, up to an underscore: the same without its unit.
pub(super) fn without_unit<'k>(given: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    known.into_iter().find(|word| word.strip_prefix(given).is_some_and(|rest| rest.starts_with('_')))
}

/// The word of `known` that `given` most likely stands for, if any is near enough.
#[must_use]
pub fn nearest<'k>(given: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let given: Vec<char> = given.chars().take(LONGEST + 1).collect();
    if given.is_empty() || given.len() > LONGEST {
        return None;
    }
    let allowed = match given.len() {
        0..=2 => 1,
        3..=5 => 2,
        _ => 3,
    };
    known
        .into_iter()
        // As many letters more or fewer are as many edits.
        .filter(|word| word.chars().count().abs_diff(given.len()) <= allowed)
        .map(|word| (distance(&given, word), word))
        .filter(|(edits, word)| *edits <= allowed && *edits < word.chars().count().max(given.len()))
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, word)| word)
}

/// Insertions, deletions, replacements and swaps of neighbours between two words, letter case apart
/// (Damerau's distance in its restricted form).
fn distance(given: &[char], word: &str) -> usize {
    let given: Vec<char> = given.iter().flat_map(|c| c.to_lowercase()).collect();
    let word: Vec<char> = word.chars().flat_map(char::to_lowercase).collect();
    let mut two_above: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=word.len()).collect();
    for (row, &left) in given.iter().enumerate() {
        let mut current = vec![row + 1];
        for (column, &right) in word.iter().enumerate() {
            let replaced = above[column] + usize::from(left != right);
            let mut least = replaced.min(above[column + 1] + 1).min(current[column] + 1);
            let swapped = row > 0 && column > 0 && left == word[column - 1] && given[row - 1] == right;
            if swapped {
                least = least.min(two_above[column - 1] + 1);
            }
            current.push(least);
        }
        two_above = std::mem::replace(&mut above, current);
    }
    above[word.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_find_their_word_and_other_words_find_none() {
        let known = ["breaker_a", "socket", "watts", "amps"];
        assert_eq!(nearest("braeker_a", known), Some("breaker_a"));
        assert_eq!(nearest("breaker", known), Some("breaker_a"));
        assert_eq!(nearest("Sockets", known), Some("socket"));
        assert_eq!(nearest("amp", known), Some("amps"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest(&"socket".repeat(1000), known), None);
    }

    #[test]
    fn a_key_without_its_unit_finds_the_one_with_it() {
        assert_eq!(without_unit("leak", ["leak_ma", "leading"]), Some("leak_ma"));
        assert_eq!(without_unit("lea", ["leak_ma", "leading"]), None);
        assert_eq!(without_unit("", ["leak_ma"]), None);
    }

    #[test]
    fn an_id_of_one_letter_does_not_match_every_other() {
        assert_eq!(nearest("Z", ["A", "B"]), None);
        assert_eq!(nearest("a", ["A", "B"]), Some("A"));
        assert_eq!(nearest("G9", ["G1"]), Some("G1"));
    }
}
