//! Who does several things of which none hangs on another.
//!
//! Nothing here starts a thread: whoever has some hands them in, and the results are the same.

/// Does jobs that do not hang on each other.
pub trait Workers: Sync {
    /// How many jobs are done at once.
    fn hands(&self) -> usize;

    /// What a job gives for each number below `count`, in their order.
    fn each<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T>;
}

/// One job after the other.
#[derive(Clone, Copy, Debug)]
pub struct OneByOne;

impl Workers for OneByOne {
    fn hands(&self) -> usize {
        1
    }

    fn each<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
        (0..count).map(job).collect()
    }
}
