//! `ampwalk PLAN`, and `ampwalk` alone: the screens.

use std::io::Write;
use std::path::Path;

use ampwalk_core::file::inert;

use crate::input::{self, Source, is_standard_input};
use crate::keep::NotSaved;
use crate::memory;
use crate::output::Answer;
use crate::screen::{self, Closed, Kind, Shown};
use crate::terminal::must_be_one;
use crate::trouble::{Trouble, in_words, shown};

/// What is offered where there is nothing to open.
const OFFER: &str = "\
No plan was open yet. There are three ways to begin:

  ampwalk demo                        a made-up house, to try everything on a copy
  ampwalk new FILE --region REGION    a commented plan to start from
                                      (au nz uk ie eu it us ca jp)
  ampwalk FILE                        a plan that you have

`ampwalk --help` tells the rest. It plans, it certifies nothing: local codes and a
licensed electrician decide.
";

/// Opens a plan on the screens; without one, the last, or tells how to begin.
pub fn open(plan: Option<&Path>) -> Result<Answer, Trouble> {
    let last = if plan.is_none() { memory::last_plan() } else { None };
    let Some(path) = plan.or(last.as_deref()) else {
        return Ok(Answer::clear(OFFER.to_owned()));
    };
    if is_standard_input(path) {
        return Err(Trouble::call(
            "the screens need a file to save to, not standard input",
            "Write it to a file first, and name that.",
        ));
    }
    let source = input::file(path)?;
    must_be_one()?;
    memory::remember(path);
    on_screens(path, source, Kind::Own)?;
    Ok(Answer::clear(String::new()))
}

/// Runs the screens on a plan.
pub fn on_screens(path: &Path, source: Source, kind: Kind) -> Result<Closed, Trouble> {
    let file_name = path.file_name().map_or_else(|| shown(path), |name| shown(Path::new(name)));
    let plan = Shown { path: path.to_owned(), text: source.text, file_name, kind };
    let closed = screen::run(plan).map_err(|error| {
        Trouble::call(
            format!("the terminal failed: {error:#}"),
            "Your edits are on disk. Open the plan again in another terminal.",
        )
    })?;
    let trouble = closed.unsaved.as_ref().map(rescued);
    if let Some(signal) = closed.signal {
        // The terminal is given back by now.
        screen::end_by(signal);
    }
    trouble.map_or(Ok(closed), Err)
}

/// Says where a plan is that could not be saved; where no journal has it, it is put where it can be found.
fn rescued(unsaved: &NotSaved) -> Trouble {
    if let Some(journal) = &unsaved.journal {
        let remedy = format!("Open the plan again: what is in {} is offered then.", shown(journal));
        return Trouble::call(unsaved.why.clone(), remedy);
    }
    let written =
        tempfile::Builder::new().prefix("ampwalk-").suffix(".toml").tempfile().and_then(|mut file| {
            file.write_all(unsaved.text.as_bytes())?;
            file.as_file().sync_all()?;
            file.keep().map_err(|error| error.error)
        });
    let remedy = match written {
        Ok((_, path)) => format!("The plan as it was on the screens is in {}", shown(&path)),
        Err(error) => format!(
            "A copy in the temporary folder failed too: {}. It is:\n\n{}",
            in_words(&error),
            unsaved.text.split_inclusive('\n').map(|line| inert(line.trim_end()) + "\n").collect::<String>()
        ),
    };
    Trouble::call(unsaved.why.clone(), remedy)
}
