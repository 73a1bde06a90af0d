//! Parts about places and supplies.

use super::engine::joined;
use super::token::{Token, amount, quantity};
use super::value::{self, has_unit};
use super::{Context, Found, Set, Taken, Wrong, shown};
use crate::edit::Value;
use crate::file::schema::{Kind, Unit};
use crate::plan::SupplyKind;

/// What stands behind an `@`, in this word or in the next ones.
fn behind_at(rest: &[Token]) -> Option<(Vec<f64>, usize)> {
    let text = rest[0].plain()?.strip_prefix('@')?;
    if text.is_empty() {
        return Some((value::numbers(rest.get(1)?.plain()?)?, 2));
    }
    match value::numbers(text)?.as_slice() {
        // `@2, 8`: the comma went with the first word.
        [x] => Some((vec![*x, *value::numbers(rest.get(1)?.plain()?)?.first()?], 2)),
        all => Some((all.to_vec(), 1)),
    }
}

/// `@2,8`
pub(super) fn at(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if rest[0].plain().is_none_or(|text| !text.starts_with('@')) {
        return Found::No;
    }
    match behind_at(rest) {
        Some((all, tokens)) if all.len() == 2 => {
            let value = Value::List(all.into_iter().map(Value::Number).collect());
            Found::Read(context.given("at", value::Good { value, tokens, note: None }, tokens))
        }
        _ => Found::Bad(no_place(rest)),
    }
}

fn no_place(rest: &[Token]) -> Wrong {
    Wrong::new(1, format!("{} is no place: write two numbers of metres, like @2,8", shown(&rest[0].text)))
}

/// The corner of a box: `@0,0`
pub(super) fn corner(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if rest[0].plain().is_none_or(|text| !text.starts_with('@')) {
        return Found::No;
    }
    match behind_at(rest) {
        Some((all, tokens)) if all.len() == 2 => {
            let meaning = format!("its corner at {}, {} m", all[0], all[1]);
            Found::Read(Taken::new(tokens, meaning, vec![("box", Set::Corner(all[0], all[1]))]))
        }
        _ => Found::Bad(no_place(rest)),
    }
}

/// Two numbers with an x between them, in one word or in three, and how many words they take.
pub(super) fn times(rest: &[Token]) -> Option<(&str, &str, usize)> {
    const TIMES: [char; 3] = ['x', 'X', '\u{d7}'];
    let first = rest[0].plain()?;
    if let Some((left, right)) = first.split_once(TIMES)
        && !left.is_empty()
        && !right.is_empty()
    {
        return Some((left, right, 1));
    }
    let (between, last) = (rest.get(1)?.plain()?, rest.get(2)?.plain()?);
    (between.chars().count() == 1 && between.contains(TIMES)).then_some((first, last, 3))
}

/// Width and depth of a box: `6x9`
pub(super) fn size(context: &Context<'_>, at: usize) -> Found {
    let Some((width, depth, tokens)) = times(context.rest(at)) else {
        return Found::No;
    };
    let metres =
        |text: &str| value::numbers(&text.replace(',', ".")).filter(|all| all.len() == 1).map(|all| all[0]);
    match (metres(width), metres(depth)) {
        (Some(width), Some(depth)) if width > 0.0 && depth > 0.0 => {
            let meaning = format!("{width} x {depth} m");
            Found::Read(Taken::new(tokens, meaning, vec![("box", Set::Size(width, depth))]))
        }
        _ => Found::No,
    }
}

/// A floor's level: `0`, `-1`, `+2`
pub(super) fn level(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let led = usize::from(rest[0].is("level"));
    let Some(token) = rest.get(led) else {
        return Found::No;
    };
    let unsigned = token.plain().map(|text| text.trim_start_matches(['+', '-', '\u{2212}']));
    let is_number = unsigned.is_some_and(|text| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()));
    let Some(key) = context.key("level").filter(|_| is_number) else {
        return Found::No;
    };
    match value::read(context, key, std::slice::from_ref(token)) {
        Ok(good) => Found::Read(context.given("level", good, 1 + led)),
        Err(wrong) => Found::Bad(Wrong { tokens: 1 + led, ..wrong }),
    }
}

/// What kind of supply the line says, or the plan has.
fn kind_of(context: &Context<'_>) -> Option<SupplyKind> {
    const WORDS: [(&str, SupplyKind); 9] = [
        ("mains", SupplyKind::Mains),
        ("grid", SupplyKind::Mains),
        ("generator", SupplyKind::Generator),
        ("gen", SupplyKind::Generator),
        ("genny", SupplyKind::Generator),
        ("genset", SupplyKind::Generator),
        ("battery", SupplyKind::Battery),
        ("station", SupplyKind::Battery),
        ("kind=mains", SupplyKind::Mains),
    ];
    let said = context
        .tokens
        .iter()
        .enumerate()
        .filter(|(at, _)| context.id_at != Some(*at))
        .find_map(|(_, token)| WORDS.iter().find(|(word, _)| token.is(word)).map(|(_, kind)| *kind));
    said.or_else(|| context.plan.supplies.get(context.existing?).map(|supply| supply.kind))
}

/// `3kW`: the contract of mains, the real power of anything else.
pub(super) fn kilowatts(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let is_power = rest[0].plain().and_then(quantity).is_some()
        && amount(rest, Unit::KiloWatts).as_ref().is_some_and(has_unit);
    if !is_power {
        return Found::No;
    }
    let name = match kind_of(context) {
        Some(SupplyKind::Mains) => "contract_kw",
        Some(SupplyKind::Generator | SupplyKind::Battery) => "kw",
        None => {
            let count = amount(rest, Unit::KiloWatts).map_or(1, |amount| amount.tokens);
            let typed = joined(&rest[..count], "").unwrap_or_default();
            let why = format!(
                "{} of a contract, or of a set? The line does not say what the supply is",
                shown(&typed)
            );
            let mut wrong = Wrong::new(count, why);
            wrong.suggestions =
                vec![format!("mains {typed}"), format!("generator {typed}"), format!("battery {typed}")];
            return Found::Bad(wrong);
        }
    };
    let Some(key) = context.key(name) else {
        return Found::No;
    };
    match value::read(context, key, rest) {
        Ok(good) => {
            let tokens = good.tokens;
            Found::Read(context.given(key.name, good, tokens))
        }
        Err(wrong) => Found::Bad(wrong),
    }
}

/// Poles of an RCD: `4p`, `4 poles`
pub(super) fn poles(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(read) = rest[0].plain().and_then(quantity) else {
        return Found::No;
    };
    let is_pole = |word: &str| matches!(word, "p" | "pole" | "poles");
    let tokens = match (&*read.suffix, rest.get(1).and_then(Token::word)) {
        (suffix, _) if is_pole(suffix) => 1,
        ("", Some(next)) if is_pole(&next) => 2,
        _ => return Found::No,
    };
    let Some(key) = context.key("poles") else {
        return Found::No;
    };
    let value = read.digits.parse::<i64>().ok();
    match (value, key.kind) {
        (Some(value), Kind::WholeOf(known)) if known.contains(&value) => Found::Read(Taken::new(
            tokens,
            format!("{value} poles"),
            vec![("poles", Set::To(Value::Whole(value)))],
        )),
        _ => {
            let mut wrong = Wrong::new(tokens, format!("an RCD has {} poles", key.kind.expects()));
            wrong.suggestions = vec!["2p".to_owned(), "4p".to_owned()];
            Found::Bad(wrong)
        }
    }
}
