//! Numbers of an RCD.

use crate::assess::{Certainty, RcdUse, SetupUse, Step, chain, steps};
use crate::network::{HeadAt, Network, RampReading, RcdAt, SetupAt};
use crate::physics::residual::{Outcome, expected_goes, gfci_longest};
use crate::plan::RcdClass;
use crate::rule::words::list;
use crate::unit::MilliAmps;

use super::{Explanation, Term, digits};

fn window(here: &RcdUse) -> String {
    let room = here.room.room;
    match room.high {
        Some(high) => format!("{} to {} mA", digits(room.low.0), digits(high.0)),
        None => format!("{} mA and more: nothing ever dropped it", digits(room.low.0)),
    }
}

pub(super) fn room(network: &Network, used: &SetupUse, rcd: RcdAt) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let mut terms = vec![Term::new(
        "rating IΔn",
        format!("{} mA", digits(node.rated.value.0)),
        node.rated.origin.words(),
    )];
    for reading in &node.readings {
        let socket = &network.sockets[reading.socket].id;
        let what = if reading.passed_through {
            format!("ramp of another device, at {socket}")
        } else {
            format!("ramp at {socket}{}", made_with(network, reading))
        };
        let tripped = match reading.tripped {
            Some(tripped) => format!(", dropped at {} mA", digits(tripped.0)),
            None => ", did not drop".to_owned(),
        };
        terms.push(Term::new(what, format!("held {} mA{tripped}", digits(reading.held.0)), "measured"));
    }
    let base = here.room.base;
    if base.0 > 0.0 {
        terms.push(Term::new("the house's own leakage b", format!("{} mA", digits(base.0)), "from the plan"));
    }
    let (formula, source) = if here.room.tested {
        (
            "room = √(reading² + b²) − b, at the last step that held and the first that dropped it".to_owned(),
            "a tester's current is resistive, filters' leakage capacitive; start at 10 mA: common practice, no source"
                .to_owned(),
        )
    } else if node.class.value == RcdClass::Gfci {
        ("4 to 6 mA, less the house's own leakage".to_owned(), "UL 943, class A".to_owned())
    } else {
        ("½ · IΔn to IΔn, less the house's own leakage".to_owned(), "IEC 61008-1".to_owned())
    };
    let caution = if here.room.absent {
        "A ramp to the end dropped nothing: no RCD there, or it is faulty, or the tester is."
    } else if here.room.conflict {
        "The readings contradict each other; the lower window is used."
    } else if here.room.tested && base.0 == 0.0 {
        "Takes the reading as it is: no leakage of the house's own is known."
    } else if here.room.tested {
        ""
    } else {
        "Not ramp-tested: this is what the standard allows, not what this one does."
    };
    Some(Explanation {
        title: format!("Room left on {}: {}", node.id, window(here)),
        formula,
        worked: window(here),
        terms,
        source,
        caution: caution.to_owned(),
        ..Explanation::default()
    })
}

/// What was off or on while a ramp test was made.
fn made_with(network: &Network, reading: &RampReading) -> String {
    let off = list(reading.off.iter().map(|(circuit, place)| {
        let node = &network.circuits[*circuit];
        let name = node.base.get(*place).and_then(|base| base.name.clone());
        format!("{}.{}", node.id, name.unwrap_or_else(|| (place + 1).to_string()))
    }));
    let off = if off.is_empty() { String::new() } else { format!(", {off} off") };
    if reading.heads_leak > MilliAmps::ZERO {
        return format!("{off}, heads leaking {} mA", digits(reading.heads_leak.0));
    }
    off
}

fn leakage_term(network: &Network, head: HeadAt, perhaps: &str) -> Term {
    let node = &network.heads[head];
    let (standing, strike) = (node.leak.value.high, node.strike.value.high);
    let value = if strike == MilliAmps::ZERO {
        format!("{} mA", digits(standing.0))
    } else {
        format!("{} mA, + {} striking", digits(standing.0), digits(strike.0))
    };
    let origin = node.leak.origin.max(node.strike.origin);
    Term::new(format!("{}{perhaps}", node.id), value, origin.words())
}

fn terms(network: &Network, setup: SetupAt, here: &RcdUse, rcd: RcdAt) -> Vec<Term> {
    let mut terms: Vec<Term> = here.heads.iter().map(|head| leakage_term(network, *head, "")).collect();
    terms.extend(here.possible_heads.iter().map(|head| leakage_term(network, *head, ", perhaps")));
    for (head, certainty) in plugged_but_off(network, setup, rcd) {
        let node = &network.heads[head];
        let perhaps = if certainty == Certainty::Certain { "" } else { ", perhaps" };
        terms.push(Term::new(
            format!("{}, plugged in but off{perhaps}", node.id),
            format!("{} mA", digits(node.idle.value.high.0)),
            node.idle.origin.words(),
        ));
    }
    if let Some(reserve) = network.rcds[rcd].reserve {
        terms.push(Term::new("others, perhaps", format!("{} mA", digits(reserve.0)), "from the plan"));
    }
    terms
}

/// Heads that leak through it without being on.
fn plugged_but_off(
    network: &Network,
    setup: SetupAt,
    rcd: RcdAt,
) -> impl Iterator<Item = (HeadAt, Certainty)> + '_ {
    let node = &network.setups[setup];
    node.placed
        .iter()
        .filter(|(head, _)| !node.is_on[*head] && network.heads[*head].idle.value.high > MilliAmps::ZERO)
        .filter_map(move |(head, placed)| {
            let (_, certainty) = chain(network, placed.as_ref()?.socket).find(|(at, _)| *at == rcd)?;
            Some((head, certainty))
        })
}

pub(super) fn standing(
    network: &Network,
    setup: SetupAt,
    used: &SetupUse,
    rcd: RcdAt,
) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let sum: Vec<String> =
        here.heads.iter().map(|head| digits(network.heads[*head].leak.value.high.0)).collect();
    let idle = if here.idle.0 > 0.0 { format!(" + {}", digits(here.idle.0)) } else { String::new() };
    let share = if node.class.value == RcdClass::Gfci {
        String::new()
    } else {
        format!("; 30 % of its rating is {} mA", digits(node.rated.value.0 * 0.3))
    };
    Some(Explanation {
        title: format!("{} while all burn: {} mA", node.id, digits(here.standing.0)),
        formula: "Σ standing leakage of heads that are on + Σ idle leakage of those plugged in but off"
            .to_owned(),
        worked: format!(
            "{}{idle} = {} mA; it surely holds {} mA{share}",
            if sum.is_empty() { "0".to_owned() } else { sum.join(" + ") },
            digits(here.standing.0),
            digits(here.room.room.low.0),
        ),
        terms: terms(network, setup, here, rcd),
        source: "plain sum over all circuits and lines behind it; 30 %: BS 7671 531.3.2".to_owned(),
        caution: "Leakage rises when heads are wet, dirty or on long leads.".to_owned(),
        ..Explanation::default()
    })
}

pub(super) fn peak(network: &Network, setup: SetupAt, used: &SetupUse, rcd: RcdAt) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let verdict = match here.outcome {
        Outcome::Holds => "it holds".to_owned(),
        Outcome::Trips => "it drops".to_owned(),
        Outcome::MayTrip => format!(
            "{} = {}; on average {} goes",
            odds_words(network, here),
            digits(here.odds),
            expected_goes(here.odds).map_or("no number of".to_owned(), digits)
        ),
    };
    let mut terms = terms(network, setup, here, rcd);
    terms.extend(struck_terms(network, used, rcd));
    if node.class.value == RcdClass::Gfci && here.possible_peak > MilliAmps::ZERO {
        let longest = gfci_longest(here.possible_peak);
        let allowed = format!("{} s", digits(longest.0));
        terms.push(Term::new("time allowed", allowed, "UL 943: (20 / I)^1.43"));
    }
    Some(Explanation {
        title: format!("{} while striking: {} mA", node.id, digits(here.peak.0)),
        formula:
            "largest of (standing leakage of those lit + strike leakage of the one being struck), in order"
                .to_owned(),
        worked: format!("{} mA against {}: {verdict}", digits(here.possible_peak.0), window(here)),
        terms,
        source: "strike leakage common practice, no source; best order: falling strike leakage".to_owned(),
        caution: "The odds take every threshold in the room as equally likely. Real devices cluster."
            .to_owned(),
        ..Explanation::default()
    })
}

/// The odds in numbers where they are those of one sum, in words where leakages are ranges.
fn odds_words(network: &Network, here: &RcdUse) -> String {
    let is_range = |head: &HeadAt| {
        let node = &network.heads[*head];
        let (leak, strike) = (node.leak.value, node.strike.value);
        leak.low != leak.high || strike.low != strike.high
    };
    match here.room.room.high {
        Some(high) if !here.heads.iter().chain(&here.possible_heads).any(is_range) => format!(
            "odds ({} − {}) / ({} − {})",
            digits(here.possible_peak.0),
            digits(here.room.room.low.0),
            digits(high.0),
            digits(here.room.room.low.0)
        ),
        _ => "odds over the ranges of leakage".to_owned(),
    }
}

/// What leaks through it as each of its heads is struck.
fn struck_terms(network: &Network, used: &SetupUse, rcd: RcdAt) -> Vec<Term> {
    let of_step = |step: Step| {
        let here = step.rcds.iter().find(|here| here.rcd == rcd)?;
        let (striking, lit) = (here.striking.possible, here.lit.possible);
        Some(Term::new(
            format!("as {} is struck", network.heads[step.head].id),
            format!("{} mA, then {}", digits(striking.0), digits(lit.0)),
            "summed in the strike order",
        ))
    };
    steps(network, used).into_iter().filter_map(of_step).collect()
}

/// Leakage through a 4-pole device as a vector sum over its lines.
pub(super) fn vector(network: &Network, used: &SetupUse, rcd: RcdAt) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let vector = here.vector_standing?;
    Some(Explanation {
        title: format!("{} as a vector sum: {} mA", node.id, digits(vector.0)),
        formula: "|Σ over lines of that line's leakage, turned as its voltage|".to_owned(),
        worked: format!(
            "{} mA at the fundamental, {} mA by the plain sum, which decides",
            digits(vector.0),
            digits(here.standing.0)
        ),
        terms: here.heads.iter().map(|head| leakage_term(network, *head, "")).collect(),
        source: "equal leakage on three lines cancels at the fundamental".to_owned(),
        caution: "Third harmonics of leakage add instead of cancelling, and one line going dark ends the \
                  balance."
            .to_owned(),
        ..Explanation::default()
    })
}
