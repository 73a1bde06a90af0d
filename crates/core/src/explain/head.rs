//! Numbers of a head.

use crate::assess::SetupUse;
use crate::network::{HeadAt, Network};
use crate::plan::Load;

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
            caution: String::new(),
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
    })
}

pub(super) fn lead(network: &Network, used: &SetupUse, head: HeadAt) -> Option<Explanation> {
    let here = used.heads[head].as_ref()?;
    let socket = here.socket?;
    let needed = here.lead_needed?;
    let (node, wall) = (&network.heads[head], &network.sockets[socket]);
    let (from, to) = (wall.place.at?, node.place.at?);
    let point = |point: crate::plan::Point| format!("({}, {}) m", digits(point.x.0), digits(point.y.0));
    let mut terms = vec![
        Term::new(format!("{} at", wall.id), point(from), "from the plan"),
        Term::new(format!("{} at", node.id), point(to), "from the plan"),
        Term::new("its own tail", format!("{} m", digits(node.tail.0)), "from the plan"),
    ];
    if let Some(stair) = network.plan.location.stair
        && wall.place.level != node.place.level
    {
        terms.push(Term::new("stair at", point(stair), "from the plan"));
    }
    Some(Explanation {
        title: format!("Lead from {} to {}: {} m", wall.id, node.id, digits(needed.0)),
        formula:
            "|Δx| + |Δy|, between floors by the stair and 4 m a level, + 2 m for the ends, less the tail"
                .to_owned(),
        worked: format!("{} m; the leads given are {} m", digits(needed.0), digits(here.lead.0)),
        terms,
        source: "along the walls; the 4 m and 2 m are ours, from memory".to_owned(),
        caution: "Walk it: doors and furniture make it longer.".to_owned(),
    })
}
