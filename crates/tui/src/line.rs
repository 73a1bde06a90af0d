//! One line an entry, while it is typed: what it may become, what is said of it, and what it does.

use std::ops::Range;

use ampwalk_core::edit::{Edit, Table, Value};
use ampwalk_core::network::{At, CircuitAt, Network, SetupAt};
use ampwalk_core::plan::Plan;
use ampwalk_core::rule::words::list;
use ampwalk_core::shorthand::{Line, Offer, Status, Subject, complete, read};

/// Something that the line may become.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// A part of it is replaced.
    Word {
        /// What is replaced, in bytes of the line.
        span: Range<usize>,
        /// With what.
        word: String,
    },
    /// Something that it names and that is not there is added first.
    First(Offer),
}

impl Choice {
    /// As a row of a list.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Word { word, .. } => word.clone(),
            Self::First(offer) => format!("add it first: {} {}", offer.subject.noun(), offer.line),
        }
    }
}

/// What the line may become: what was probably meant, what could be added first, and what the word
/// before the cursor begins.
#[must_use]
pub fn choices(plan: &Plan, subject: Subject, text: &str, cursor: usize) -> Vec<Choice> {
    const MOST: usize = 12;
    let line = read(plan, subject, text);
    let mut all: Vec<Choice> = Vec::new();
    for wrong in &line.misread {
        let meant = wrong.suggestions.iter();
        all.extend(meant.map(|word| Choice::Word { span: wrong.span.clone(), word: word.clone() }));
        all.extend(wrong.offer.iter().cloned().map(Choice::First));
    }
    let begun = complete(plan, subject, text, byte_of(text, cursor));
    let same = text.get(begun.span.clone()).unwrap_or_default();
    let words = begun.words.into_iter().filter(|word| word != same);
    all.extend(words.map(|word| Choice::Word { span: begun.span.clone(), word }));
    let mut unlike: Vec<Choice> = Vec::new();
    for choice in all {
        if unlike.len() < MOST && !unlike.contains(&choice) {
            unlike.push(choice);
        }
    }
    unlike
}

/// Where a character stands in a text, in bytes.
fn byte_of(text: &str, cursor: usize) -> usize {
    text.char_indices().nth(cursor).map_or(text.len(), |(at, _)| at)
}

/// The line with a part of it replaced, ready for the next one.
#[must_use]
pub fn with_word(text: &str, span: &Range<usize>, word: &str) -> String {
    let (before, after) = (text.get(..span.start).unwrap_or(text), text.get(span.end..).unwrap_or_default());
    let gap = if after.is_empty() { " " } else { "" };
    format!("{before}{word}{gap}{after}")
}

/// What a whole line does to the plan. A new head is on in the setup that is looked at: whoever adds
/// one there means to light it.
///
/// # Errors
///
/// In words, where a part was not understood or something is missing.
pub fn edit(network: &Network, setup: Option<SetupAt>, line: &Line) -> Result<Edit, String> {
    let own = line.edit().map_err(|refusal| format!("{}. {}", refusal.message, refusal.remedy))?;
    let (Subject::Entry(Table::Head), Status::New(Some(id)), Some(setup)) =
        (line.subject, &line.status, setup)
    else {
        return Ok(own);
    };
    let node = &network.setups[setup];
    let on = node.on.iter().map(|head| network.head_id(*head).as_str()).chain([id.as_str()]);
    let lights = Edit::SetKey {
        of: ampwalk_core::edit::Address::of(Table::Setup, node.id.as_str()),
        key: "on".to_owned(),
        value: Some(Value::texts(on)),
    };
    Ok(Edit::Many { edits: vec![own, lights], label: format!("Add head {id}, on in {}", node.id) })
}

/// What goes dark if what the line tells of is tried now: to be asked before it is done. Empty for
/// lines that are no test.
#[must_use]
pub fn caution(network: &Network, line: &Line) -> String {
    let behind = match line.subject {
        Subject::Ramp => ramped(network, line),
        Subject::Trace => switched_off(network, line),
        Subject::Entry(_) => return String::new(),
    };
    let mut words = match behind {
        Some((device, circuits)) => {
            let loads = loads(network, &circuits);
            let loads = if loads.is_empty() { String::new() } else { format!(": {loads}") };
            format!("Everything behind {device} goes dark{loads}. Ask the owner first.")
        }
        None => "Everything behind what drops goes dark. Ask the owner first.".to_owned(),
    };
    if line.subject == Subject::Ramp {
        words.push_str(" Heads and testers off, start at 10 mA.");
    }
    words
}

/// The RCD nearest to the socket of a ramp test, and the circuits behind it.
fn ramped(network: &Network, line: &Line) -> Option<(String, Vec<CircuitAt>)> {
    let Status::Existing(id) = &line.status else { return None };
    let socket = network.socket(id)?;
    let rcd = network.sockets[socket].portable.or_else(|| network.reach_of(socket).certain_rcds().next())?;
    Some((network.rcd_id(rcd).to_string(), network.rcds[rcd].darkens.clone()))
}

/// The devices that a trace says were off, and the circuits behind them.
fn switched_off(network: &Network, line: &Line) -> Option<(String, Vec<CircuitAt>)> {
    let parts = line
        .parts
        .iter()
        .filter(|part| part.keys.iter().any(|key| ["off", "ramp_dropped", "also_off"].contains(key)));
    let words = parts.flat_map(|part| part.meaning.split(|c: char| c.is_whitespace() || c == ','));
    let devices: Vec<_> =
        words.filter(|word| !word.is_empty()).filter_map(|word| device(network, word)).collect();
    let mut circuits: Vec<CircuitAt> = devices.iter().flat_map(|(_, circuits)| circuits).copied().collect();
    circuits.sort_unstable();
    circuits.dedup();
    (!devices.is_empty()).then(|| (list(devices.iter().map(|(id, _)| id)), circuits))
}

fn device(network: &Network, id: &str) -> Option<(String, Vec<CircuitAt>)> {
    if let Some(circuit) = network.circuit(id) {
        return Some((id.to_owned(), vec![circuit]));
    }
    let rcd = network.rcd(id)?;
    Some((id.to_owned(), network.rcds[rcd].darkens.clone()))
}

/// Base loads of circuits, and why some must not go off.
fn loads(network: &Network, circuits: &[CircuitAt]) -> String {
    let plan = |circuit: &CircuitAt| network.plan.circuits.get_index(circuit.get()).map(|(_, plan)| plan);
    let names = circuits
        .iter()
        .flat_map(|circuit| network.circuits[*circuit].base.iter())
        .filter_map(|base| base.name.clone());
    let kept = circuits.iter().filter_map(plan).filter_map(|plan| plan.keep_on.clone());
    list(names.chain(kept.map(|why| format!("NOT TO GO OFF: {why}"))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::HOUSE;
    use std::sync::Arc;

    fn house() -> Network {
        Network::of(Arc::new(ampwalk_core::file::parse(HOUSE).plan))
    }

    #[test]
    fn a_word_takes_the_place_of_what_was_typed() {
        assert_eq!(with_word("G9 livng ok", &(3..8), "living"), "G9 living ok");
        assert_eq!(with_word("G9 liv", &(3..6), "living"), "G9 living ");
    }

    #[test]
    fn a_slip_offers_what_was_meant() {
        let network = house();
        let found = choices(&network.plan, Subject::Entry(Table::Socket), "G9 livng ok", 11);
        assert!(found.contains(&Choice::Word { span: 3..8, word: "living".to_owned() }), "{found:?}");
    }

    #[test]
    fn a_new_head_is_on_in_the_setup_that_is_looked_at() {
        let network = house();
        let setup = network.setups.indices().next();
        let line = read(&network.plan, Subject::Entry(Table::Head), "Z9 led-600 living");
        let edit = edit(&network, setup, &line).unwrap();
        let change = ampwalk_core::edit::apply(HOUSE, &edit).unwrap();
        let plan = ampwalk_core::file::parse(&change.apply(HOUSE)).plan;
        let (_, first) = plan.setups.get_index(0).unwrap();
        assert!(first.on.iter().any(|head| head.as_str() == "Z9"), "{:?}", first.on);
    }

    #[test]
    fn a_ramp_line_says_what_would_go_dark() {
        let network = house();
        let line = read(&network.plan, Subject::Ramp, "G1 r10/15");
        let words = caution(&network, &line);
        assert!(words.starts_with("Everything behind R"), "{words}");
        assert!(words.contains("Ask the owner first"), "{words}");
        let socket = read(&network.plan, Subject::Entry(Table::Socket), "G9 living");
        assert_eq!(caution(&network, &socket), "");
    }
}
