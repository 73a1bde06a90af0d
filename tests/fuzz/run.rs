//! Takes a target through its inputs, and tells what came of it.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};
use std::{env, fs};

use crate::mutate;

/// What takes bytes, and what holds for all of them.
pub struct Target {
    /// A word for it.
    pub name: &'static str,
    /// Of a hundred inputs, so many are its.
    pub share: u64,
    /// Inputs where nobody asks for more.
    pub usually: u64,
    /// What inputs are made from.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Words that it understands.
    pub words: fn() -> Vec<String>,
    /// Panics where a law is broken.
    pub check: fn(&[u8]),
}

/// No input may take longer, on any machine that this is likely to run on.
const LONGEST: Duration = Duration::from_millis(100);
/// No process may grow larger, in kB.
const LARGEST_PROCESS: u64 = 256_000;
/// After so many broken laws there is enough to mend.
const ENOUGH: usize = 8;

fn number_in(variable: &str) -> Option<u64> {
    env::var(variable).ok().and_then(|number| number.parse().ok())
}

/// The seeds as they are, then as many inputs as are wanted.
pub fn run(target: &Target) {
    let wanted = number_in("AMPWALK_FUZZ").map(|all| (all * target.share).div_ceil(100));
    let from = number_in("AMPWALK_FUZZ_FROM").unwrap_or(0);
    let (seeds, words) = ((target.seeds)(), (target.words)());
    let mut slowest = (Duration::ZERO, Vec::new());
    let mut broken = Vec::new();
    let begin = Instant::now();
    let numbers = from..from + wanted.unwrap_or(target.usually);
    let made = numbers.clone().map(|number| mutate::input(number, &seeds, &words));
    for input in seeds.iter().cloned().chain(made) {
        let (took, is_kept) =
            if wanted.is_some() { timed(target, &input) } else { (Duration::ZERO, keeps(target, &input)) };
        if !is_kept {
            let smaller = shrunk(target, &input);
            broken.push(written_out(target, "breaks a law", &smaller));
        } else if took > slowest.0 {
            slowest = (took, input);
        }
        if broken.len() >= ENOUGH {
            break;
        }
    }
    if wanted.is_some() {
        figures(target, numbers.end - from, slowest, begin.elapsed(), &mut broken);
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

fn keeps(target: &Target, input: &[u8]) -> bool {
    catch_unwind(AssertUnwindSafe(|| (target.check)(input))).is_ok()
}

/// How long an input takes, and whether it keeps the laws. One that seems to take long gets more chances, and only
/// what it has of a core is counted where the system tells: a machine has other things to do.
fn timed(target: &Target, input: &[u8]) -> (Duration, bool) {
    let mut least = Duration::MAX;
    for _ in 0..5 {
        let (begin, begin_on_core) = (Instant::now(), if least == Duration::MAX { None } else { on_core() });
        let is_kept = keeps(target, input);
        let on_core = begin_on_core.and_then(|begin| on_core()?.checked_sub(begin));
        least = least.min(on_core.unwrap_or_else(|| begin.elapsed()));
        if !is_kept || least <= LONGEST / 2 {
            return (least, is_kept);
        }
    }
    (least, true)
}

/// How long this thread has had a core, where the system tells.
fn on_core() -> Option<Duration> {
    let told = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}

/// What of an input breaks the law as well, found by leaving out halves, quarters and so on.
fn shrunk(target: &Target, input: &[u8]) -> Vec<u8> {
    let mut left = input.to_vec();
    let mut size = left.len() / 2;
    let mut tries = 400;
    while size > 0 && tries > 0 {
        let mut at = 0;
        while at < left.len() && tries > 0 {
            let mut without = left.clone();
            without.drain(at..(at + size).min(left.len()));
            tries -= 1;
            if keeps(target, &without) {
                at += size;
            } else {
                left = without;
            }
        }
        size /= 2;
    }
    left
}

/// Leaves an input where it can be found, and says so.
fn written_out(target: &Target, what: &str, input: &[u8]) -> String {
    let sum = input
        .iter()
        .fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3));
    let path = env::temp_dir().join(format!("ampwalk-{}-{sum:016x}", target.name));
    let is_there = fs::write(&path, input).is_ok();
    let place = if is_there { path.display().to_string() } else { "nowhere".to_owned() };
    let shown: String = input.escape_ascii().to_string().chars().take(600).collect();
    format!("an input of the {} target {what}; it is in {place}: {shown}", target.name)
}

fn figures(
    target: &Target,
    inputs: u64,
    (took, input): (Duration, Vec<u8>),
    all: Duration,
    broken: &mut Vec<String>,
) {
    let peak = peak();
    println!(
        "{}: {inputs} inputs in {:.0} s, {} broken laws or panics, the slowest input {:.1} ms ({} bytes), peak {} MB",
        target.name,
        all.as_secs_f64(),
        broken.len(),
        took.as_secs_f64() * 1000.0,
        input.len(),
        peak.map_or("?".to_owned(), |peak| (peak / 1000).to_string()),
    );
    if took > LONGEST {
        broken.push(written_out(target, &format!("takes {took:?}"), &input));
    }
    if let Some(peak) = peak.filter(|peak| *peak > LARGEST_PROCESS) {
        broken.push(format!("{}: the process grew to {peak} kB", target.name));
    }
}

/// The largest that this process was, in kB, where the system tells.
fn peak() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}
