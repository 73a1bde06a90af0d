//! A breaker: the peak while its heads run up, and when it opens.

use crate::assess::SetupUse;
use crate::network::{CircuitAt, Network, SetupAt};
use crate::physics::Outcome;
use crate::physics::breaker::{Points, points};
use crate::plan::{Curve, word_of};
use crate::rule::words::{list, time};
use crate::unit::{Amps, Seconds};

use super::{Explanation, Term, digits};

/// Largest amps while its heads are struck in order.
pub(super) fn start_peak(network: &Network, used: &SetupUse, circuit: CircuitAt) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    if here.heads.is_empty() {
        return None;
    }
    let peak = |line: usize| here.start_peak_on(network, &used.heads, line);
    let line = (0..3).max_by(|one, other| peak(*one).total_cmp(peak(*other)))?;
    let mut lit = here.line_base[line];
    let mut terms = vec![Term::new("base loads", format!("{} A", digits(lit.0)), "from the plan")];
    for (head, on) in &here.draws {
        if !on.conductors().contains(&line) {
            continue;
        }
        let head_use = used.heads[*head].as_ref()?;
        let during = lit + head_use.start;
        lit += head_use.amps;
        terms.push(Term::new(
            format!("as {} is struck", network.heads[*head].id),
            format!("{} A, then {}", digits(during.0), digits(lit.0)),
            network.heads[*head].amps_origin().words(),
        ));
    }
    Some(Explanation {
        title: format!("{} while its heads run up: {} A", node.id, digits(here.start_peak.0)),
        formula: "largest of (running amps of those lit + start amps of the one being struck), in order"
            .to_owned(),
        worked: format!(
            "{} A against a rating of {} A",
            digits(here.start_peak.0),
            digits(node.breaker_warm.0)
        ),
        terms,
        source: "plain sum; best order: falling (start − running) amps".to_owned(),
        caution: "One at a time, and let each settle.".to_owned(),
        ..Explanation::default()
    })
}

/// When it opens at the amps that it carries.
pub(super) fn window(
    network: &Network,
    used: &SetupUse,
    setup: SetupAt,
    circuit: CircuitAt,
) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    let rating = node.breaker_warm;
    let curve = node.curve.value;
    let times = here.amps / rating;
    let mut terms = vec![
        Term::new("amps I", format!("{} A", digits(here.amps.0)), "summed"),
        Term::new("rating In", format!("{} A", digits(rating.0)), node.breaker.origin.words()),
        Term::new("curve", word_of(&Curve::WORDS, &curve), node.curve.origin.words()),
    ];
    let Points { earliest, latest, at_once_from } = points(curve, rating);
    let mut tell = |bound: &[(f64, f64)], what: &str| {
        for (at, seconds) in bound {
            let amps = format!("{} In = {} A", digits(*at), digits(at * rating.0));
            terms.push(Term::new(
                amps,
                format!("{what} {}", time(Seconds(*seconds))),
                "the standard's point",
            ));
        }
    };
    tell(&earliest, "not before");
    tell(&latest, "by");
    if let Some(from) = at_once_from {
        terms.push(Term::new(
            format!("{} In = {} A", digits(from), digits(from * rating.0)),
            "may open at once",
            "the standard's point",
        ));
    }
    let minutes = network.setups[setup].minutes;
    let through = match here.breaker {
        Outcome::Holds => "it stays up",
        Outcome::MayTrip => "it may open",
        Outcome::Trips => "it opens",
    };
    Some(Explanation {
        title: format!(
            "{} at {} A: {}",
            node.id,
            digits(here.amps.0),
            span(here.window.earliest, here.window.latest)
        ),
        formula: "the standard's points in times the rating, joined by straight lines on log-log paper"
            .to_owned(),
        worked: format!(
            "{} / {} = {} times the rating: {}; over the {} min of this setup and what came before it, {through}",
            digits(here.amps.0),
            digits(rating.0),
            digits(times),
            span(here.window.earliest, here.window.latest),
            digits(minutes.0)
        ),
        terms,
        source: source(curve).to_owned(),
        caution: "The points are the standard's, the lines between them are ours. From cold; a warm board \
                  opens sooner."
            .to_owned(),
        ..Explanation::default()
    })
}

fn span(earliest: Option<Seconds>, latest: Option<Seconds>) -> String {
    match (earliest, latest) {
        (None, _) => "it carries that for ever".to_owned(),
        (Some(Seconds::ZERO), None) => "it may open at any moment, or never".to_owned(),
        (Some(earliest), None) => format!("not before {}, perhaps never", time(earliest)),
        (Some(Seconds::ZERO), Some(latest)) => format!("within {}", time(latest)),
        (Some(earliest), Some(latest)) => format!("between {} and {}", time(earliest), time(latest)),
    }
}

const fn source(curve: Curve) -> &'static str {
    match curve {
        Curve::B | Curve::C | Curve::D => "IEC 60898-1 table 7",
        Curve::Ul => "UL 489; the times above 30 A at 200 % from memory",
        Curve::Gg => "IEC 60269-1, from memory",
        Curve::Rewirable => "BS 3036, from memory: no point is published that holds or opens it",
    }
}

/// What comes on at once, against the band in which the breaker may open at once.
pub(super) fn inrush(network: &Network, used: &SetupUse, circuit: CircuitAt) -> Option<Explanation> {
    let (node, here) = (network.circuits.get(circuit)?, used.circuits.get(circuit)?);
    let inrush = here.inrush.as_ref()?;
    let mut terms = Vec::new();
    for head in &here.heads {
        let Some(own) = used.heads[*head].as_ref().and_then(|used| used.inrush) else { continue };
        let origin = network.heads[*head].inrush.map_or("default, assumed", |known| known.origin.words());
        terms.push(Term::new(
            format!("{} comes on with a peak of", network.heads[*head].id),
            format!("{} A, as {} lasting", digits(own.peak.0), digits(own.counts.0)),
            origin,
        ));
    }
    let together = list(inrush.together.iter().map(|head| &network.heads[*head].id));
    terms.push(Term::new(
        "most by one switch",
        format!("{} A, as {} lasting", digits(inrush.most.peak.0), digits(inrush.most.counts.0)),
        together,
    ));
    terms.push(Term::new(
        "all of it at one reset",
        format!("{} A, as {} lasting", digits(inrush.all.peak.0), digits(inrush.all.counts.0)),
        "summed",
    ));
    terms.push(Term::new(
        "rating In",
        format!("{} A", digits(node.breaker.value.0)),
        node.breaker.origin.words(),
    ));
    terms.push(Term::new("curve", word_of(&Curve::WORDS, &node.curve.value), node.curve.origin.words()));
    let holds = |counts: Amps| if counts.is_over(inrush.limit) { "it may open" } else { "it holds" };
    Some(Explanation {
        title: format!("{} at switch-on: {} A peak", node.id, digits(inrush.most.peak.0)),
        formula: "a capacitor's peak / pulse factor (1 at 10 ms, 4 at 0.2 ms); a filament's rms over its \
                  first 0.1 s; against the lower magnetic bound"
            .to_owned(),
        worked: format!(
            "by one switch {} A of {} A: {}; all at one reset {} A: {}",
            digits(inrush.most.counts.0),
            digits(inrush.limit.0),
            holds(inrush.most.counts),
            digits(inrush.all.counts.0),
            holds(inrush.all.counts)
        ),
        terms,
        source: "IEC 60898-1 for the bound; peaks, pulse factor and filament model typical, from memory"
            .to_owned(),
        caution: "Heads off before a reset: they would all come on at once.".to_owned(),
        ..Explanation::default()
    })
}
