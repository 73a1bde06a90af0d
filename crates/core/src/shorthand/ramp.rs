//! Ramp tests: `r15/20 off P2.fridge >RA on D,E`, or step by step as tested.

use std::fmt::Write as _;

use super::token::{Token, quantity};
use super::value::{self, worth};
use super::{Context, Found, Set, Taken, Wrong, current, lookup, shown};
use crate::edit::Value;
use crate::file::schema::{Bounds, Kind, RAMP, Target};
use crate::id::{HeadId, RcdId};
use crate::plan::Ramp;
use crate::unit::MilliAmps;

/// `r15/20`, `r-/10`, `r20+`, `r20/`, `ramp 15/20`; at a ramp line also without the r.
pub(super) fn short(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(first) = rest[0].plain() else {
        return Found::No;
    };
    let led = usize::from(rest[0].is("ramp"));
    let typed = match (led, rest.get(1).and_then(Token::plain)) {
        (1, Some(next)) => next.to_owned(),
        (1, None) => {
            return Found::Bad(Wrong::new(1, "held and tripped are to follow, like 15/20".to_owned()));
        }
        _ if context.subject == super::Subject::Ramp && first.contains('/') => {
            first.trim_start_matches(['r', 'R']).to_owned()
        }
        _ => match first.strip_prefix(['r', 'R']).filter(|rest| begins_ramp(rest)) {
            Some(steps) => steps.to_owned(),
            None => return Found::No,
        },
    };
    // `>RA` may stand right behind.
    let (steps, dropped) = match typed.split_once('>') {
        Some((steps, dropped)) => (steps.to_owned(), Some(dropped.to_owned())),
        None => (typed, None),
    };
    let (held, tripped) = match two_steps(&steps) {
        Some(steps) => steps,
        None if led == 0 && !steps.contains('/') && !steps.ends_with('+') => return Found::No,
        None => {
            let why = format!("{} is no ramp: held and tripped, like r15/20, r-/10 or r20+", shown(&steps));
            return Found::Bad(Wrong::new(1 + led, why));
        }
    };
    finish(context, rest, 1 + led, held, tripped, dropped.as_deref())
}

fn begins_ramp(rest: &str) -> bool {
    let mut chars = rest.chars();
    match chars.next() {
        Some('-') => chars.next() == Some('/'),
        Some(first) => first.is_ascii_digit(),
        None => false,
    }
}

/// Held, and tripped if it was reached.
fn two_steps(text: &str) -> Option<(f64, Option<f64>)> {
    let step = |text: &str| {
        let read = quantity(text)?;
        matches!(&*read.suffix, "" | "ma").then(|| read.digits.parse::<f64>().ok()).flatten()
    };
    let text = text.strip_suffix('+').unwrap_or(text);
    let Some((held, tripped)) = text.split_once('/') else {
        return Some((step(text)?, None));
    };
    let held = if matches!(held, "-" | "") { 0.0 } else { step(held)? };
    if matches!(tripped, "" | "-") {
        return Some((held, None));
    }
    Some((held, Some(step(tripped)?)))
}

/// The steps as tested: `10 ok 15 ok 20 trip`. A number alone held, if a later step is told.
pub(super) fn steps(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let mut at = 0;
    let mut held: f64 = 0.0;
    let mut tripped = None;
    let mut is_told = false;
    while let Some(step) = rest.get(at).and_then(Token::plain).and_then(quantity) {
        if !matches!(&*step.suffix, "" | "ma") || tripped.is_some() {
            break;
        }
        let Ok(step) = step.digits.parse::<f64>() else {
            break;
        };
        at += 1;
        at += usize::from(rest.get(at).is_some_and(|token| token.is("mA")));
        if step <= held {
            return Found::Bad(Wrong::new(
                at,
                format!("the steps of a ramp rise: {step} mA comes after {held} mA"),
            ));
        }
        match rest.get(at).and_then(Token::word).as_deref() {
            Some("ok" | "held" | "holds" | "hold" | "h" | "y") => {
                held = step;
                is_told = true;
                at += 1;
            }
            Some("trip" | "tripped" | "trips" | "t" | "dropped" | "drop" | "x" | "n") => {
                tripped = Some(step);
                is_told = true;
                at += 1;
            }
            _ => {
                held = step;
                is_told = false;
            }
        }
    }
    if at == 0 {
        return Found::No;
    }
    if !is_told {
        let mut wrong = Wrong::new(at, format!("{held} mA held, or tripped?"));
        wrong.suggestions = vec![format!("{held} ok"), format!("{held} trip")];
        return Found::Bad(wrong);
    }
    finish(context, rest, at, held, tripped, None)
}

/// The test with what stands behind it, inside of the bounds of its keys.
fn finish(
    context: &Context<'_>,
    rest: &[Token],
    tokens: usize,
    held: f64,
    tripped: Option<f64>,
    dropped: Option<&str>,
) -> Found {
    for (name, step) in [("held_ma", Some(held)), ("tripped_ma", tripped)] {
        if let (Some(step), Some(bounds)) = (step, bounds(name))
            && !crate::file::number::within(step, bounds)
        {
            let span = crate::file::number::span(bounds);
            return Found::Bad(Wrong::new(tokens, format!("a ramp step of {step} mA is outside of {span}")));
        }
    }
    if let Some(tripped) = tripped.filter(|tripped| *tripped <= held) {
        let mut wrong = Wrong::new(tokens, format!("it cannot hold {held} mA and trip at {tripped} mA"));
        if tripped < held {
            wrong.suggestions.push(format!("r{tripped}/{held}"));
        }
        return Found::Bad(wrong);
    }
    let mut test = Ramp { held: MilliAmps(held), tripped: tripped.map(MilliAmps), ..Ramp::default() };
    let mut meaning = match (tripped, held) {
        (Some(tripped), held) if held <= 0.0 => format!("ramp tripped at its first step, {tripped} mA"),
        (Some(tripped), held) => format!("ramp held {held}, tripped {tripped} mA"),
        (None, held) => format!("ramp held {held} mA and did not trip"),
    };
    if let Some(dropped) = dropped {
        match device(context, dropped) {
            Ok(rcd) => test.dropped = Some(rcd),
            Err(wrong) => return Found::Bad(Wrong { tokens, ..wrong }),
        }
    }
    let mut at = tokens;
    loop {
        match detail(context, rest.get(at..).unwrap_or_default(), &mut test) {
            Ok(0) => break,
            Ok(count) => at += count,
            Err(wrong) => return Found::Bad(Wrong { tokens: at + wrong.tokens, ..wrong }),
        }
    }
    let off: Vec<String> = test.off.iter().map(current::written).collect();
    if !off.is_empty() {
        let _ = write!(meaning, " with {} off", off.join(", "));
    }
    if !test.heads_on.is_empty() {
        let on: Vec<&str> = test.heads_on.iter().map(HeadId::as_str).collect();
        let _ = write!(meaning, " with {} on", on.join(", "));
    }
    if let Some(rcd) = &test.dropped {
        let _ = write!(meaning, ", {rcd} dropped");
    }
    Found::Read(Taken::new(at, meaning, vec![("ramp", Set::Item(current::ramp(&test)))]))
}

fn bounds(name: &str) -> Option<Bounds> {
    match RAMP.key(name)?.kind {
        Kind::Number(bounds) => Some(bounds),
        _ => None,
    }
}

fn device(context: &Context<'_>, given: &str) -> Result<RcdId, Wrong> {
    match value::reference(context, Target::Rcd, given)?.value {
        Value::Text(id) => Ok(RcdId::from(id.as_str())),
        other => Err(Wrong::new(1, worth(context, &RAMP.keys[0], &other))),
    }
}

/// One of `off LOAD`, `>RCD`, `dropped RCD`, `on HEADS`; how many words it took.
fn detail(context: &Context<'_>, rest: &[Token], test: &mut Ramp) -> Result<usize, Wrong> {
    let Some(first) = rest.first().and_then(Token::plain) else {
        return Ok(0);
    };
    if let Some(given) = first.strip_prefix('>') {
        let (given, tokens) = match (given, rest.get(1)) {
            ("", Some(next)) => (next.text.as_str(), 2),
            (given, _) => (given, 1),
        };
        test.dropped = Some(device(context, given)?);
        return Ok(tokens);
    }
    let Some(next) = rest.get(1) else {
        return Ok(0);
    };
    match first.to_lowercase().as_str() {
        "dropped" => {
            test.dropped = Some(device(context, &next.text)?);
            Ok(2)
        }
        "off" => {
            let parts: Vec<&str> =
                if next.is_quoted { vec![&next.text] } else { next.text.split(',').collect() };
            for part in parts.into_iter().filter(|part| !part.is_empty()) {
                let load = lookup::base_load(context.plan, part).map_err(|known| {
                    let mut wrong = Wrong::new(2, format!("{} names no one base load", shown(part)));
                    wrong.suggestions = known.into_iter().take(4).map(|load| super::typed(&load)).collect();
                    wrong
                })?;
                if !test.off.contains(&load) {
                    test.off.push(load);
                }
            }
            Ok(2)
        }
        "on" => {
            for part in next.text.split(',').filter(|part| !part.is_empty()) {
                if let Value::Text(id) = value::reference(context, Target::Head, part)?.value {
                    let head = HeadId::from(id.as_str());
                    if !test.heads_on.contains(&head) {
                        test.heads_on.push(head);
                    }
                }
            }
            Ok(2)
        }
        _ => Ok(0),
    }
}
