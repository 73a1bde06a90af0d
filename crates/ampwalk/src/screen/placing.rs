//! The solver, aside: a thread a question, told by a flag when nobody waits for it any more.

use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::thread;
use std::time::{Duration, Instant};

use ampwalk_core::assess::assess;
use ampwalk_core::file;
use ampwalk_core::network::Network;
use ampwalk_core::solve;
use ampwalk_tui::event::Event;
use ampwalk_tui::placing::{Progress, Request, Wish, answer};

use super::inputs::Input;
use crate::clock;
use crate::handout::{self, Asked, EVERY_FORMAT, Source};
use crate::trouble::{CallTrouble, shown};

/// How often the screens hear how far it is, so that they are drawn ten times a second at most.
const TOLD_EVERY: Duration = Duration::from_millis(100);

/// A question that is being worked out.
#[derive(Debug)]
pub struct Worker {
    number: u64,
    stop: Arc<AtomicBool>,
}

impl Worker {
    /// Starts to work a question out; what comes of it goes where the inputs go. Sheets go to `folder`.
    ///
    /// # Errors
    /// Where the system gives no thread.
    pub fn start(request: Request, folder: PathBuf, inputs: Sender<Input>) -> io::Result<Self> {
        let stop = Arc::new(AtomicBool::new(false));
        let worker = Self { number: request.number, stop: Arc::clone(&stop) };
        thread::Builder::new().name("solver".to_owned()).spawn(move || {
            let ended = catch_unwind(AssertUnwindSafe(|| work(request, &folder, &inputs, &stop)));
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

fn work(mut request: Request, folder: &Path, inputs: &Sender<Input>, stop: &AtomicBool) {
    let (number, from) = (request.number, Instant::now());
    request.effort.prover = ampwalk_exact::prover();
    let mut told = from;
    let mut go_on = |now: &solve::Progress| {
        if told.elapsed() >= TOLD_EVERY {
            told = Instant::now();
            let progress = Progress::of(now, from.elapsed());
            // Where nobody listens, the program is ending.
            let _ = inputs.send(Input::Event(Event::Placing { number, progress }));
        }
        !stop.load(Ordering::Relaxed)
    };
    let answered = match request.wish {
        Wish::HandOut => {
            let outcome = write_sheets(&request, folder, &mut go_on);
            Event::HandedOut { request, outcome }
        }
        _ => answer(request, &mut go_on),
    };
    let _ = inputs.send(Input::Event(answered));
}

/// Writes every sheet of a plan; says what came of it in words for the user.
fn write_sheets(
    request: &Request,
    folder: &Path,
    go_on: &mut dyn FnMut(&solve::Progress) -> bool,
) -> Result<String, String> {
    let words = |trouble: CallTrouble| format!("{}. {}", trouble.message, trouble.remedy);
    let asked = Asked {
        to: folder.to_owned(),
        only: Vec::new(),
        formats: EVERY_FORMAT.to_vec(),
        paper: None,
        now: clock::issue().map_err(words)?,
    };
    let network = Network::of(Arc::new(file::parse(&request.text).plan));
    let assessment = assess(&network);
    let source =
        Source { text: &request.text, network: &network, assessment: &assessment, effort: request.effort };
    let done = handout::hand_out(source, &asked, go_on).map_err(words)?;
    let new = done.sheets.iter().filter(|sheet| !sheet.is_as_before).count();
    let sheets = done.sheets.len();
    Ok(match new {
        0 => format!("All {sheets} sheets in {} say what they said: nothing was written anew", shown(folder)),
        new => format!("{new} of {sheets} sheets have a new letter, in {}", shown(folder)),
    })
}
