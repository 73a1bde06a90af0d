//! What may come in: from the terminal, and from the system. Each has a thread that waits for it.

mod late;

use std::io;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Instant;

use ampwalk_tui::event::Event;
use crossterm::event::{Event as Raw, MouseEventKind};

/// What came in.
#[derive(Debug)]
pub enum Input {
    /// For the model.
    Event(Event),
    /// For the host.
    #[cfg_attr(not(unix), expect(dead_code, reason = "only Unix has signals"))]
    Signal(Signal),
    /// The terminal cannot be read.
    Failed(io::Error),
}

/// What the system asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(not(unix), expect(dead_code, reason = "only Unix has signals"))]
pub enum Signal {
    /// To stop until told otherwise.
    Stop,
    /// To go on after a stop.
    Continue,
    /// To end: this signal.
    End(i32),
}

/// Starts to listen. What else comes in goes by the sender.
///
/// # Errors
/// Where the system gives no thread or no signals.
pub fn start() -> io::Result<(Sender<Input>, Receiver<Input>)> {
    let (sender, receiver) = channel();
    listen_to_signals(sender.clone())?;
    let own = sender.clone();
    thread::Builder::new().name("terminal".to_owned()).spawn(move || listen_to_terminal(&own))?;
    Ok((sender, receiver))
}

fn listen_to_terminal(sender: &Sender<Input>) {
    let mut answers = late::Answers::default();
    let begin = Instant::now();
    loop {
        let input = match crossterm::event::read() {
            Ok(raw) if begin.elapsed() < late::PATIENCE && answers.takes(&raw) => {
                let Some(ground) = answers.take_ground() else { continue };
                Input::Event(Event::Ground(ground))
            }
            Ok(raw) => match event(raw) {
                Some(event) => Input::Event(event),
                None => continue,
            },
            Err(error) => Input::Failed(error),
        };
        let last = matches!(input, Input::Failed(_));
        if sender.send(input).is_err() || last {
            return;
        }
    }
}

/// What the model hears of what the terminal says.
fn event(raw: Raw) -> Option<Event> {
    match raw {
        Raw::Key(key) => Some(Event::Key(key)),
        // Nothing follows a pointer that only passes by: drawing for it would be work for nothing.
        Raw::Mouse(mouse) if mouse.kind == MouseEventKind::Moved => None,
        Raw::Mouse(mouse) => Some(Event::Mouse(mouse)),
        Raw::Resize(width, height) => Some(Event::Resize { width, height }),
        Raw::Paste(text) => Some(Event::Paste(text)),
        Raw::FocusGained | Raw::FocusLost => None,
    }
}

#[cfg(unix)]
fn listen_to_signals(sender: Sender<Input>) -> io::Result<()> {
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP};
    use signal_hook::iterator::Signals;

    let mut signals = Signals::new([SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGCONT])?;
    thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for signal in signals.forever() {
            let input = match signal {
                SIGTSTP => Signal::Stop,
                SIGCONT => Signal::Continue,
                other => Signal::End(other),
            };
            if sender.send(Input::Signal(input)).is_err() {
                return;
            }
        }
    })?;
    Ok(())
}

#[cfg(not(unix))]
fn listen_to_signals(_: Sender<Input>) -> io::Result<()> {
    Ok(())
}

/// Stops the program until the shell lets it go on.
#[cfg(unix)]
pub fn stop() -> io::Result<()> {
    signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP)
}

/// Other systems do not stop programs.
#[cfg(not(unix))]
pub fn stop() -> io::Result<()> {
    Ok(())
}

/// Ends the program as the signal would have, so that whoever sent it sees that it worked.
#[cfg(unix)]
pub fn end_by(signal: i32) {
    // Where even that fails, the screens are left in the ordinary way.
    let _ = signal_hook::low_level::emulate_default_handler(signal);
}

/// Other systems have no signals.
#[cfg(not(unix))]
pub fn end_by(_: i32) {}
