//! The few words that a socket shows while a head is in hand.

use crate::network::Network;
use crate::rule::Severity;
use crate::rule::words::{number, odds, tester};

use super::{Consequence, Finding, Outlook};

/// A few words for the grid.
pub(super) fn words(network: &Network, consequence: &Consequence) -> String {
    let Some(worst) = consequence.findings.first().filter(|_| consequence.outlook != Outlook::Fits) else {
        return fits(consequence);
    };
    let sign = match consequence.outlook {
        Outlook::Never if hurts(worst) => "NEVER: ",
        Outlook::Never | Outlook::Dark => "no: ",
        Outlook::Risk | Outlook::Fits => "",
    };
    format!("{sign}{}", reason(network, consequence, worst))
}

fn fits(consequence: &Consequence) -> String {
    let amps = consequence.circuit.map(|(_, amps)| format!(" {} A", number(amps.0)));
    let milliamps = consequence.rcd.map(|(_, left)| format!(" {} mA", number(left.0)));
    match (amps, milliamps) {
        (None, None) => "fits".to_owned(),
        (amps, milliamps) => {
            format!("fits{}{} left", amps.unwrap_or_default(), milliamps.unwrap_or_default())
        }
    }
}

/// Dangers that stand in the wall or the weather, against those of a plug that is too small.
fn hurts(finding: &Finding) -> bool {
    !matches!(finding.rule.id, "outlet-over" | "plate-over" | "volts-wrong" | "cable-hot")
}

fn over(finding: &Finding) -> String {
    finding.crossing.map_or(String::new(), |crossing| {
        format!("{} {}", number((crossing.value - crossing.limit).abs()), crossing.unit)
    })
}

fn reason(network: &Network, consequence: &Consequence, worst: &Finding) -> String {
    let words = &network.region.words;
    let subject = worst.subject.id(network);
    match worst.rule.id {
        "outlet-over" if worst.crossing.is_none() => "plug".to_owned(),
        "outlet-over" | "breaker-over" => format!("{} over", over(worst)),
        "plate-over" => format!("plate {} over", over(worst)),
        "main-over" if worst.severity == Severity::Risk => format!("{subject} may be {} over", over(worst)),
        "neutral-over" => format!("{} {} over", words.neutral, over(worst)),
        "breaker-inrush" => "inrush".to_owned(),
        "main-over" | "line-over" | "generator-over" | "rcd-standing" => {
            format!("{subject} {} over", over(worst))
        }
        "contract-over" => format!("contract {} over", over(worst)),
        "volts-wrong" => "volts".to_owned(),
        "socket-unsafe" => tester(network, network.sockets[consequence.socket].test),
        "socket-banned" => "not to be used".to_owned(),
        "socket-untested" => "not tested".to_owned(),
        "socket-full" => "full".to_owned(),
        "rcd-absent" => format!("no {}", words.rcd),
        "rcd-coarse" => format!("{} too coarse", words.rcd),
        "rcd-trips" => format!("drops {subject}"),
        "rcd-may-trip" => match consequence.odds {
            Some(chance) => format!("may trip {}", odds(chance)),
            None => "may trip".to_owned(),
        },
        "rcd-untested" => format!("{subject} not tested"),
        "rcd-share" => format!("{subject} over 30 %"),
        "rcd-type" => format!("{subject} type AC"),
        "breaker-tight" => match consequence.circuit {
            Some((_, left)) => format!("tight, {} A left", number(left.0)),
            None => "tight".to_owned(),
        },
        "breaker-may-over" => format!("may be {} over", over(worst)),
        "cable-short" => format!("{} short", over(worst)),
        "cable-hot" => format!("lead {} over", over(worst)),
        "drop-high" => match worst.crossing {
            Some(crossing) => format!("drop {} %", number(crossing.value)),
            None => "lead too thin".to_owned(),
        },
        "two-sources" => "two supplies".to_owned(),
        "two-lines" => format!("two {}s", words.line),
        "wet-joint" => "joint in rain".to_owned(),
        "neutral-floating" => format!("{} floats", words.neutral),
        "dimmed" => "dimmer".to_owned(),
        "hours-out" => "off then".to_owned(),
        "start-over" => "start peak".to_owned(),
        "chain-long" => "leads joined".to_owned(),
        id => id.replace('-', " "),
    }
}
