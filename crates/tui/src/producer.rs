//! The producer's question: whether a generator is needed, and why.
//!
//! It is worked out aside, as placings are ([`crate::placing`]), and shown as a page.

use std::sync::Arc;

use ampwalk_core::file;
use ampwalk_core::network::Network;
use ampwalk_core::solve;
use ampwalk_core::solve::verdict::{Asks, CAUTION, Hire, Need, ProducersAnswer, generator};

use crate::layer::Page;
use crate::placing::Request;

/// What came of the question.
#[derive(Clone, Debug)]
pub struct Answered {
    /// What was asked.
    pub request: Request,
    /// The plan, resolved.
    pub network: Network,
    /// The answer.
    pub answer: ProducersAnswer,
}

/// Works the question out. `go_on` is told how far it is and asked whether to go on; once it says no, what
/// is known so far comes back. Pure: the caller has the clock.
pub fn work_out(request: Request, go_on: &mut dyn FnMut(&solve::Progress) -> bool) -> Answered {
    let network = Network::of(Arc::new(file::parse(&request.text).plan));
    let answer = generator(&network, request.effort, go_on);
    Answered { request, network, answer }
}

/// The answer as it is shown: the word first, then why, what else would do, and what to hire.
pub(crate) fn page(answered: &Answered) -> Page {
    let answer = &answered.answer;
    let title = match answer.need {
        Need::No => "NO generator",
        Need::OnlyIf => "NO generator, IF one of these is done",
        Need::Yes => "YES, a generator",
    };
    let blank = String::new;
    // The caution stands where it is seen on the smallest usual terminal, not under all the rest.
    let mut paragraphs = vec![answer.summary.clone(), CAUTION.to_owned()];
    if answer.was_stopped {
        paragraphs.push("STOPPED before all was tried: this is what is known so far.".to_owned());
    }
    if let Some(reason) = &answer.reason {
        paragraphs.extend([blank(), format!("why   {}", reason.text)]);
    }
    if !answer.ways_out.is_empty() {
        paragraphs.push(blank());
    }
    for (number, way) in (1..).zip(&answer.ways_out) {
        let asks = if way.asks == Asks::Owner { " (the owner decides)" } else { "" };
        paragraphs.push(format!("{number:<4}  {}{asks}", way.action));
    }
    if let Some(hire) = &answer.hire {
        paragraphs.push(blank());
        paragraphs.extend(to_hire(&answered.network, hire, answer.need));
    }
    Page { title: title.to_owned(), paragraphs, scroll: 0 }
}

fn to_hire(network: &Network, hire: &Hire, need: Need) -> Vec<String> {
    let first = if need == Need::OnlyIf { "else  hire" } else { "hire " };
    let outlets: Vec<String> =
        hire.outlets.iter().map(|(outlet, count)| format!("{count} × {outlet}")).collect();
    let mut told = vec![format!("{first} {}; outlets: {}", hire.words(network), outlets.join(", "))];
    told.extend(hire.notes.iter().map(|note| format!("note  {note}")));
    told
}
