//! `ampwalk new`: a commented plan to start from, in the region's own volts, outlets and words.

use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;

use ampwalk_core::library::RegionCode;
use ampwalk_core::plan::{Curve, RcdClass, word_of};
use ampwalk_core::rule::words::number;

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

/// A plan of a small place, with the region's own values and words where `@…@` stands.
const STARTING_PLAN: &str = include_str!("new/starting-plan.toml.in");

/// A plan of a small place in a region, with two sockets that nobody tested yet.
fn starting_plan(code: RegionCode) -> String {
    let region = code.region();
    let words = &region.words;
    let size = match code {
        RegionCode::Us | RegionCode::Ca => "awg = 12               # or mm2 = 4",
        _ => "mm2 = 1.5              # or awg = 14",
    };
    let hertz = region.hertz.first().copied().unwrap_or_default();
    let rcd = if words.rcd_long == words.rcd {
        words.rcd.clone()
    } else {
        format!("{}, {}", words.rcd, words.rcd_long)
    };
    let values = [
        ("@code@", code.to_string()),
        ("@name@", region.name.clone()),
        ("@volts@", number(region.volts.0)),
        ("@hertz@", number(hertz)),
        ("@breaker@", number(region.smallest_breaker_a.0)),
        ("@curve@", word_of(&Curve::WORDS, &region.curve).to_owned()),
        ("@outlet@", region.outlet.to_string()),
        ("@rated@", number(region.rcd_rated_ma.0)),
        ("@class@", word_of(&RcdClass::WORDS, &region.rcd_class).to_owned()),
        ("@rcd_what@", rcd),
        ("@earth@", words.earth.clone()),
        ("@board@", words.board.clone()),
        ("@socket@", words.socket.clone()),
        ("@leads@", capitalised(&words.lead)),
        ("@size@", size.to_owned()),
    ];
    values.iter().fold(STARTING_PLAN.to_owned(), |text, (place, value)| text.replace(place, value))
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
            assert!(!text.contains('@'), "{word}: {text}");
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
