//! Numbers of an RCD.

use crate::assess::{RcdUse, SetupUse};
use crate::network::{HeadAt, Network, RcdAt};
use crate::physics::residual::{Outcome, expected_goes};
use crate::plan::RcdClass;
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
        let tripped = match reading.tripped {
            Some(tripped) => format!(", dropped at {} mA", digits(tripped.0)),
            None => ", did not drop".to_owned(),
        };
        terms.push(Term::new(
            format!("ramp at {socket}"),
            format!("held {} mA{tripped}", digits(reading.held.0)),
            "measured",
        ));
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
    })
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

fn terms(network: &Network, here: &RcdUse, rcd: RcdAt) -> Vec<Term> {
    let mut terms: Vec<Term> = here.heads.iter().map(|head| leakage_term(network, *head, "")).collect();
    terms.extend(here.possible_heads.iter().map(|head| leakage_term(network, *head, ", perhaps")));
    if here.idle.0 > 0.0 {
        terms.push(Term::new("plugged in but off", format!("{} mA", digits(here.idle.0)), "summed"));
    }
    if let Some(reserve) = network.rcds[rcd].reserve {
        terms.push(Term::new("others, perhaps", format!("{} mA", digits(reserve.0)), "from the plan"));
    }
    terms
}

pub(super) fn standing(network: &Network, used: &SetupUse, rcd: RcdAt) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let sum: Vec<String> =
        here.heads.iter().map(|head| digits(network.heads[*head].leak.value.high.0)).collect();
    let idle = if here.idle.0 > 0.0 { format!(" + {}", digits(here.idle.0)) } else { String::new() };
    Some(Explanation {
        title: format!("{} while all burn: {} mA", node.id, digits(here.standing.0)),
        formula: "Σ standing leakage of heads that are on + Σ idle leakage of those plugged in but off"
            .to_owned(),
        worked: format!(
            "{}{idle} = {} mA; it surely holds {} mA; 30 % of its rating is {} mA",
            if sum.is_empty() { "0".to_owned() } else { sum.join(" + ") },
            digits(here.standing.0),
            digits(here.room.room.low.0),
            digits(node.rated.value.0 * 0.3)
        ),
        terms: terms(network, here, rcd),
        source: "plain sum over all circuits and lines behind it; 30 %: BS 7671 531.3.2".to_owned(),
        caution: "Leakage rises when heads are wet, dirty or on long leads.".to_owned(),
    })
}

pub(super) fn peak(network: &Network, used: &SetupUse, rcd: RcdAt) -> Option<Explanation> {
    let (node, here) = (network.rcds.get(rcd)?, used.rcds.get(rcd)?);
    let verdict = match here.outcome {
        Outcome::Holds => "it holds".to_owned(),
        Outcome::Trips => "it drops".to_owned(),
        Outcome::MayTrip => format!(
            "odds ({} − {}) / (high − low) = {}; on average {} goes",
            digits(here.possible_peak.0),
            digits(here.room.room.low.0),
            digits(here.odds),
            expected_goes(here.odds).map_or("no number of".to_owned(), digits)
        ),
    };
    Some(Explanation {
        title: format!("{} while striking: {} mA", node.id, digits(here.peak.0)),
        formula:
            "largest of (standing leakage of those lit + strike leakage of the one being struck), in order"
                .to_owned(),
        worked: format!("{} mA against {}: {verdict}", digits(here.possible_peak.0), window(here)),
        terms: terms(network, here, rcd),
        source: "strike leakage common practice, no source; best order: falling strike leakage".to_owned(),
        caution: "The odds take every threshold in the room as equally likely. Real devices cluster."
            .to_owned(),
    })
}
