//! From a plan to a placement and back: which heads move where, proven as far as it is, and why not where
//! a head stays dark.
//!
//! The laws stay where they are. What a head does at a socket on its own is asked of the same checks as a
//! head in hand; sums come from the assessment with every head lifted; and every answer is assessed as a
//! whole before it is given. What only the whole shows (phasors, shared neutrals, a crew's own order) is
//! learned from there: what may not stand together is forbidden, and the problem solved again.

mod build;
mod leads;
mod outcome;
pub(crate) mod repatch;
mod spot;
pub mod verdict;
mod why;

use std::sync::Arc;

use crate::assess::{Assessment, assess};
use crate::edit::{Edit, Override};
use crate::network::{HeadAt, Network, SetupAt, SocketAt};
use crate::plan::{Placement, SupplyKind};

use super::{Answer, Effort, Level, Progress, Score, solve};
use build::Built;
use outcome::Judge;
pub use why::WhyNot;

/// Where unpinned heads start from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Start {
    /// From where they are: each that leaves its socket is a move.
    #[default]
    AsPlanned,
    /// From nowhere: where they are is forgotten.
    Fresh,
    /// From where they are, and there they stay, whatever that breaks: only the others are placed, and
    /// nothing is added to a limit that is broken already.
    Staying,
}

/// What becomes of sockets that nobody put the tester into.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Untested {
    /// They are left out.
    #[default]
    LeftOut,
    /// They may be used.
    LetIn,
}

/// Whose power heads may be put on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sources {
    /// Whatever the plan has.
    #[default]
    All,
    /// The mains, and battery stations that the plan has.
    MainsAndBatteries,
    /// The mains only.
    Mains,
}

impl Sources {
    /// Whether a supply of this kind is among them.
    #[must_use]
    pub const fn has(self, kind: SupplyKind) -> bool {
        match self {
            Self::All => true,
            Self::MainsAndBatteries => !matches!(kind, SupplyKind::Generator),
            Self::Mains => matches!(kind, SupplyKind::Mains),
        }
    }
}

/// What is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wishes {
    /// Where unpinned heads start from.
    pub start: Start,
    /// What becomes of untested sockets.
    pub untested: Untested,
    /// Whose power may be used; what is pinned stays where it is all the same.
    pub sources: Sources,
    /// How much is tried.
    pub effort: Effort,
}

/// One head that goes somewhere else.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// The setup, where it has a socket of its own for the head; else all that have none.
    pub setup: Option<SetupAt>,
    /// The head.
    pub head: HeadAt,
    /// Where it is now.
    pub from: Option<SocketAt>,
    /// Where it goes; `None`: unplugged.
    pub to: Option<SocketAt>,
    /// What the plan says of it then.
    pub placement: Option<Placement>,
}

/// What a placement comes to at each level, in the units that people read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Objective {
    /// Importance of heads that stay dark, added up.
    pub dark_importance: i64,
    /// Generators in use.
    pub on_generator: i64,
    /// Chances that an RCD drops while heads are struck, added up over RCDs and setups.
    pub odds: f64,
    /// Heads that are moved.
    pub moves: i64,
    /// Metres of lead.
    pub lead_m: f64,
}

impl Objective {
    #[expect(clippy::cast_precision_loss, reason = "centimetres of lead and millionths, far under 2^53")]
    fn of(score: &Score) -> Self {
        Self {
            dark_importance: score.of(Level::Dark),
            on_generator: score.of(Level::Generator),
            odds: score.of(Level::Odds) as f64 / 1e6,
            moves: score.of(Level::Moves),
            lead_m: score.of(Level::Metres) as f64 / 100.0,
        }
    }
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Assignment {
    /// How sure it is.
    pub answer: Answer,
    /// Heads that go somewhere else.
    pub moves: Vec<Move>,
    /// Heads that stay dark, with the setup where it has its own socket for the head.
    pub unplaced: Vec<(Option<SetupAt>, HeadAt)>,
    /// What it comes to.
    pub objective: Objective,
    /// What no placement can beat, level by level, with those above it as in `objective`.
    pub bound: Objective,
    /// How full the fullest circuit is, percent.
    pub tightest_percent: f64,
    /// Why heads stay dark: one at least for each that does.
    pub why_not: Vec<WhyNot>,
    /// The plan with the moves done, resolved.
    pub network: Network,
    /// What that comes to.
    pub assessment: Assessment,
}

impl Assignment {
    /// The moves as one edit; `None` where there are none.
    #[must_use]
    pub fn edit(&self) -> Option<Edit> {
        let network = &self.network;
        let of_move = |moved: &Move| {
            let head = network.head_id(moved.head).clone();
            let placement = moved.placement.clone();
            match moved.setup {
                None => Edit::Plug { head, placement },
                Some(setup) => Edit::PlugForSetup {
                    setup: network.setup_id(setup).clone(),
                    head,
                    placement: placement.map_or(Override::Unplugged, Override::Plugged),
                },
            }
        };
        let edits: Vec<Edit> = self.moves.iter().map(of_move).collect();
        let label = match edits.len() {
            0 => return None,
            1 => "Move 1 head".to_owned(),
            count => format!("Move {count} heads"),
        };
        Some(Edit::Many { edits, label })
    }
}

/// How often what the whole shows is learned from, at most.
const LESSONS: usize = 8;
/// What so many heads do together excludes one placement of very many: nothing is learned from it.
const TELLING: usize = 24;

/// Puts every head on a socket, as far as that goes.
///
/// `go_on` is told how far it is and asked whether to go on; once it says no, the best so far comes back.
#[must_use]
pub fn assign(network: &Network, wishes: Wishes, go_on: &mut dyn FnMut(&Progress) -> bool) -> Assignment {
    let mut last = None;
    // The progress of another problem would be taken for that of the one before.
    let best = best_of(network, wishes, &mut |part, now| {
        if part == Part::First {
            last = Some(*now);
        }
        go_on(last.as_ref().unwrap_or(now))
    });
    let mut assignment = finished(network, &best);
    if assignment.answer != Answer::None && !assignment.unplaced.is_empty() {
        let mut repeating = |now: &Progress| go_on(last.as_ref().unwrap_or(now));
        assignment.why_not = why::why_not(network, &best, &assignment, wishes, &mut repeating);
    }
    assignment
}

/// Whose progress is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    /// Of the problem as it was built.
    First,
    /// Of the same with looser rows.
    Again,
}

/// A problem, and where it led.
struct Attempt {
    built: Built,
    chosen: Vec<Option<usize>>,
    answer: Answer,
    bound: Score,
}

impl Attempt {
    fn score(&self) -> Score {
        super::state::score_of(&self.built.problem, &self.chosen)
    }

    /// How full the fullest circuit is, percent.
    #[expect(clippy::cast_precision_loss, reason = "thousandths")]
    fn tightest_percent(&self) -> f64 {
        super::tightest(&self.built.problem, &self.chosen) as f64 / 10.0
    }
}

/// Solves, learns from what the whole shows, and solves again.
fn attempt(
    mut built: Built,
    judge: &Judge<'_>,
    effort: Effort,
    go_on: &mut dyn FnMut(&Progress) -> bool,
) -> Attempt {
    let mut solution = solve(&built.problem, effort, go_on);
    let mut learned = solution.answer == Answer::None;
    for _ in 0..LESSONS {
        if learned {
            break;
        }
        let lessons = outcome::lessons(judge, &built, &solution.chosen);
        learned = lessons.is_empty();
        if lessons.iter().any(|(_, set)| set.len() > TELLING) {
            break;
        }
        if !learned {
            for (rule, set) in lessons {
                built.problem.excluded.push(set);
                built.learned.push(rule);
            }
            solution = solve(&built.problem, effort, go_on);
        }
    }
    let mut answer = solution.answer;
    if !learned {
        outcome::lift_the_rest(judge, &built, &mut solution.chosen);
        answer = Answer::Feasible;
    }
    Attempt { built, chosen: solution.chosen, answer, bound: solution.bound }
}

/// Solves a problem some of whose rows hold back more than the law does: what they leave dark is tried without
/// them, and what they prove holds only where it holds without them as well.
fn settled(
    built: Built,
    judge: &Judge<'_>,
    effort: Effort,
    watch: &mut dyn FnMut(Part, &Progress) -> bool,
) -> Attempt {
    let mut best = attempt(built, judge, effort, &mut |now| watch(Part::First, now));
    let mut go_on = |now: &Progress| watch(Part::Again, now);
    let order = best.built.problem.order();
    if best.answer != Answer::None
        && let Some(looser) = best.built.looser()
    {
        let score = best.score();
        if score.of(Level::Dark) > 0 {
            let looser = Built { problem: looser, ..best.built.clone() };
            let mut again = attempt(looser, judge, effort, &mut go_on);
            if again.score().in_order(&order) >= score.in_order(&order) {
                again = Attempt { bound: again.bound, answer: Answer::Feasible, ..best };
            }
            best = again;
        } else {
            let relaxed = solve(&looser, effort, &mut go_on);
            let mut told = order.iter().take_while(|level| **level != Level::Unprotected);
            let is_met = relaxed.answer == Answer::Optimal
                && told.all(|level| relaxed.score.of(*level) >= score.of(*level));
            if !is_met {
                (best.answer, best.bound) = (Answer::Feasible, relaxed.bound);
            }
        }
    }
    if best.built.holds_back && best.answer == Answer::Optimal {
        best.answer = Answer::Feasible;
    }
    best
}

/// The best placement, as far as it was looked for.
fn best_of(network: &Network, wishes: Wishes, watch: &mut dyn FnMut(Part, &Progress) -> bool) -> Attempt {
    let built = build::build(network, wishes);
    let judge = |built: &Built, chosen: &[Option<usize>]| outcome::broken_parties(network, built, chosen);
    settled(built, &judge, wishes.effort, watch)
}

/// The same, without telling why not.
fn placed(network: &Network, wishes: Wishes, watch: &mut dyn FnMut(Part, &Progress) -> bool) -> Assignment {
    finished(network, &best_of(network, wishes, watch))
}

fn finished(network: &Network, best: &Attempt) -> Assignment {
    let Attempt { built, chosen, answer, bound } = best;
    let (answer, score) = (*answer, best.score());
    let (moves, plan) = if answer == Answer::None {
        (Vec::new(), Arc::clone(&network.plan))
    } else {
        (outcome::moves(network, built, chosen), Arc::new(outcome::plan_with(network, built, chosen)))
    };
    let unplaced = if answer == Answer::None { Vec::new() } else { outcome::unplaced(built, chosen) };
    let after = Network::of(plan);
    let assessment = assess(&after);
    Assignment {
        answer,
        moves,
        unplaced,
        objective: Objective::of(&score),
        bound: Objective::of(bound),
        tightest_percent: best.tightest_percent(),
        why_not: Vec::new(),
        network: after,
        assessment,
    }
}
