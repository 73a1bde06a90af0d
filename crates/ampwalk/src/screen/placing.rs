//! The solver, aside: a thread a question, told by a flag when nobody waits for it any more.

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::{Duration, Instant};

use ampwalk_tui::event::Event;
use ampwalk_tui::placing::{Progress, Request, answer};

use super::inputs::Input;

/// How often the screens hear how far it is, so that they are drawn ten times a second at most.
const TOLD_EVERY: Duration = Duration::from_millis(100);

/// A question that is being worked out.
#[derive(Debug)]
pub struct Worker {
    number: u64,
    stop: Arc<AtomicBool>,
}

impl Worker {
    /// Starts to work a question out; what comes of it goes where the inputs go.
    ///
    /// # Errors
    /// Where the system gives no thread.
    pub fn start(request: Request, inputs: Sender<Input>) -> io::Result<Self> {
        let stop = Arc::new(AtomicBool::new(false));
        let worker = Self { number: request.number, stop: Arc::clone(&stop) };
        thread::Builder::new().name("solver".to_owned()).spawn(move || {
            let ended = catch_unwind(AssertUnwindSafe(|| work(request, &inputs, &stop)));
            if ended.is_err() {
                // A panic has given the terminal back: the screens cannot go on.
                let _ = inputs.send(Input::Failed(io::Error::other("the solver broke off")));
            }
        })?;
        Ok(worker)
    }

    /// Stops a question, if it is this one: the best so far comes back.
    pub fn stop(&self, number: u64) {
        if self.number == number {
            self.stop.store(true, Ordering::Relaxed);
        }
    }
}

impl Drop for Worker {
    /// The next question, or the end: nobody waits for this one.
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}

fn work(mut request: Request, inputs: &Sender<Input>, stop: &AtomicBool) {
    let (number, from) = (request.number, Instant::now());
    request.effort.prover = ampwalk_exact::prover();
    let mut told = from;
    let answered = answer(request, &mut |now| {
        if told.elapsed() >= TOLD_EVERY {
            told = Instant::now();
            let progress = Progress::of(now, from.elapsed());
            // Where nobody listens, the program is ending.
            let _ = inputs.send(Input::Event(Event::Placing { number, progress }));
        }
        !stop.load(Ordering::Relaxed)
    });
    let _ = inputs.send(Input::Event(answered));
}
