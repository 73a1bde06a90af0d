//! Placing heads: a small pure problem, apart from plans, and the engines that solve it.
//!
//! The problem is a generalized assignment with several resources: each head takes one of its choices or
//! stays dark, each choice loads rows (amps of a circuit, ways of a socket, leads on the truck …), leaks
//! through devices, may switch a generator on. What is best is lexicographic: level by level, in the order
//! of [`Problem::levels`]. [`solve`] answers from a greedy start and remove-and-reinsert, then proves level
//! by level with Lagrangian bounds, counting certificates, and a branch and bound; or, where the host hands
//! one in, with a [`Prover`] that takes each level as a linear program over whole numbers.
//!
//! Nothing here has a clock or a thread: the caller is asked again and again whether to go on, and is
//! told the best and the bound so far. With the same problem and a caller that always says yes, the answer
//! is the same.
//!
//! The bounds are those of the Lagrangian relaxation of the rows, by subgradients (Fisher 1981, Management
//! Science 27(1), from memory): any multipliers give a true bound, so rounding them harms no proof.

mod anneal;
mod bound;
mod conflict;
mod engine;
mod filled;
mod front;
mod linear;

pub mod plan;
mod problem;
mod program;
mod prove;
mod search;
mod state;

pub use conflict::{Conflict, Limit, conflict};
pub use engine::{Answer, Effort, Progress, Solution, solve};
pub use plan::verdict;
pub use problem::{Choice, Device, Item, LEVELS, Leak, Level, Load, Problem, Row, Score};
pub use program::{Column, Program, Prove, Proved, Prover, Sum};
pub use state::{Broken, evaluate, tightest};
