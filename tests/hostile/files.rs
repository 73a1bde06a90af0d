//! Files that are too large, too deep, of another alphabet, or full of what a careless reader trips over.

use std::fmt::Write as _;
use std::fs;

use super::{call, named};
use crate::support::folder;

const HEAD: &str = "ampwalk = 1\n[location]\nregion = \"uk\"\n";

#[test]
fn files_of_the_largest_size_are_refused_in_small_memory() {
    const LARGEST: usize = 8 << 20;
    let home = folder();
    let lines = |piece: &str| HEAD.to_owned() + &piece.repeat((LARGEST - HEAD.len()) / piece.len());
    for (name, bytes) in [
        ("nine", vec![b'#'; 9 << 20]),
        ("one line", format!("{HEAD}x = \"{}", "x".repeat(LARGEST - 100)).into_bytes()),
        ("brackets", vec![b'['; LARGEST]),
        ("NUL", vec![0; LARGEST]),
        ("escapes", lines("\u{1b}[2J").into_bytes()),
        ("the same head", lines("[head.A]\n").into_bytes()),
        ("the same key", lines("k = 1 # some words to fill a line\n").into_bytes()),
        ("no UTF-8", vec![0x9b; LARGEST]),
    ] {
        fs::write(home.path().join("p.toml"), bytes).unwrap();
        let told = call(home.path(), &["check", "p.toml"]);
        assert!(told.is_refused().len() < 2_000_000, "{name}: {} bytes are told", told.err.len());
    }
}

#[test]
fn nesting_of_a_hundred_thousand_is_refused() {
    const DEEP: usize = 100_000;
    let home = folder();
    for text in [
        format!("x = {}{}", "[".repeat(DEEP), "]".repeat(DEEP)),
        format!("x = {}1{}", "{a=".repeat(DEEP), "}".repeat(DEEP)),
        format!("{}a = 1", "a.".repeat(DEEP)),
        format!("[{}a]", "a.".repeat(DEEP)),
        format!("[head.A]\nleak_ma = {}1{}", "[".repeat(DEEP), "]".repeat(DEEP)),
    ] {
        fs::write(home.path().join("p.toml"), format!("{HEAD}{text}\n")).unwrap();
        call(home.path(), &["check", "p.toml"]).is_refused();
    }
}

#[test]
fn loops_and_chains_of_ten_thousand_links_are_refused() {
    const LINKS: usize = 10_000;
    let home = folder();
    for is_loop in [true, false] {
        let (mut rcds, mut boxes) =
            (HEAD.to_owned(), format!("{HEAD}[floor.g]\nlevel = 0\n[room.r]\nfloor = \"g\"\n"));
        for at in 0..LINKS {
            let next = if is_loop { (at + 1) % LINKS } else { at + 1 };
            let ends = next == LINKS;
            let _ = writeln!(rcds, "[rcd.R{at}]");
            let _ = writeln!(boxes, "[socket.S{at}]\nroom = \"r\"\ncircuit = \"C{at}\"\n[circuit.C{at}]");
            if ends {
                let _ = writeln!(boxes, "supply = \"s\"\n[supply.s]\nkind = \"mains\"");
            } else {
                let _ = writeln!(rcds, "behind = \"R{next}\"");
                let _ = writeln!(boxes, "from = \"S{next}\"");
            }
        }
        rcds.push_str("[supply.s]\nkind = \"mains\"\n[circuit.C]\nsupply = \"s\"\nrcd = \"R0\"\n");
        for text in [rcds, boxes] {
            fs::write(home.path().join("p.toml"), text).unwrap();
            let told = call(home.path(), &["check", "p.toml"]);
            let code = if is_loop { "error[loop]" } else { "error[too-deep]" };
            assert!(told.is_refused().contains(code), "{}", &told.err[..300]);
        }
    }
}

#[test]
fn numbers_beyond_every_edge_are_refused_by_a_code_and_good_ones_are_read() {
    let home = folder();
    let long = "9".repeat(1_000_000);
    let small = format!("0.{}1", "0".repeat(1_000_000));
    for (number, code) in [
        ("1e400", "not-finite"),
        ("-1e400", "not-finite"),
        ("nan", "not-finite"),
        ("inf", "not-finite"),
        ("9223372036854775808", "out-of-range"),
        ("-9223372036854775809", "out-of-range"),
        ("-0.0", "out-of-range"),
        ("1e-400", "out-of-range"),
        ("0x", ""),
        ("0xffffffffffffffffff", ""),
        ("1__0", "syntax"),
        ("1e999999999999", ""),
        (&long, "out-of-range"),
        (&small, "out-of-range"),
        ("2026-13-45", ""),
        ("9999-99-99T99:99:99Z", ""),
        ("1_000", "good"),
        ("0x10", "good"),
        ("5e2", "good"),
    ] {
        fs::write(
            home.path().join("p.toml"),
            named("x").replace("watts = 500", &format!("watts = {number}")),
        )
        .unwrap();
        let told = call(home.path(), &["check", "p.toml"]);
        let shown: String = number.chars().take(30).collect();
        if code == "good" {
            assert_ne!(told.is_harmless().status, Some(2), "{shown}: {}", told.err);
            continue;
        }
        let err = told.is_refused();
        assert!(err.contains(&format!("error[{code}")) && err.len() < 2_000, "{shown}: {err}");
    }
    for at in ["9999-99-99T25:61:61", "-1", "2026-02-30T00:00:00", "\u{661}\u{662}"] {
        let text = format!("{}[[trip]]\ndevice = \"P1\"\nsetup = \"day\"\nat = \"{at}\"\n", named("x"));
        fs::write(home.path().join("p.toml"), text).unwrap();
        assert!(call(home.path(), &["check", "p.toml"]).is_refused().contains("error[bad-time]"), "{at}");
    }
}

#[test]
fn other_encodings_are_refused_with_what_to_do_and_those_of_utf_8_are_read() {
    let home = folder();
    let plan = named("x");
    let wide = |unit: fn(u16) -> [u8; 2]| -> Vec<u8> {
        "\u{feff}".encode_utf16().chain(plan.encode_utf16()).flat_map(unit).collect()
    };
    for bytes in [wide(u16::to_le_bytes), wide(u16::to_be_bytes)] {
        fs::write(home.path().join("p.toml"), bytes).unwrap();
        assert!(call(home.path(), &["check", "p.toml"]).is_refused().contains("UTF-16"));
    }
    for bytes in [&b"\xc0\xaf"[..], b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\xff", b"\xe2\x82"] {
        fs::write(home.path().join("p.toml"), [plan.as_bytes(), b"# ", bytes, b"\n"].concat()).unwrap();
        assert!(call(home.path(), &["check", "p.toml"]).is_refused().contains("is not UTF-8"));
    }
    for text in [format!("\u{feff}{plan}"), plan.replace('\n', "\r\n")] {
        fs::write(home.path().join("p.toml"), text).unwrap();
        assert_ne!(call(home.path(), &["check", "p.toml"]).is_harmless().status, Some(2));
    }
    // A carriage return alone ends no line of TOML.
    fs::write(home.path().join("p.toml"), plan.replace('\n', "\r")).unwrap();
    call(home.path(), &["check", "p.toml"]).is_refused();
}

#[test]
fn sheets_that_are_enormous_or_never_close_a_quote_are_refused() {
    let home = folder();
    fs::write(home.path().join("p.toml"), named("x")).unwrap();
    let quote = format!("id,room,ban\nG2,r,\"{}", "x,\n".repeat(100_000));
    for text in [
        "id,room\n".to_owned() + &"G2,r\n".repeat(100_000),
        "x".repeat(9 << 20),
        format!("id,room{}\n", ",a".repeat(1_000_000)),
        quote,
        "\"".repeat(1_000_001),
        "\0".repeat(1_000_000),
        format!("id,room,ways\nG2,r,{}\n", "9".repeat(1_000_000)),
    ] {
        fs::write(home.path().join("s.csv"), text).unwrap();
        let told = call(home.path(), &["import", "s.csv", "p.toml"]);
        assert!(told.is_refused().len() < 100_000, "{} bytes are told", told.err.len());
    }
}
