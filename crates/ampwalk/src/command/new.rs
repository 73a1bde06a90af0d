//! `ampwalk new`: a commented plan to start from, in the region's own volts, outlets and words.

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

use ampwalk_core::library::{Region, RegionCode};
use ampwalk_core::plan::{Curve, RcdClass};

use crate::output::Answer;
use crate::trouble::{CallTrouble, Trouble, in_words, shown};

/// Writes a plan to start from; never over a file that is there.
pub fn new(file: &Path, region: &str) -> Result<Answer, Trouble> {
    let code = RegionCode::WORDS.iter().find(|(word, _)| *word == region).map(|(_, code)| *code);
    let code = code.ok_or_else(|| {
        Trouble::call(format!("there is no region `{region}`"), "`ampwalk library regions` lists them.")
    })?;
    write_new(file, &starting_plan(code))?;
    let name = shown(file);
    Ok(Answer::clear(format!(
        "{name} is written. Open it on the screens with `ampwalk {name}`, or in any editor; `ampwalk check {name}` tells what is wrong in it.\n"
    )))
}

/// Writes a file that does not exist yet.
pub fn write_new(file: &Path, text: &str) -> Result<(), CallTrouble> {
    let name = shown(file);
    let mut created = OpenOptions::new().write(true).create_new(true).open(file).map_err(|error| {
        if error.kind() == io::ErrorKind::AlreadyExists {
            return CallTrouble {
                message: format!("{name} is there already, and nothing is written over it"),
                remedy: "Give another name, or move that one away first.".to_owned(),
            };
        }
        CallTrouble {
            message: format!("{name} cannot be written: {}", in_words(&error)),
            remedy: "Make the folder first, or write to one that you may write to.".to_owned(),
        }
    })?;
    created.write_all(text.as_bytes()).and_then(|()| created.sync_all()).map_err(|error| CallTrouble {
        message: format!("{name} is not all written: {}", in_words(&error)),
        remedy: "Make room on the disk and write it anew.".to_owned(),
    })
}

/// A plan of a small place in a region, with two sockets that nobody tested yet.
fn starting_plan(code: RegionCode) -> String {
    let region = code.region();
    let words = &region.words;
    let (socket, board, lead) = (&words.socket, &words.board, &words.lead);
    let volts = region.volts.0;
    let breaker = region.smallest_breaker_a.0;
    let outlet = &region.outlet;
    let size = match code {
        RegionCode::Us | RegionCode::Ca => "awg = 12               # or mm2 = 4",
        _ => "mm2 = 1.5              # or awg = 14",
    };
    let rcd = rcd(region);
    let curve = curve(region.curve);
    let hertz = region.hertz.first().copied().unwrap_or_default();
    format!(
        r#"# A location for ampwalk: what the building gives, what you plug in, and when it burns.
#
# Everything here is an example: replace it with what you find. Leave out what you do not know;
# nothing is filled in silently, a default that is used is told as assumed.
# Ids are the short names that the crew says aloud: G1, P1, A.
# `ampwalk check` tells what is wrong. It plans, it certifies nothing: local codes and a licensed
# electrician decide.

ampwalk = 1

[location]
name = "My location"
region = "{code}"            # {name}: {volts} V, {hertz} Hz
weather = "dry"          # or "rain": outdoors everything gets stricter
board = "not-found"      # the {board}: "found", "not-found" or "locked"

# Where the power comes from. Without limit_a, the main switch is not checked.
[supply.house]
kind = "mains"           # or "generator", "battery"
wiring = "one"           # one line and neutral; "split": two legs; "star": three lines
volts = {volts}
# limit_a = 63           # a line: main switch or service fuse

{rcd}
# One for each breaker. What is written on the {board} is a hint; a test proves it.
[circuit.P1]
supply = "house"
breaker_a = {breaker}
curve = "{curve}"
rcd = "RA"
# name = "ground floor"
# base = [ {{ name = "fridge", amps = 0.7, leak_ma = 1 }} ]   # what the house has on it

[floor.ground]
level = 0
name = "Ground floor"

[room.living]
floor = "ground"
name = "Living room"
box = [0, 0, 6, 5]       # x, y, width, depth in metres
# wet = true             # bathroom, laundry, pool side
# outdoor = true

# One for each {socket}.
[socket.G1]
room = "living"
at = [0, 2]              # metres
outlet = "{outlet}"         # `ampwalk library outlets` lists the kinds
ways = 2                 # how many plugs it takes
circuit = "P1"           # leave out until it is traced
test = "untested"        # ok, reversed, no-earth, no-neutral, dead, active-on-earth, odd
# ramp = {{ held_ma = 10, tripped_ma = 15 }}   # last step that held, first that tripped

[socket.G2]
room = "living"
at = [6, 2]
outlet = "{outlet}"
circuit = "P1"

# {leads} on the truck, by type.
[cable.a10]
length_m = 10
{size}
count = 4

# What you plug in. `ampwalk library heads` lists the classes; what the nameplate says beats them.
[head.A]
class = "led-300"
room = "living"
at = [2, 2]
socket = "G1"
leads = ["a10"]

[head.B]
class = "led-100"
room = "living"
at = [4, 2]
# socket = "G2"          # without it, the head is not placed

# Which heads burn together, and for how long.
[setup.day]
name = "Day interior"
start = "09:00"
minutes = 240
on = ["A"]               # add "B" once it has a socket
"#,
        name = region.name,
        leads = capitalised(lead),
    )
}

fn rcd(region: &Region) -> String {
    let (word, rated) = (&region.words.rcd, region.rcd_rated_ma.0);
    let class = match region.rcd_class {
        RcdClass::Gfci => "gfci",
        RcdClass::Rcd => "rcd",
        RcdClass::Portable => "portable",
    };
    let what = if &region.words.rcd_long == word {
        word.clone()
    } else {
        format!("{word}, {}", region.words.rcd_long)
    };
    format!(
        "# {what}: what drops when current leaks to {earth}. If there is none, take this table out and\n\
         # `rcd` from the circuit.\n\
         [rcd.RA]\n\
         rated_ma = {rated}\n\
         class = \"{class}\"\n",
        earth = region.words.earth,
    )
}

fn curve(curve: Curve) -> &'static str {
    Curve::WORDS.iter().find(|(_, known)| *known == curve).map_or("C", |(word, _)| *word)
}

fn capitalised(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}s", letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;
    use ampwalk_core::assess::{Verdict, assess};
    use ampwalk_core::file::parse;
    use ampwalk_core::network::Network;
    use std::sync::Arc;

    #[test]
    fn the_starting_plan_of_every_region_is_good_and_no_worse_than_a_risk() {
        for (word, code) in RegionCode::WORDS {
            let text = starting_plan(code);
            let parsed = parse(&text);
            assert!(parsed.problems.is_empty(), "{word}: {:?}\n{text}", parsed.problems);
            assert_eq!(parsed.plan.location.region, Some(code));
            let assessment = assess(&Network::of(Arc::new(parsed.plan)));
            assert!(assessment.verdict <= Verdict::Risk, "{word}: {:?}", assessment.findings);
        }
    }

    #[test]
    fn a_file_that_is_there_is_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("p.toml");
        std::fs::write(&file, "mine").unwrap();
        let trouble = write_new(&file, "yours").unwrap_err();
        assert!(trouble.message.contains("is there already"), "{trouble}");
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    }
}
