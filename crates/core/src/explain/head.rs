//! Numbers of a head.

use crate::assess::{SetupUse, struck};
use crate::network::{At, HeadAt, Network, SetupAt};
use crate::plan::Load;
use crate::unit::{Amps, Leakage, MilliAmps};

use super::{Explanation, Term, digits};

pub(super) fn amps(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    let node = &network.heads[head];
    let title = format!("{} while it burns: {} A", node.id, digits(here.amps.0));
    if node.measured_amps.is_some() {
        return Some(Explanation {
            title,
            formula: "I, as measured".to_owned(),
            worked: format!("{} A", digits(here.amps.0)),
            terms: vec![Term::new("running amps I", format!("{} A", digits(here.amps.0)), "measured")],
            source: "a clamp on location beats a nameplate".to_owned(),
            ..Explanation::default()
        });
    }
    let watts = node.watts?;
    let drawn = node.watts_at(here.terminals.volts)?;
    let (span, span_words) = match here.terminals.lines {
        3 => ("√3·", "√3 · "),
        _ => ("", ""),
    };
    let volts_from = match (here.socket, node.volts) {
        (_, Some(_)) => "from the plan",
        (Some(_), None) => "supply and line of its socket",
        (None, None) => "usual here, assumed",
    };
    let rated = node.volts.unwrap_or(here.terminals.volts);
    let there = here.terminals.volts;
    let mut terms = vec![
        Term::new("watts at the plug P", format!("{} W", digits(drawn.0)), watts.origin.words()),
        Term::new("volts V", format!("{} V", digits(rated.0)), volts_from),
        Term::new("power factor λ", digits(node.power_factor.value), node.power_factor.origin.words()),
    ];
    let mut formula = format!("I = P / ({span}V · λ)");
    let mut worked = format!(
        "{} / ({span_words}{} · {}) = {} A",
        digits(drawn.0),
        digits(rated.0),
        digits(node.power_factor.value),
        digits(here.amps.0)
    );
    if (there / rated - 1.0).abs() > 1e-9 {
        let behaviour = match node.load {
            Load::Steady => "V / V′ (constant power)",
            Load::Filament => "(V′ / V)^0.55 (filament)",
            Load::Resistive => "V′ / V (resistive)",
        };
        formula.push_str(" · ");
        formula.push_str(behaviour);
        terms.push(Term::new(
            "volts there V′",
            format!("{} V", digits(there.0)),
            "supply and line of its socket",
        ));
        worked = format!("at {} V: {} A", digits(there.0), digits(here.amps.0));
    }
    Some(Explanation {
        title,
        formula,
        worked,
        terms,
        source: node.class.map_or_else(
            || "power of an alternating-current load".to_owned(),
            |class| format!("power of an alternating-current load; class values: {}", class.source),
        ),
        caution: if watts.origin.is_assumed() {
            "A class is typical only: read the nameplate, or put a clamp on it.".to_owned()
        } else {
            String::new()
        },
        ..Explanation::default()
    })
}

/// Amps while it runs up; nothing to tell where they are the running ones.
pub(super) fn start(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    let node = &network.heads[head];
    if !here.start.is_over(here.amps) || here.amps == Amps::ZERO {
        return None;
    }
    let given = network.plan.heads.get_index(head.get()).is_some_and(|(_, plan)| plan.start.is_some());
    let (formula, origin) = if given {
        ("start amps, as given", "from the plan")
    } else {
        ("running amps · factor", "class, assumed")
    };
    Some(Explanation {
        title: format!("{} while it runs up: {} A", node.id, digits(here.start.0)),
        formula: formula.to_owned(),
        worked: format!(
            "{} A, {} times the {} A that it burns at",
            digits(here.start.0),
            digits(here.start / here.amps),
            digits(here.amps.0)
        ),
        terms: vec![
            Term::new("running amps", format!("{} A", digits(here.amps.0)), node.amps_origin().words()),
            Term::new("times them", digits(here.start / here.amps), origin),
        ],
        source: "magnetic ballasts take 1.3 to 1.9 times for one to three minutes: typical, from memory"
            .to_owned(),
        ..Explanation::default()
    })
}

fn range(leakage: Leakage) -> String {
    if leakage.low == leakage.high {
        format!("{} mA", digits(leakage.high.0))
    } else {
        format!("{} to {} mA", digits(leakage.low.0), digits(leakage.high.0))
    }
}

pub(super) fn leakage(
    network: &Network,
    setup: SetupAt,
    used: &SetupUse,
    head: HeadAt,
) -> Option<Explanation> {
    let node = &network.heads[head];
    let is_plugged = network.setups[setup].placed[head].is_some();
    if used.heads[head].is_none() && !is_plugged {
        return None;
    }
    let title = if network.setups[setup].is_on[head] {
        format!("{} leaks while lit: {}", node.id, range(node.leak.value))
    } else {
        format!("{} leaks while plugged in but off: {}", node.id, range(node.idle.value))
    };
    let strikes = node.strike.value.high > MilliAmps::ZERO;
    let worked = if strikes {
        format!(
            "at most {} + {} = {} mA in the moment it strikes",
            digits(node.leak.value.high.0),
            digits(node.strike.value.high.0),
            digits((node.leak.value.high + node.strike.value.high).0)
        )
    } else {
        format!("at most {} mA, no more while it is switched on", digits(node.leak.value.high.0))
    };
    Some(Explanation {
        title,
        formula: "standing leakage + strike leakage while it strikes".to_owned(),
        worked,
        terms: vec![
            Term::new("standing, while lit", range(node.leak.value), node.leak.origin.words()),
            Term::new("on top, while it strikes", range(node.strike.value), node.strike.origin.words()),
            Term::new("plugged in but off", range(node.idle.value), node.idle.origin.words()),
        ],
        source: "class values are typical, from memory; strike leakage is common practice, no source"
            .to_owned(),
        caution: "Leakage rises when heads are wet, dirty or on long leads.".to_owned(),
        ..Explanation::default()
    })
}

/// Its number in the order of striking.
pub(super) fn strike(
    network: &Network,
    setup: SetupAt,
    used: &SetupUse,
    head: HeadAt,
) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    let number = here.strike?;
    let insisted = network.setups[setup].strike.contains(&head);
    let terms = used
        .strike_order
        .iter()
        .enumerate()
        .filter_map(|(place, other)| {
            let head = struck(network, *other, used.heads[*other].as_ref()?);
            Some(Term::new(
                format!("{}. {}", place + 1, network.heads[*other].id),
                format!(
                    "{} mA more, {} A more",
                    digits(head.strike.0),
                    digits((head.start - head.running).0)
                ),
                if network.setups[setup].strike.contains(other) { "the crew's order" } else { "best order" },
            ))
        })
        .collect();
    Some(Explanation {
        title: format!(
            "{} is struck as number {number} of {}",
            network.heads[head].id,
            used.strike_order.len()
        ),
        formula: "falling strike leakage, then falling (start − running) amps".to_owned(),
        worked: if insisted {
            "the plan's own order comes first".to_owned()
        } else {
            "what strikes later strikes on top of all that is lit, so the largest goes first".to_owned()
        },
        terms,
        source: "an exchange of two neighbours never lowers the peak (least maximum of a running sum)"
            .to_owned(),
        caution: "One at a time, and let each settle.".to_owned(),
        ..Explanation::default()
    })
}
