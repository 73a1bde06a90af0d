//! Calls that fail, for the tests.

use std::io::{self, ErrorKind};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Which calls to the system fail, counted from the last [`Faults::set`].
#[derive(Debug)]
pub struct Faults {
    calls: AtomicUsize,
    from: AtomicUsize,
    to: AtomicUsize,
}

impl Default for Faults {
    fn default() -> Self {
        Self {
            calls: AtomicUsize::new(0),
            from: AtomicUsize::new(usize::MAX),
            to: AtomicUsize::new(usize::MAX),
        }
    }
}

impl Faults {
    /// From now on the calls from `from` up to but not `to` fail, counted from 0.
    pub fn set(&self, from: usize, to: usize) {
        self.calls.store(0, Ordering::SeqCst);
        self.from.store(from, Ordering::SeqCst);
        self.to.store(to, Ordering::SeqCst);
    }

    /// From now on none fails.
    pub fn none(&self) {
        self.set(usize::MAX, usize::MAX);
    }

    /// How many calls there were since.
    pub fn calls(&self) -> usize {
        self.calls.load(Ordering::SeqCst)
    }

    pub fn step(&self) -> io::Result<()> {
        let call = self.calls.fetch_add(1, Ordering::SeqCst);
        let fails = (self.from.load(Ordering::SeqCst)..self.to.load(Ordering::SeqCst)).contains(&call);
        if fails { Err(io::Error::from(ErrorKind::StorageFull)) } else { Ok(()) }
    }
}
