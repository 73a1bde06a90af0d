//! Parts of a circuit: breaker, hours, clamp reading, base loads.

use std::fmt::Write as _;

use super::token::{Token, amount, quantity, same};
use super::value::{self, Good, has_unit, worth};
use super::{Context, Found, Set, Taken, Wrong, shown};
use crate::edit::Value;
use crate::file::schema::{BASE, Kind, MEASURED, Unit};
use crate::plan::Curve;

/// `C20`, `B16`, `20A`, `20`, `ul20`, `C 20A`
pub(super) fn breaker(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(key) = context.key("breaker_a") else {
        return Found::No;
    };
    let (Some(first), Kind::Number(bounds)) = (rest[0].plain(), key.kind) else {
        return Found::No;
    };
    let digits_at = first.find(|c: char| c.is_ascii_digit()).unwrap_or(first.len());
    let (letters, number) = first.split_at(digits_at);
    let curve = Curve::WORDS.iter().find(|(word, _)| same(word, letters)).map(|(word, _)| *word);
    let (tokens, led) = match (letters, number) {
        ("", _) => (rest.to_vec(), 0),
        (_, "") if curve.is_some() => (rest[1..].to_vec(), 1),
        _ if curve.is_some() => {
            let mut tokens = vec![Token { text: number.to_owned(), ..rest[0].clone() }];
            tokens.extend(rest.get(1).filter(|next| next.is("A")).cloned());
            (tokens, 0)
        }
        _ => return Found::No,
    };
    let Some(read) = amount(&tokens, Unit::Amps) else {
        return Found::No;
    };
    // 30 mA and 600 W are no breakers, though they can be told in amps.
    let suffix = tokens[0].plain().and_then(quantity).map(|read| read.suffix).unwrap_or_default();
    if !matches!(&*suffix, "" | "a" | "amp" | "amps") {
        return Found::No;
    }
    match value::checked(key, &tokens, bounds, read) {
        Ok(Good { value, tokens, .. }) => {
            let rating = worth(context, key, &value);
            let mut sets = vec![("breaker_a", Set::To(value))];
            let meaning = match curve {
                Some(curve) => {
                    sets.push(("curve", Set::To(Value::text(curve))));
                    format!("breaker {rating}, curve {curve}")
                }
                None => format!("breaker {rating}"),
            };
            Found::Read(Taken::new(tokens + led, meaning, sets))
        }
        Err(wrong) => Found::Bad(Wrong { tokens: wrong.tokens + led, ..wrong }),
    }
}

/// `06:00-22:00`, `hours 6:00-22:00`
pub(super) fn hours(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let led = usize::from(rest[0].is("hours"));
    let given = rest.get(led).and_then(Token::plain).and_then(value::hours);
    match (given, led) {
        (Some([from, until]), _) => {
            let meaning = format!("live from {from} to {until}");
            let value = Value::texts([&*from, &*until]);
            Found::Read(Taken::new(1 + led, meaning, vec![("hours", Set::To(value))]))
        }
        (None, 1) => Found::Bad(Wrong::new(1, "two times are to follow, like 06:00-22:00".to_owned())),
        _ => Found::No,
    }
}

/// `clamp 14.2 day`
pub(super) fn clamp(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if !rest[0].is("clamp") && !rest[0].is("measured") {
        return Found::No;
    }
    let (Some(amps), Some(setup)) = (MEASURED.key("amps"), MEASURED.key("setup")) else {
        return Found::No;
    };
    let read = value::read(context, amps, &rest[1..]).and_then(|reading| {
        let behind = 1 + reading.tokens;
        let during = value::read(context, setup, rest.get(behind..).unwrap_or_default())?;
        Ok((reading.value, during.value, behind + during.tokens))
    });
    match read {
        Ok((reading, during, tokens)) => {
            let words = (worth(context, amps, &reading), worth(context, setup, &during));
            let meaning = format!("clamp reading {} in setup {}", words.0, words.1);
            let table = Value::Table(vec![("amps".to_owned(), reading), ("setup".to_owned(), during)]);
            Found::Read(Taken::new(tokens, meaning, vec![("measured", Set::To(table))]))
        }
        Err(wrong) => Found::Bad(Wrong { tokens: wrong.tokens + 1, ..wrong }),
    }
}

/// `fridge 0.65A 8mA`, `fridge* 0.65A`, `base 0.5A` for one without a name.
///
/// The mark that its owner can switch it off stands at the load's own name, so that it stays with it
/// wherever the parts of the line go; no id has a `*`.
pub(super) fn base(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let is_led = !rest[0].is_quoted && rest[0].equals.is_none() && same(&rest[0].text, "base");
    let led = usize::from(is_led && rest[0].mark.is_none_or(|mark| mark == '*'));
    let named = rest.get(led).filter(|token| is_name(token));
    let mut tokens = led + usize::from(named.is_some());
    let draws = rest.get(tokens..).filter(|rest| !rest.is_empty()).and_then(|rest| amount(rest, Unit::Amps));
    let Some(draws) = draws.filter(has_unit).filter(|_| tokens > 0) else {
        return in_watts(rest, tokens);
    };
    let (Some(amps), Some(leak), Some(name)) = (BASE.key("amps"), BASE.key("leak_ma"), BASE.key("name"))
    else {
        return Found::No;
    };
    let Kind::Number(bounds) = amps.kind else {
        return Found::No;
    };
    let mut pairs: Vec<(String, Value)> = Vec::new();
    if let Some(token) = named {
        match value::text(name, token) {
            Ok(text) => pairs.push(("name".to_owned(), text)),
            Err(wrong) => return Found::Bad(wrong),
        }
    }
    match value::checked(amps, &rest[tokens..], bounds, draws) {
        Ok(good) => {
            tokens += good.tokens;
            pairs.push(("amps".to_owned(), good.value));
        }
        Err(wrong) => return Found::Bad(Wrong { tokens: wrong.tokens + tokens, ..wrong }),
    }
    let behind = rest.get(tokens..).unwrap_or_default();
    if is_leakage(behind) {
        match value::read(context, leak, behind) {
            Ok(good) => {
                tokens += good.tokens;
                pairs.push(("leak_ma".to_owned(), good.value));
            }
            Err(wrong) => return Found::Bad(Wrong { tokens: wrong.tokens + tokens, ..wrong }),
        }
    }
    let is_marked = rest[..tokens].iter().any(|token| token.mark == Some('*'));
    let is_said = rest.get(tokens).is_some_and(|token| MAY_BE_OFF.iter().any(|word| token.is(word)));
    tokens += usize::from(is_said);
    if is_marked || is_said {
        pairs.push(("owner_can_switch_off".to_owned(), Value::Flag(true)));
    }
    let meaning = told(context, &pairs);
    Found::Read(Taken::new(tokens, meaning, vec![("base", Set::Item(Value::Table(pairs)))]))
}

/// Words for what the mark says.
const MAY_BE_OFF: [&str; 4] = ["off-able", "offable", "can-off", "switchable"];

/// A word that may be a load's name: no number, and no mark but the `*`.
fn is_name(token: &Token) -> bool {
    let is_marked_well = matches!(token.mark, None | Some('*'));
    is_marked_well && token.equals.is_none() && (token.is_quoted || quantity(&token.text).is_none())
}

fn is_leakage(rest: &[Token]) -> bool {
    let Some(text) = rest.first().and_then(Token::plain) else {
        return false;
    };
    let most = text.rsplit(['-', '.']).next().unwrap_or(text);
    let is_said = text.to_lowercase().ends_with("ma") && quantity(most).is_some();
    is_said || amount(rest, Unit::MilliAmps).as_ref().is_some_and(has_unit)
}

fn told(context: &Context<'_>, pairs: &[(String, Value)]) -> String {
    let find = |wanted: &str| pairs.iter().find(|(key, _)| key == wanted).map(|(_, value)| value);
    let name = match find("name") {
        Some(Value::Text(name)) => shown(name).trim_matches('`').to_owned(),
        _ => "without a name".to_owned(),
    };
    let worth_of = |key: &str| Some(worth(context, BASE.key(key)?, find(key)?));
    let mut meaning = format!("base load {name}, {}", worth_of("amps").unwrap_or_default());
    if let Some(leak) = worth_of("leak_ma") {
        let _ = write!(meaning, ", leaks {leak}");
    }
    if find("owner_can_switch_off").is_some() {
        meaning.push_str(", its owner can switch it off");
    }
    meaning
}

/// A load in watts: the file wants amps, and nobody knows its power factor.
fn in_watts(rest: &[Token], named: usize) -> Found {
    let behind = rest.get(named..).unwrap_or_default();
    let watts = amount(behind, Unit::Watts).filter(has_unit).filter(|_| named > 0);
    match watts {
        Some(watts) => Found::Bad(Wrong::new(
            named + watts.tokens,
            "what the house has on a circuit is told in amps, as a clamp or a plate says, like 0.65A"
                .to_owned(),
        )),
        None => Found::No,
    }
}
