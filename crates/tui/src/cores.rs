//! The processor's cores: what takes long is done on all of them.

use std::panic::resume_unwind;
use std::sync::OnceLock;
use std::thread;

use ampwalk_core::workers::Workers;

/// More cores than this do not help: there are no more setups than that in most plans.
const MOST: usize = 4;

/// Work on every core.
#[derive(Clone, Copy, Debug)]
pub struct Cores;

impl Workers for Cores {
    fn hands(&self) -> usize {
        static CORES: OnceLock<usize> = OnceLock::new();
        *CORES.get_or_init(|| thread::available_parallelism().map_or(1, usize::from).min(MOST))
    }

    fn each<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
        let hands = self.hands().min(count);
        if hands < 2 {
            return (0..count).map(job).collect();
        }
        let share = |hand: usize| (hand..count).step_by(hands).map(&job).collect::<Vec<T>>();
        let shares: Vec<Vec<T>> = thread::scope(|scope| {
            let others: Vec<_> = (1..hands).map(|hand| scope.spawn(move || share(hand))).collect();
            let own = share(0);
            let joined =
                others.into_iter().map(|other| other.join().unwrap_or_else(|panic| resume_unwind(panic)));
            std::iter::once(own).chain(joined).collect()
        });
        let mut shares: Vec<_> = shares.into_iter().map(Vec::into_iter).collect();
        (0..count).filter_map(|number| shares[number % hands].next()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_stand_in_the_order_of_their_numbers() {
        for count in [0, 1, 2, 3, 7, 100] {
            let squares: Vec<usize> = (0..count).map(|number| number * number).collect();
            assert_eq!(Cores.each(count, |number| number * number), squares);
        }
    }

    #[test]
    #[should_panic(expected = "job 1")]
    fn a_job_that_panics_is_not_lost() {
        Cores.each(2, |number| assert!(number != 1, "job {number}"));
    }
}
