//! Inputs made from others: bits turned, blocks copied, two spliced, words and numbers put in.

/// Dice that fall the same for the same seed (xorshift of 64 bits, Marsaglia 2003).
pub struct Dice(u64);

impl Dice {
    /// Dice of their own for every number.
    pub fn of(number: u64) -> Self {
        let mut dice = Self(number.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        dice.roll(2);
        dice.roll(2);
        dice
    }

    /// From 0 to one less than `sides`.
    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 32).unwrap() % sides
    }

    /// One of a list that is not empty.
    pub fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.roll(all.len())]
    }
}

/// No input is longer, in bytes; one in sixteen may be so long, the others are kept shorter.
const LONGEST: usize = 64 << 10;
const USUAL: usize = 12 << 10;

/// Numbers at and beyond every edge.
const NUMBERS: [&str; 34] = [
    "0",
    "-0.0",
    "-1",
    "1e400",
    "-1e400",
    "1e-400",
    "nan",
    "-nan",
    "inf",
    "+inf",
    "0x",
    "0xg",
    "0b2",
    "0o8",
    "0xffffffffffffffffff",
    "1_000",
    "1__0",
    "_1",
    "1e",
    "1.e5",
    ".5",
    "00",
    "9223372036854775807",
    "9223372036854775808",
    "-9223372036854775809",
    "18446744073709551616",
    "4294967296",
    "1e308",
    "5e-324",
    "0.1000000000000000055511151231257827",
    "2026-13-45",
    "0000-01-01T00:00:60Z",
    "24:60",
    "99999-12-31",
];

/// What acts on a terminal, a page or a spreadsheet, reorders, hides, or piles up.
pub const ACTS: [&str; 30] = [
    "\u{1b}[2J",
    "\u{1b}]52;c;ZXZpbA==\u{7}",
    "\u{1b}]8;;http://x/\u{1b}\\",
    "\u{1b}P$q\u{1b}\\",
    "\u{9b}31m",
    "\u{9d}0;x\u{9c}",
    "\u{90}q\u{9c}",
    "\u{85}",
    "\u{7f}",
    "\0",
    "\u{7}",
    "\u{8}\u{8}",
    "\r",
    "\u{c}",
    "\u{202e}",
    "\u{2066}\u{2069}",
    "\u{200f}\u{61c}",
    "\u{200b}\u{200d}\u{2060}",
    "\u{feff}",
    "\u{ad}",
    "\u{e0041}\u{e007f}",
    "\u{fe0f}\u{e0100}",
    "\u{2028}\u{2029}",
    "\u{fff9}\u{fffb}",
    "\u{180e}\u{115f}\u{3164}",
    "e\u{301}\u{302}\u{303}\u{327}\u{338}",
    "\\u001b",
    "\\U000e0001",
    "=1+1",
    "\u{ff1d}cmd|' /C'!A0",
];

/// What opens and does not close.
const OPENING: [&str; 12] = ["[", "{a=", "a.", "[[", "\"", "\"\"\"", "'", "'''", "(", "{", "[a.", "\n[a."];

/// An input made of the seeds: by this number always the same.
pub fn input(number: u64, seeds: &[Vec<u8>], words: &[String]) -> Vec<u8> {
    let mut dice = Dice::of(number);
    let mut bytes = seeds[dice.roll(seeds.len())].clone();
    let steps = 1 + dice.roll(4) + if dice.roll(8) == 0 { dice.roll(24) } else { 0 };
    for _ in 0..steps {
        step(&mut dice, &mut bytes, seeds, words);
    }
    bytes.truncate(if dice.roll(16) == 0 { LONGEST } else { USUAL });
    bytes
}

fn step(dice: &mut Dice, bytes: &mut Vec<u8>, seeds: &[Vec<u8>], words: &[String]) {
    let at = dice.roll(bytes.len() + 1);
    match dice.roll(18) {
        0 if at < bytes.len() => bytes[at] ^= 1 << dice.roll(8),
        1 if at < bytes.len() => bytes[at] = u8::try_from(dice.roll(256)).unwrap(),
        2 => put(bytes, at, &[u8::try_from(dice.roll(256)).unwrap()]),
        3 => {
            let end = (at + 1 + dice.roll(60)).min(bytes.len());
            bytes.drain(at.min(end)..end);
        }
        4 => {
            let (from, to) = block(dice, bytes);
            let copied = bytes[from..to].to_vec();
            let times = if dice.roll(32) == 0 { 2000 } else { 1 + dice.roll(3) };
            put(bytes, to, &copied.repeat(times.min(LONGEST / (copied.len() + 1) + 1)));
        }
        5 => {
            let other = &seeds[dice.roll(seeds.len())];
            let from = dice.roll(other.len() + 1);
            bytes.truncate(at);
            bytes.extend_from_slice(&other[from..]);
        }
        6 => {
            let other = &seeds[dice.roll(seeds.len())];
            let (from, to) = block(dice, other);
            let (piece, at) = (other[from..to].to_vec(), line_start(bytes, at));
            put(bytes, at, &piece);
        }
        7 | 8 => put(bytes, at, words[dice.roll(words.len())].as_bytes()),
        9 | 10 => {
            let number = hostile_number(dice);
            let (from, to) = run_of(bytes, at, |byte| byte.is_ascii_digit() || byte == b'.');
            bytes.splice(from..to, number.bytes());
        }
        11 => put(bytes, at, dice.one_of(&ACTS).repeat(1 + dice.roll(3)).as_bytes()),
        12 => {
            let deep = if dice.roll(16) == 0 { 20_000 } else { 1 + dice.roll(300) };
            put(bytes, at, dice.one_of(&OPENING).repeat(deep).as_bytes());
        }
        13 | 14 => {
            // A word in the place of another one: what is named is there, and is something else.
            let is_of_word = |byte: u8| byte.is_ascii_alphanumeric() || b"-_?@/".contains(&byte);
            let there = dice.roll(bytes.len() + 1);
            let (from, to) = run_of(bytes, there, is_of_word);
            let word = bytes[from..to].to_vec();
            let (from, to) = run_of(bytes, at, is_of_word);
            bytes.splice(from..to, word);
        }
        15 => {
            let (from, to) = block(dice, bytes);
            let moved: Vec<u8> = bytes.drain(from..to).collect();
            let at = line_start(bytes, at.min(bytes.len()));
            put(bytes, at, &moved);
        }
        16 => {
            let (from, to) = run_of(bytes, at, |byte| !byte.is_ascii_whitespace());
            bytes.splice(from..to, words[dice.roll(words.len())].bytes());
        }
        _ => bytes.truncate(at),
    }
    bytes.truncate(2 * LONGEST);
}

fn put(bytes: &mut Vec<u8>, at: usize, what: &[u8]) {
    let at = at.min(bytes.len());
    bytes.splice(at..at, what.iter().copied());
}

fn hostile_number(dice: &mut Dice) -> String {
    match dice.roll(12) {
        0 => "9".repeat(1 + dice.roll(2000)),
        1 => format!("0.{}1", "0".repeat(dice.roll(2000))),
        2 => format!("{}e{}", dice.roll(10), dice.roll(1_000_000)),
        3 => dice.roll(20_000).to_string(),
        _ => dice.one_of(&NUMBERS).to_owned(),
    }
}

/// A few whole lines.
fn block(dice: &mut Dice, bytes: &[u8]) -> (usize, usize) {
    let from = line_start(bytes, dice.roll(bytes.len() + 1));
    let mut to = from;
    for _ in 0..=dice.roll(6) {
        to = bytes[to..].iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |feed| to + feed + 1);
    }
    (from, to)
}

fn line_start(bytes: &[u8], at: usize) -> usize {
    bytes[..at].iter().rposition(|byte| *byte == b'\n').map_or(0, |feed| feed + 1)
}

/// The run of such bytes around a place; empty where there is none.
fn run_of(bytes: &[u8], at: usize, is_of_it: impl Fn(u8) -> bool) -> (usize, usize) {
    let at = at.min(bytes.len());
    let from = bytes[..at].iter().rposition(|byte| !is_of_it(*byte)).map_or(0, |before| before + 1);
    let to = bytes[at..].iter().position(|byte| !is_of_it(*byte)).map_or(bytes.len(), |after| at + after);
    (from, to)
}
