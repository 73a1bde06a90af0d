//! What inputs are made from: the examples, the broken plans of the tests, what was kept, and small pieces.

use std::fs;
use std::path::Path;

use ampwalk_core::file::schema::{Kind, tables};
use ampwalk_core::import::Sheet;

/// A house with a bit of everything, in few lines; an invented place.
pub const HOUSE: &str = include_str!("house.toml");

/// Files of a folder of this one, in the order of their names.
pub fn files(folder: &str) -> Vec<(String, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests").join(folder);
    let entries = fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut files: Vec<(String, Vec<u8>)> = entries
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap()))
        .collect();
    files.sort();
    files
}

fn contents(folder: &str) -> Vec<Vec<u8>> {
    files(folder).into_iter().map(|(_, bytes)| bytes).collect()
}

/// What broke a target once.
fn kept(target: &str) -> Vec<Vec<u8>> {
    let files = files("fuzz/kept").into_iter().filter(|(name, _)| name.starts_with(&format!("{target}_")));
    files.map(|(_, bytes)| bytes).collect()
}

/// Plans, good and broken. The small house more than once: it is quick, and has no faults of its own.
pub fn plans() -> Vec<Vec<u8>> {
    let mut plans = contents("../examples");
    plans.extend(contents("plans/invalid"));
    plans.extend(contents("plans"));
    plans.extend(kept("plan"));
    plans.extend(std::iter::repeat_n(HOUSE.as_bytes().to_vec(), 60));
    plans.push(HOUSE.replace('\n', "\r\n").into_bytes());
    plans.push(format!("\u{feff}{HOUSE}").into_bytes());
    plans
}

/// Every table, key and word of the format, and the marks between.
pub fn words_of_plans() -> Vec<String> {
    let mut words: Vec<String> = [
        "=",
        " = ",
        "\n",
        "\r\n",
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        ",",
        ".",
        "#",
        "\"",
        "'",
        "\"\"\"",
        "'''",
        "\\",
        "\\u0041",
        "true",
        "false",
        "ampwalk = 1\n",
        "ampwalk = 2\n",
        "[[trace]]\n",
        "[[trip]]\n",
    ]
    .map(str::to_owned)
    .to_vec();
    for table in tables() {
        words.push(format!("\n[{}.A]\n", table.name));
        words.push(format!("{}.", table.name));
        for key in table.keys {
            words.push(format!("\n{} = ", key.name));
            if let Kind::Choice(choices) = key.kind {
                words.extend(choices.iter().map(|word| format!("\"{word}\"")));
            }
        }
    }
    let ids =
        ["P1", "P2", "RA", "PR1", "G1", "G2", "X1", "A", "B", "day", "night", "hall", "b20", "four", "house"];
    words.extend(ids.map(|id| format!("\"{id}\"")));
    words
}

/// Sheets of both kinds, by every separator.
pub fn sheets() -> Vec<Vec<u8>> {
    let mut sheets = contents("fuzz/sheets");
    sheets.extend(kept("sheet"));
    sheets
}

/// Headings, units and cells.
pub fn words_of_sheets() -> Vec<String> {
    let mut words: Vec<String> = [
        ",",
        ";",
        "\t",
        "\"",
        "\"\"",
        "\n",
        "\r\n",
        "\r",
        "'",
        "part,",
        "note,",
        "sheet,",
        "socket,",
        "hall",
        "G1",
        "G2",
        "G9",
        "A",
        "B",
        "Z",
        "P1",
        "RA",
        "ok",
        "no earth",
        "reversed?",
        "15/20",
        "r10/15 off fridge",
        "(ft)",
        "(kg)",
        "0,5",
        "1.5",
        "3 m",
        "1,200",
        "au-10",
        "led-300",
        "yes",
        "L1",
    ]
    .map(str::to_owned)
    .to_vec();
    for sheet in Sheet::ALL {
        for column in sheet.columns() {
            words.push(format!(",{}", column.heading));
            words.push(format!(",{} ({})", column.heading, column.unit));
        }
    }
    words
}

/// Lines of every subject; the first letter says which.
pub fn lines() -> Vec<Vec<u8>> {
    const LINES: [&str; 22] = [
        "0yard generator 6.5kVA 5kW diesel",
        "0house mains star 63A",
        "1RB 30mA type A behind RA",
        "2P3 C20 house RA \"laundry and outside\" gate 0.3A",
        "2P1 b16 L1 base 0.5A oven* 3A 2mA",
        "3attic level 2 \"Attic\"",
        "4den floor ground 6x9 wet",
        "5G9 hall 2x10 ok p1?",
        "5G1 @2,8 plate 20A plate K loop 0.6 portable PR1 ban \"not ours\"",
        "6G1 r15/20 off fridge >RA on A,B",
        "6G2 r-/10",
        "7P1 off G1 G2 dead A live",
        "7RA dropped G1 dead",
        "8Z led600 hall G1 b20 pin !7",
        "8A 1.35kW 240V pf 0,9 leak 2 idle 0.5 strike 4",
        "9c15 15m 2,5mm2 x4",
        "9b20 50ft 12awg",
        ":two 2 ways uk-13",
        ";day 09:00 4h30 on=A,B",
        ";night 22:00-02:00 rain on A",
        "5\"\"",
        "8",
    ];
    let mut lines: Vec<Vec<u8>> = LINES.map(|line| line.as_bytes().to_vec()).to_vec();
    lines.extend(kept("line"));
    lines
}

/// Parts of lines.
pub fn words_of_lines() -> Vec<String> {
    const WORDS: &str = "G1 G2 G9 A B Z P1 p2? P2? RA PR1 house ground hall wash b20 four day 2x10 2x 10A 15mA 3-5mA \
        20m 50ft 2,5mm2 12awg #10 2/0awg 1.35kW 650W 240V ok rev noe dead r15/20 r-/10 r20+ r10/15>RA off fridge on \
        A,B @2,8 @-1.5;2,5 plate K 20A ban portable loop 0.6 label led600 t2k pf 0,9 leak idle +10mA strike 4 pin !7 \
        C20 b16 30mA type F behind 4p mains generator star split L1 L1-L2 L1-L2-L3 6.5kVA 3kW 0 -1 wet outdoor 6x9 4h \
        4h30 09:00 22:00-02:00 on=A,B oven* base name= keep \" \"\" = , ; - + ? ! @ # * > / : ( )";
    WORDS.split_whitespace().flat_map(|word| [format!(" {word}"), format!("{word} ")]).collect()
}

/// Keys: each byte is one, after three that say which plan and how large the screen.
pub fn keys() -> Vec<Vec<u8>> {
    const KEYS: [&str; 14] = [
        "0PP1\n2\n3\n4\n5\n",
        "1PP:new socket\nG9 hall 2x10\n",
        "2PPe\x08\x08\x08 20A\nu",
        "3PPa\x1bA\x1bUU",
        "0pP!\n\n\n\n",
        "1PPi\x0c\x0c\n",
        "2PPd\nD\nR\n",
        "3PP/hall\n\t\t\t",
        "0PPm\x0e\x0e\nuU",
        "1((1 2 3 4 5 ?",
        "2PP:\x10\x10\nx",
        "0PPt\nE\nr",
        "4PPnG9 hall\n",
        "5PP\x0e\x0e\n",
    ];
    let mut keys: Vec<Vec<u8>> = KEYS.map(|keys| keys.as_bytes().to_vec()).to_vec();
    keys.extend(kept("keys"));
    keys
}
