//! Amps of a circuit, and what it may carry.

use crate::assess::SetupUse;
use crate::network::{At, CircuitAt, Network, SetupAt};

use super::{Explanation, Term, digits};

pub(super) fn amps(
    network: &Network,
    used: &SetupUse,
    setup: SetupAt,
    circuit: CircuitAt,
) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    let off = &network.setups[setup].base_off;
    let mut terms = Vec::new();
    for (place, base) in node.base.iter().enumerate() {
        let name = base.name.clone().unwrap_or_else(|| "base load".to_owned());
        let is_off = off.contains(&(circuit, place));
        let value = if is_off { "off".to_owned() } else { format!("{} A", digits(base.amps.0)) };
        terms.push(Term::new(name, value, "from the plan"));
    }
    for head in &here.heads {
        let Some(head_use) = used.heads[*head].as_ref() else { continue };
        let head = &network.heads[*head];
        terms.push(Term::new(
            head.id.to_string(),
            format!("{} A", digits(head_use.amps.0)),
            head.amps_origin().words(),
        ));
    }
    for head in &here.possible_heads {
        let Some(head_use) = used.heads[*head].as_ref() else { continue };
        terms.push(Term::new(
            format!("{}, perhaps", network.heads[*head].id),
            format!("{} A", digits(head_use.amps.0)),
            "its socket is untraced",
        ));
    }
    let plan = network.plan.circuits.get_index(circuit.get()).map(|(_, circuit)| circuit)?;
    if let Some(reserve) = plan.reserve {
        terms.push(Term::new("others, perhaps", format!("{} A", digits(reserve.0)), "from the plan"));
    }
    let sum: Vec<String> = terms
        .iter()
        .filter(|term| !term.what.ends_with("perhaps") && term.value != "off")
        .map(|term| term.value.clone())
        .collect();
    let possible = if here.possible.is_over(here.amps) {
        format!("; {} A possible", digits(here.possible.0))
    } else {
        String::new()
    };
    Some(Explanation {
        title: format!("{}: {} A", node.id, digits(here.amps.0)),
        formula: "base loads + running amps of the heads that are on, busiest line".to_owned(),
        worked: format!(
            "{} = {} A of {} A{possible}",
            if sum.is_empty() { "nothing".to_owned() } else { sum.join(" + ") },
            digits(here.amps.0),
            digits(here.limit.0)
        ),
        terms,
        source: "plain sum on purpose: the trade's way, and never less than the phasor sum".to_owned(),
        caution: if here.possible_heads.is_empty() {
            String::new()
        } else {
            "An untraced socket counts on every circuit that it may be on.".to_owned()
        },
        ..Explanation::default()
    })
}

pub(super) fn limit(network: &Network, used: &SetupUse, circuit: CircuitAt) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    let mut terms = vec![Term::new(
        "rating In",
        format!("{} A", digits(node.breaker.value.0)),
        node.breaker.origin.words(),
    )];
    let mut formula = "In".to_owned();
    let mut worked = digits(node.breaker.value.0);
    if let Some(ambient) = network.plan.location.ambient
        && node.breaker.value.is_over(node.breaker_warm)
    {
        terms.push(Term::new("around the board", format!("{} °C", digits(ambient.0)), "from the plan"));
        formula.push_str(" · (1 − 0.005 · (t − 30))");
        worked = format!("{worked} · {}", digits(node.breaker_warm / node.breaker.value));
    }
    if here.continuous {
        let factor = network.region.continuous_factor.unwrap_or(1.0);
        terms.push(Term::new("three hours and more", digits(factor), "NEC 210.20(A)"));
        formula.push_str(" · 0.8");
        worked = format!("{worked} · {}", digits(factor));
    }
    Some(Explanation {
        title: format!("{} may carry {} A", node.id, digits(here.limit.0)),
        formula,
        worked: if terms.len() == 1 {
            format!("{worked} A, its rating")
        } else {
            format!("{worked} = {} A", digits(here.limit.0))
        },
        terms,
        source:
            "the rating; continuous loads NEC 210.20(A); warm boards 0.5 % a kelvin over 30 °C, from memory"
                .to_owned(),
        caution: "A breaker that holds is not one that fits: it may hold 1.13 times its rating for an hour \
                  (IEC 60898-1)."
            .to_owned(),
        ..Explanation::default()
    })
}

/// What the neutral carries that the circuit shares with others.
pub(super) fn shared_neutral(network: &Network, used: &SetupUse, circuit: CircuitAt) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    let (neutral, amps) = (&network.neutrals[node.neutral?], here.neutral?);
    let mut terms: Vec<Term> = neutral
        .circuits
        .iter()
        .map(|at| {
            let other = &network.circuits[*at];
            Term::new(
                format!("{} on {}", other.id, other.line),
                format!("{} A", digits(used.circuits[*at].amps.0)),
                "summed",
            )
        })
        .collect();
    terms.push(Term::new(
        "smallest breaker before it",
        format!("{} A", digits(neutral.limit.value.0)),
        neutral.limit.origin.words(),
    ));
    let words = &network.region.words.neutral;
    Some(Explanation {
        title: format!("{words} that {} shares: {} A", node.id, digits(amps.0)),
        formula: "√(Σ over orders of |phasor sum of the circuits' currents of that order|²)".to_owned(),
        worked: format!(
            "{} A of {} A; on opposite legs currents are taken from each other, on one line they add",
            digits(amps.0),
            digits(neutral.limit.value.0)
        ),
        terms,
        source: "phasors by order; what a neutral carries is what the smallest of its breakers lets through"
            .to_owned(),
        caution: "No breaker sees it. Two circuits on one line that share a neutral are a fault: stop, tell \
                  the owner; a licensed electrician puts it right."
            .to_owned(),
        ..Explanation::default()
    })
}
