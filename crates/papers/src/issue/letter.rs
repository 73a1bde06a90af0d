//! Letters of revisions: A to Z, then AA, AB and on.

/// The first one.
pub(super) const FIRST: &str = "A";

/// The letter after one. What is no row of capital letters begins anew.
pub(super) fn after(letter: &str) -> String {
    let is_ours = !letter.is_empty() && letter.bytes().all(|byte| byte.is_ascii_uppercase());
    if !is_ours {
        return FIRST.to_owned();
    }
    let stem = letter.trim_end_matches('Z');
    let turned = "A".repeat(letter.len() - stem.len());
    match stem.as_bytes().split_last() {
        Some((last, rest)) => {
            format!("{}{}{turned}", String::from_utf8_lossy(rest), char::from(last + 1))
        }
        None => format!("A{turned}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        for (letter, next) in [
            ("A", "B"),
            ("Y", "Z"),
            ("Z", "AA"),
            ("AZ", "BA"),
            ("ZZ", "AAA"),
            ("AZZ", "BAA"),
            ("", "A"),
            ("7", "A"),
        ] {
            assert_eq!(after(letter), next, "{letter}");
        }
    }
}
