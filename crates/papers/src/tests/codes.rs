//! Codes of a patch: what they say, that they are read back, and that a decoder reads them.

use proptest::prelude::*;

use crate::codes::{MOST_BYTES, Matrix, Unread, modules, read_back, split};
use crate::patch_sheet;

use super::{HALL, read};

fn codes(text: &str, setup: &str) -> Vec<String> {
    let (network, assessment) = read(text);
    patch_sheet(&network, &assessment, network.setup(setup)).codes
}

#[test]
fn a_code_says_head_socket_circuit_rcd_leads_and_strike_number() {
    let [code] = <[String; 1]>::try_from(codes(HALL, "day")).expect("one code");
    let lines: Vec<&str> = code.lines().collect();
    assert!(lines[0].starts_with("Weavers' Hall, Day (day), 1/1, issue "), "{code}");
    assert!(lines[1].starts_with("verdict dark: lead c10 is used 2 times"), "{code}");
    let heads = [
        "H1 > G1 P1 RA c10 #1",
        "H2 > G1 P1 RA - #2",
        "H3 > NOT PLACED #-",
        "H10 > G2 P2 RA c10 #3",
        "H11 > G3 P3 RB four off",
    ];
    assert_eq!(lines[2..7], heads);
    assert_eq!(
        lines[7],
        "head > power point, circuit, RCD, leads, #strike no.; - none, / or, + and, ? perhaps"
    );
    assert!(lines[8].contains("licensed electrician") && lines.len() == 9, "{code}");
}

#[test]
fn where_nobody_traced_a_socket_every_circuit_and_rcd_is_a_perhaps() {
    let text = HALL.replace("at = [10, 0]\ncircuit = \"P2\"", "at = [10, 0]");
    let code = codes(&text, "day").concat();
    assert!(code.contains("H10 > G2 P1/P2/P3/P4? RA?+RB? c10 #"), "{code}");
}

#[test]
fn a_large_patch_is_split_between_lines_and_read_back_in_any_order() {
    let lines: Vec<String> =
        (1..=200).map(|at| format!("H{at} > G{at} P{} RA c20+four #{at}", at % 9)).collect();
    let mut texts = split("Mill House, Day", &lines);
    assert!(texts.len() >= 7, "{}", texts.len());
    assert!(texts.iter().all(|text| text.len() <= MOST_BYTES));
    texts.reverse();
    assert_eq!(read_back(&texts), Ok(lines));
}

#[test]
fn missing_foreign_and_altered_codes_are_told() {
    let lines: Vec<String> = (1..=100).map(|at| format!("H{at} > G{at} P1 RA c20 #{at}")).collect();
    let mut other = lines.clone();
    other[50] = "H51 > G50 P1 RA c20 #51".to_owned();
    let (texts, others) = (split("Mill House, Day", &lines), split("Mill House, Day", &other));
    assert!(texts.len() >= 4);
    assert_eq!(read_back(&[&texts[0], &texts[2]]).unwrap_err(), {
        let missing: Vec<usize> = (1..=texts.len()).filter(|at| *at != 1 && *at != 3).collect();
        Unread::Missing(missing)
    });
    let mixed: Vec<&String> = texts.iter().take(1).chain(&others[1..]).collect();
    assert_eq!(read_back(&mixed), Err(Unread::OtherIssue(1)));
    let night = split("Mill House, Night", &lines);
    assert_eq!(read_back(&[&texts[0], &night[1]]), Err(Unread::OtherIssue(1)));
    let mut altered = texts.clone();
    altered[1] = altered[1].replace("P1", "P2");
    assert_eq!(read_back(&altered), Err(Unread::Altered));
    assert_eq!(read_back(&["a shopping list"]), Err(Unread::NotOne(0)));
    assert_eq!(read_back(&[] as &[&str]), Err(Unread::Nothing));
    let vast = texts[0].replace(&format!("1/{}", texts.len()), "1/18446744073709551615");
    assert!(matches!(read_back(&[vast]), Err(Unread::Missing(_))));
}

/// A code on paper: each module 3 by 3 dots, four modules of white around it.
fn decoded(code: &Matrix) -> String {
    const DOTS: usize = 3;
    const MARGIN: usize = 4;
    let side = (code.width + 2 * MARGIN) * DOTS;
    let mut paper = vec![255_u8; side * side];
    for (x, y, count) in code.runs() {
        for down in 0..DOTS {
            let begin = ((y + MARGIN) * DOTS + down) * side + (x + MARGIN) * DOTS;
            paper[begin..begin + count * DOTS].fill(0);
        }
    }
    let mut decoder = quircs::Quirc::default();
    let found: Vec<_> = decoder.identify(side, side, &paper).collect();
    assert_eq!(found.len(), 1);
    let data = found.into_iter().next().expect("one").expect("a code").decode().expect("decodes");
    String::from_utf8(data.payload).expect("UTF-8")
}

#[test]
fn a_decoder_from_outside_reads_the_text() {
    let all = codes(HALL, "day").into_iter().chain([
        "A".to_owned(),
        "x".repeat(MOST_BYTES),
        // Letters of many scripts; the bytes of these Japanese ones look like Shift JIS.
        "\u{64ae}\u{5f71}\u{6240} \u{30e9}\u{30a4}\u{30c8} > \u{58c1}1 \u{56de}\u{8def}2 #1\n".repeat(15),
        "\u{41f}\u{440}\u{43e}\u{436}\u{435}\u{43a}\u{442}\u{43e}\u{440} > \u{39b}3 \u{e9}\u{df}\u{1f4a1}"
            .to_owned(),
    ]);
    for text in all {
        assert_eq!(decoded(&modules(&text).expect("it fits")), text);
    }
}

#[test]
fn the_longest_text_makes_the_widest_code_and_a_longer_one_is_refused() {
    // ISO/IEC 18004, table 7: version 40-M has room for 2331 bytes, and is 177 modules wide; version 23-M
    // for 857 bytes with 109 modules, 22-M for 779 (from memory).
    assert_eq!(modules(&"x".repeat(2331)).expect("it fits").width, 177);
    assert_eq!(modules(&"x".repeat(2332)).expect_err("too long").bytes, 2332);
    assert_eq!(modules(&"x".repeat(MOST_BYTES)).expect("it fits").width, 109);
}

fn unpleasant() -> impl Strategy<Value = String> {
    let letters = prop_oneof![
        any::<char>(),
        prop::sample::select(vec!['\u{202e}', '\n', ',', '/', '1', ' ', ' ', '\u{5b57}', '\u{301}', 'x']),
    ];
    prop::collection::vec(letters, 0..300).prop_map(String::from_iter)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_is_in_the_lines_they_are_read_back_in_any_order(
        name in unpleasant(),
        lines in prop::collection::vec(unpleasant(), 0..40),
        turn in any::<prop::sample::Index>(),
    ) {
        let mut texts = split(&name, &lines);
        prop_assert!(texts.iter().all(|text| text.len() <= MOST_BYTES), "{texts:?}");
        prop_assert!(texts.iter().all(|text| modules(text).is_ok()));
        let count = texts.len();
        texts.rotate_left(turn.index(count));
        let read = read_back(&texts).expect("a whole issue");
        // Folded lines go on after two blanks, which stand for one or for none: without blanks all is there.
        let plain = |lines: &[String]| lines.concat().replace(' ', "");
        let inert: Vec<String> = lines.iter().map(|line| ampwalk_core::file::inert(line)).collect();
        prop_assert_eq!(plain(&read), plain(&inert));
        if count > 1 {
            texts.pop();
            prop_assert!(matches!(read_back(&texts), Err(Unread::Missing(missing)) if missing.len() == 1));
        }
    }

    #[test]
    fn a_patch_of_any_heads_is_read_back_line_by_line(
        heads in prop::collection::vec(("[A-Z][0-9]{1,3}", "[A-Z][0-9]{1,3}", 1..200_usize), 0..150),
    ) {
        let lines: Vec<String> =
            heads.iter().map(|(head, socket, strike)| format!("{head} > {socket} P1 RA - #{strike}")).collect();
        prop_assert_eq!(read_back(&split("Mill House, Day (day)", &lines)), Ok(lines));
    }
}
