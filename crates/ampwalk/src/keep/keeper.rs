//! A thread that keeps the open plan, so that no key ever waits for a disk.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use super::disk::Disk;
use super::keeping::{Keeping, Left, Report};
use super::lock;

/// How often the file is looked at. It is read when it has stayed as it is from one look to the next: what
/// another program writes is noticed within a second.
const LOOK: Duration = Duration::from_millis(250);

/// What is asked of the thread.
#[derive(Debug)]
enum Order {
    Keep { text: String, seen: u64 },
    SetAside(String),
    Close,
}

/// Keeps the open plan.
#[derive(Debug)]
pub struct Keeper {
    orders: Sender<Order>,
    thread: Option<JoinHandle<Left>>,
}

/// A plan that was opened.
#[derive(Debug)]
pub struct Opened {
    /// Keeps it.
    pub keeper: Keeper,
    /// Who else has it open, in words.
    pub held_by: Option<String>,
    /// What there is to tell before anything else.
    pub reports: Vec<Report>,
}

impl Keeper {
    /// Begins to keep the plan at `path`, which says `on_disk`; what there is to tell goes to `tell`.
    ///
    /// # Errors
    /// Where the system gives no thread.
    pub fn start(
        path: &Path,
        on_disk: &str,
        elsewhere: Option<PathBuf>,
        since: &str,
        tell: impl Fn(Report) + Send + 'static,
    ) -> io::Result<Opened> {
        let who = lock::ourselves(since);
        let mut keeping = Keeping::open(Disk::default(), path, on_disk, elsewhere, who);
        let held_by = keeping.held_by().map(str::to_owned);
        let (orders, receiver) = channel();
        let reports = keeping.first_reports();
        let builder = thread::Builder::new().name("keeper".to_owned());
        let thread = builder.spawn(move || work(keeping, &receiver, &tell))?;
        Ok(Opened { keeper: Self { orders, thread: Some(thread) }, held_by, reports })
    }

    /// Keeps a text; `seen` is the last change by others that it has in it.
    pub fn keep(&self, text: String, seen: u64) {
        // It ends only with us.
        let _ = self.orders.send(Order::Keep { text, seen });
    }

    /// Puts a text beside the plan.
    pub fn set_aside(&self, text: String) {
        let _ = self.orders.send(Order::SetAside(text));
    }

    /// Waits until all is on disk that can be.
    pub fn close(mut self) -> Option<Left> {
        self.end()
    }

    fn end(&mut self) -> Option<Left> {
        let thread = self.thread.take()?;
        let _ = self.orders.send(Order::Close);
        thread.join().ok()
    }
}

impl Drop for Keeper {
    /// Also where the screens end by a panic: what was handed in comes to the disk.
    fn drop(&mut self) {
        self.end();
    }
}

fn work(mut keeping: Keeping, orders: &Receiver<Order>, tell: &impl Fn(Report)) -> Left {
    loop {
        match orders.recv_timeout(LOOK) {
            Ok(Order::Keep { text, seen }) => {
                // What came meanwhile is saved in one go; each hears how it went.
                let mut last = (text, seen, 1);
                let next = loop {
                    match orders.try_recv() {
                        Ok(Order::Keep { text, seen }) => last = (text, seen, last.2 + 1),
                        other => break other.ok(),
                    }
                };
                let (text, seen, count) = last;
                for report in keeping.keep(&text, seen) {
                    let times =
                        if matches!(report, Report::Saved(_) | Report::Superseded) { count } else { 1 };
                    (0..times).for_each(|_| tell(report.clone()));
                }
                match next {
                    Some(Order::SetAside(text)) => tell(keeping.set_aside(&text)),
                    Some(Order::Close) => return keeping.close(),
                    Some(Order::Keep { .. }) | None => {}
                }
            }
            Ok(Order::SetAside(text)) => tell(keeping.set_aside(&text)),
            Err(RecvTimeoutError::Timeout) => keeping.look().into_iter().for_each(tell),
            Ok(Order::Close) | Err(RecvTimeoutError::Disconnected) => return keeping.close(),
        }
    }
}
