//! `ampwalk assign`: every head on a socket, proven as far as it is.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use ampwalk_core::assess::Verdict;
use ampwalk_core::edit::apply;
use ampwalk_core::network::Network;
use ampwalk_core::solve::plan::{Assignment, Start, Untested, Wishes, assign as solve};
use ampwalk_core::solve::{Answer as Sure, Effort};

use crate::input::{self, is_standard_input};
use crate::keep::Home;
use crate::output::{Answer, columns};
use crate::trouble::Trouble;

/// What the command line asks for.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of the command line")]
pub struct Asked {
    /// Forget where unpinned heads are.
    pub fresh: bool,
    /// Let untested sockets in.
    pub untested: bool,
    /// Stop after so long.
    pub seconds: f64,
    /// Save the moves.
    pub write: bool,
    /// For other programs.
    pub json: bool,
}

/// What came of it.
struct Done {
    before: Network,
    assignment: Assignment,
    seconds: f64,
    is_saved: bool,
}

/// Does it.
pub fn assign(plan: &Path, asked: Asked) -> Result<Answer, Trouble> {
    if asked.write && is_standard_input(plan) {
        return Err(Trouble::call(
            "standard input cannot be written to",
            "Give the plan's file, or leave --write out.",
        ));
    }
    let source = input::source(plan)?;
    let good = input::good(&source)?;
    let before = Network::of(Arc::new(good.parsed.plan));
    let wishes = Wishes {
        start: if asked.fresh { Start::Fresh } else { Start::AsPlanned },
        untested: if asked.untested { Untested::LetIn } else { Untested::LeftOut },
        effort: Effort { prover: ampwalk_exact::prover(), ..Effort::default() },
        ..Wishes::default()
    };
    let from = Instant::now();
    let assignment = solve(&before, wishes, &mut |_| from.elapsed().as_secs_f64() < asked.seconds);
    let seconds = from.elapsed().as_secs_f64();
    let is_saved = asked.write && saved(plan, &source.text, &assignment)?;
    let dark = !assignment.unplaced.is_empty() || assignment.answer == Sure::None;
    let done = Done { before, assignment, seconds, is_saved };
    let text = if asked.json { json::text(&done)? } else { people::text(&done, columns()) };
    let verdict = if dark { Verdict::Dark } else { Verdict::Clear };
    Ok(Answer { verdict, text, notes: good.notes })
}

/// Writes the moves into the plan; whether there were any.
fn saved(plan: &Path, text: &str, assignment: &Assignment) -> Result<bool, Trouble> {
    let Some(edit) = assignment.edit() else { return Ok(false) };
    let change = apply(text, &edit).map_err(|refusal| {
        Trouble::call(format!("the moves cannot be written: {}", refusal.message), refusal.remedy)
    })?;
    let mut home = Home::new(plan, text);
    home.save(&change.apply(text)).map_err(|words| Trouble::call(words, "Nothing was written."))?;
    Ok(true)
}
