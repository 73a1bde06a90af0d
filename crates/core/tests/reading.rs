//! Reading never fails: any text gives a plan and problems, at places that are in the text.

#![expect(clippy::disallowed_types, reason = "how long a hostile text takes is timed")]
#![expect(clippy::format_collect, reason = "texts are written line by line")]

use std::time::{Duration, Instant};

use ampwalk_core::edit::{Edit, apply};
use ampwalk_core::file::{Gravity, Parsed, parse, position};
use ampwalk_core::plan::{Line, TraceMeans};
use ampwalk_core::unit::{Amps, MilliAmps};
use proptest::prelude::*;
use proptest::sample::Index;

const EVERY_KEY: &str = include_str!("../../../tests/plans/every-key.toml");

/// Reads a text and checks what holds for every text.
fn read(text: &str) -> Parsed {
    let parsed = parse(text);
    let mut last = 0;
    for problem in &parsed.problems {
        assert!(problem.span.start >= last, "in the order of the text");
        last = problem.span.start;
        for span in std::iter::once(&problem.span).chain(problem.also.as_ref().map(|also| &also.0)) {
            assert!(span.start <= span.end && span.end <= text.len(), "{problem:?}");
            assert!(text.get(span.clone()).is_some(), "{problem:?} is inside of a character");
            let (line, column) = position(text, span.start);
            assert!(line >= 1 && column >= 1);
        }
        assert!(!problem.message.is_empty() && !problem.remedy.is_empty(), "{problem:?}");
        let words = format!("{}{}", problem.message, problem.remedy);
        assert!(!words.chars().any(char::is_control), "{words:?}");
    }
    parsed
}

fn errors(text: &str) -> Vec<(&'static str, (usize, usize))> {
    let told = read(text).problems.into_iter().filter(|problem| problem.gravity == Gravity::Error);
    told.map(|problem| (problem.code, position(text, problem.span.start))).collect()
}

#[test]
fn a_plan_with_every_key_is_read_as_it_says() {
    let parsed = read(EVERY_KEY);
    assert_eq!(parsed.worst(), Some(Gravity::Note));
    let plan = parsed.plan;
    let circuit = &plan.circuits["P1"];
    assert_eq!(circuit.breaker, Some(Amps(20.0)));
    assert_eq!(circuit.line, Some(Line::L1));
    assert_eq!(circuit.base[1].leak.map(|leak| leak.high), Some(MilliAmps(2.0)));
    assert_eq!(circuit.hours.map(|hours| hours.until.to_string()).as_deref(), Some("22:00"));
    let socket = &plan.sockets["G1"];
    assert_eq!(socket.ramps[0].tripped, Some(MilliAmps(15.0)));
    assert_eq!(socket.ramps[0].off[0].name, "fridge");
    assert_eq!(socket.ramps[1].tripped, None);
    let setup = &plan.setups["day"];
    assert_eq!(setup.start.map(|start| start.minutes), Some(9 * 60));
    assert!(setup.sockets["C"].is_some() && setup.sockets["D"].is_none());
    assert_eq!(plan.traces[1].means, TraceMeans::RampDropped);
    assert_eq!(plan.trips[0].at.as_deref(), Some("2026-03-02T14:05:00"));
    assert!(plan.supplies.keys().map(ampwalk_core::id::SupplyId::as_str).eq(["house", "genny", "station"]));
}

#[test]
fn a_toml_date_is_a_date_as_well() {
    let text = EVERY_KEY.replace("at = \"2026-03-02T14:05:00\"", "at = 2026-03-02T14:05:00");
    assert_eq!(read(&text).plan, read(EVERY_KEY).plan);
}

#[test]
fn watts_beside_amps_are_a_note_that_tells_the_difference() {
    let text = "ampwalk = 1\n[location]\nregion = \"uk\"\n[head.A]\namps = 12\nwatts = 2300\n";
    let problems = read(text).problems;
    assert_eq!(problems.len(), 1);
    assert_eq!((problems[0].code, problems[0].gravity), ("amps-and-watts", Gravity::Note));
    // 2300 W / 230 V / 1.0 = 10 A, by hand.
    assert!(problems[0].remedy.contains("is 10.00 A: -2.00 A against the 12 A given"), "{problems:?}");
}

#[test]
fn byte_order_mark_and_line_endings_change_neither_plan_nor_places() {
    let broken = EVERY_KEY.replace("amps = 0.65", "amps = -0.65").replace("[head.D]", "[head.D]\ncolour = 1");
    let same = format!("\u{feff}{}", broken.replace('\n', "\r\n"));
    assert_eq!(read(&broken).plan, read(&same).plan);
    assert_eq!(errors(&broken), errors(&same));
    assert_eq!(errors(&broken).len(), 2);
}

#[test]
fn columns_count_characters() {
    let text = "ampwalk = 1\n[location]\nname = \"Großé 電\" # é\nregion = \"au\"\n[head.A]\nname = \"ß電\"; watts = 1\n";
    let problems = read(text).problems;
    let syntax = problems.iter().find(|problem| problem.code == "syntax").unwrap();
    assert_eq!(position(text, syntax.span.start), (6, 12));
    assert_eq!(position("\u{feff}é=", 3 + 2), (1, 2));
    assert_eq!(position("a\nb", 99), (2, 2));
    assert_eq!(position("é", 1), (1, 1));
    assert_eq!(position("", 0), (1, 1));
}

#[test]
fn what_can_be_read_of_a_broken_plan_is_read() {
    let text = "ampwalk = 1\n[location]\nregion = au\nname = \"Mill\"\n[head.A]\nwatts = 650\namps = \n\
                [head.B\nwatts = 1000\n[setup.day]\nminutes = 60\non = [\"A\", \"B\"]\n";
    let parsed = read(text);
    assert_eq!(parsed.plan.location.name.as_deref(), Some("Mill"));
    assert_eq!(parsed.plan.heads.len(), 2);
    assert_eq!(parsed.plan.setups["day"].on.len(), 2);
    let codes: Vec<&str> = parsed.problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["syntax", "syntax", "syntax"]);
}

#[test]
fn many_problems_are_told_at_once_and_the_rest_is_counted() {
    let lines: String = (0..600).map(|at| format!("nonsense_{at} = 1\n")).collect();
    let text = format!("ampwalk = 1\n[location]\nregion = \"au\"\n{lines}");
    let problems = read(&text).problems;
    assert_eq!(problems.len(), 501);
    assert_eq!(problems[500].code, "more-problems");
    assert!(problems[500].message.starts_with("100 more"), "{:?}", problems[500]);
}

#[test]
fn a_later_format_is_told_and_nothing_else() {
    let text = "ampwalk = 3\n[location]\nregion = \"moon\"\nphase = 4\n[portal.A]\n";
    let parsed = read(text);
    assert_eq!(parsed.worst(), Some(Gravity::LaterVersion));
    assert_eq!(parsed.problems.len(), 1);
    assert_eq!(parsed.plan.version, Some(3));
}

#[test]
fn loops_are_cut_so_that_whoever_walks_upstream_arrives() {
    let text = "ampwalk = 1\n[location]\nregion = \"au\"\n[rcd.A]\nbehind = \"B\"\n[rcd.B]\nbehind = \"A\"\n";
    let plan = read(text).plan;
    assert_eq!(plan.rcds["A"].behind, None);
    assert_eq!(plan.rcds["B"].behind, Some("A".into()));
}

#[test]
fn more_entries_than_allowed_are_told() {
    let heads: String = (0..10_001).map(|at| format!("[head.H{at}]\nwatts = 1\n")).collect();
    let text = format!("ampwalk = 1\n[location]\nregion = \"au\"\n{heads}");
    let parsed = read(&text);
    assert_eq!(errors(&text), [("too-many-entries", (20_004, 7))]);
    assert_eq!(parsed.plan.heads.len(), 10_000);
    let on = vec!["\"H1\""; 10_001].join(",");
    let text =
        format!("ampwalk=1\nlocation.region=\"au\"\n[head.H1]\nwatts=1\n[setup.d]\nminutes=1\non=[{on}]\n");
    assert!(errors(&text).iter().any(|(code, _)| *code == "too-many-entries"));
}

#[test]
fn a_file_that_is_too_large_is_not_read() {
    let text = format!("ampwalk = 1\n# {}", "x".repeat(8 * 1024 * 1024));
    assert_eq!(errors(&text), [("too-large", (1, 1))]);
    let text = "\n".repeat(400_000);
    assert_eq!(errors(&text), [("too-many-entries", (400_001, 1))]);
    assert_eq!(errors(&text[1..]), [("version-missing", (1, 1)), ("missing-key", (1, 1))]);
}

#[test]
fn more_marks_than_any_plan_has_are_not_held_at_once() {
    let marks = |count: usize| errors(&"[".repeat(count)).into_iter().next().unwrap();
    assert_eq!(marks(3_000_001), ("syntax", (1, 1)));
    assert!(read(&"[".repeat(3_000_001)).problems[0].message.contains("no plan has so many"));
    // Fewer are read one by one.
    assert!(!read(&"[".repeat(300_000)).problems.iter().any(|problem| problem.message.contains("so many")));
}

/// Long texts that a careless reader would take minutes for.
fn hostile() -> Vec<(&'static str, String)> {
    const SIZE: usize = 250_000;
    let fill = |piece: &dyn Fn(usize) -> String| {
        let mut text = String::from("ampwalk = 1\n");
        let mut at = 0;
        while text.len() < SIZE {
            text += &piece(at);
            at += 1;
        }
        text
    };
    let circle: String = (0..20).flat_map(|_| (0..5000).map(|at| format!("[t{at}]\n"))).collect();
    vec![
        ("keys", fill(&|at| format!("k{at}=1\n"))),
        ("tables", fill(&|at| format!("[t{at}]\n"))),
        ("tables again and again", circle),
        ("one key again and again", fill(&|_| "k=1\n".to_owned())),
        ("heads", fill(&|at| format!("[head.H{at}]\n"))),
        ("bad ids", fill(&|at| format!("[head.\"{at} x\"]\n"))),
        ("a list of heads that are not there", format!("setup.a.on=[{}]", fill(&|_| "\"H\",".to_owned()))),
        ("one list", format!("a=[{}]", "1,".repeat(SIZE / 2))),
        ("open lists", "a=".to_owned() + &"[".repeat(SIZE)),
        ("open tables", "a=".to_owned() + &"{a=".repeat(SIZE / 3)),
        ("open headers", "[".repeat(SIZE)),
        ("a long path", vec!["a"; SIZE / 2].join(".") + "=1"),
        ("a long key", "a".repeat(SIZE) + "=1"),
        ("long paths", fill(&|at| format!("{}b{at}=1\n", "a.".repeat(15)))),
        ("an open text", "a=\"".to_owned() + &"\\u0007".repeat(SIZE / 6)),
        ("quotes", "\"".repeat(SIZE)),
        ("equals", "=".repeat(SIZE)),
        ("line ends", "\r".repeat(SIZE)),
        ("a chain of RCDs", fill(&|at| format!("[rcd.R{at}]\nbehind=\"R{}\"\n", at + 1))),
        (
            "a chain of circuits",
            fill(&|at| {
                format!(
                    "[circuit.C{at}]\nfrom=\"S{at}\"\n[socket.S{at}]\nroom=\"r\"\ncircuit=\"C{}\"\n",
                    at + 1
                )
            }),
        ),
        ("traces", fill(&|_| "[[trace]]\n".to_owned())),
        (
            "base loads",
            fill(&|at| if at == 0 { "circuit.P.base=[".to_owned() } else { format!("{{name=\"n{at}\"}},") })
                + "]",
        ),
    ]
}

#[test]
fn hostile_texts_are_read_in_a_blink() {
    for (name, text) in hostile() {
        let begin = Instant::now();
        read(&text);
        let took = begin.elapsed();
        // Far over what it takes, and far under what growth with the square would.
        assert!(took < Duration::from_secs(10), "{name}: {took:?}");
        let begin = Instant::now();
        let _ = apply(&text, &Edit::Pin { head: "H1".into() });
        assert!(begin.elapsed() < Duration::from_secs(10), "{name}: {:?} to edit", begin.elapsed());
    }
}

/// Damages a text at places given in shares of its length.
fn damaged(text: &str, damages: &[(u8, Index, Index, String)]) -> String {
    let mut text = text.to_owned();
    for (what, from, to, insert) in damages {
        let boundary = |index: &Index| {
            let mut at = index.index(text.len() + 1);
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            at
        };
        let (from, to) = (boundary(from), boundary(to));
        match what % 4 {
            0 => text.replace_range(from..to.clamp(from, text.len()).min(from + 40).max(from), ""),
            1 => text.insert_str(from, insert),
            2 => {
                let mut lines: Vec<&str> = text.lines().collect();
                if lines.len() > 1 {
                    let (first, second) = (from % lines.len(), to % lines.len());
                    lines.swap(first, second);
                }
                text = lines.join("\n");
            }
            _ => text.truncate(from.max(text.len() / 2)),
        }
        if text.is_empty() {
            return text;
        }
    }
    text
}

fn boundary_safe(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_text_is_read(text in any::<String>()) {
        read(&text);
    }

    #[test]
    fn any_text_of_the_marks_of_toml_is_read(text in "[\\[\\]{}=.,\"'#a1 \n\r\\\\-]{0,200}") {
        read(&text);
        let _ = apply(&text, &Edit::Pin { head: "a".into() });
    }

    #[test]
    fn any_damaged_plan_is_read(
        damages in proptest::collection::vec(
            (any::<u8>(), any::<Index>(), any::<Index>(), "[\\[\\]{}=.,\"'#a1 \né\u{7}-]{0,6}"),
            1..8,
        )
    ) {
        let text = damaged(EVERY_KEY, &damages);
        read(&text);
        // What is edited stays TOML, and goes back.
        for edit in [
            Edit::Plug { head: "A".into(), placement: None },
            Edit::Rename { table: ampwalk_core::edit::Table::Circuit, from: "P1".into(), to: "Q".into() },
        ] {
            if let Ok(change) = apply(&text, &edit) {
                let after = change.apply(&text);
                prop_assert!(!read(&after).problems.iter().any(|problem| problem.code == "syntax"));
                prop_assert_eq!(change.inverse().apply(&after), text.clone());
            }
        }
    }

    #[test]
    fn any_end_cut_off_is_read(at in any::<Index>()) {
        let cut = boundary_safe(EVERY_KEY, at.index(EVERY_KEY.len() + 1));
        read(&EVERY_KEY[..cut]);
        read(&EVERY_KEY[cut..]);
    }
}
