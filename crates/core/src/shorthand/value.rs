//! Values: out of words as a key takes them, and back into words.

use super::lookup::{self, By, Named};
use super::token::{Amount, Said, Token, amount, quantity, same};
use super::{Context, Wrong};
use crate::edit::Value;
use crate::file::number::{shown, slips, span, within};
use crate::file::schema::{Bounds, Key, Kind, LONGEST_TEXT, Target, Unit};
use crate::file::{nearest, quoted};

/// A value that was read, and how many words it took.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Good {
    pub value: Value,
    pub tokens: usize,
    /// What is worth knowing about how it was read.
    pub note: Option<String>,
}

impl Good {
    const fn of(value: Value, tokens: usize) -> Self {
        Self { value, tokens, note: None }
    }
}

/// Reads the value of `key` at the beginning of `tokens`.
pub(super) fn read(context: &Context<'_>, key: &'static Key, tokens: &[Token]) -> Result<Good, Wrong> {
    let Some(first) = tokens.first() else {
        return Err(Wrong::new(0, format!("{} is to follow: {}", label(key), key.kind.expects())));
    };
    let bad = || Wrong::new(1, format!("{} is no {}", quoted(&first.text), expected(key)));
    let text = first.text.as_str();
    match key.kind {
        Kind::Text => self::text(key, first).map(|value| Good::of(value, 1)),
        Kind::Number(bounds) => number(key, tokens, bounds),
        Kind::Range(bounds) => least_and_most(key, tokens, bounds),
        Kind::Whole(low, high) => whole(key, first, low, high),
        Kind::WholeOf(values) => match text.parse::<i64>() {
            Ok(value) if values.contains(&value) => Ok(Good::of(Value::Whole(value), 1)),
            _ => Err(bad()),
        },
        Kind::Flag => match &*text.to_lowercase() {
            "yes" | "true" => Ok(Good::of(Value::Flag(true), 1)),
            "no" | "false" => Ok(Good::of(Value::Flag(false), 1)),
            _ => Err(bad()),
        },
        Kind::Choice(words) => match words.iter().find(|word| same(word, text)) {
            Some(word) => Ok(Good::of(Value::text(word), 1)),
            None => Err(bad().or_nearest(nearest(text, words.iter().copied()))),
        },
        Kind::Spectrum => match crate::file::schema::SPECTRUM_WORDS.iter().find(|word| same(word, text)) {
            Some(word) => Ok(Good::of(Value::text(word), 1)),
            None => Err(bad()),
        },
        Kind::Id(target) => reference(context, target, text),
        Kind::Ids(target, _) => list(text, |one| reference(context, target, one)),
        Kind::BaseLoads => list(text, |one| base_load(context, one)),
        Kind::Point => point(text).map(|at| Good::of(at, 1)).ok_or_else(bad),
        Kind::Area => numbers(text)
            .filter(|all| all.len() == 4 && all[2] > 0.0 && all[3] > 0.0)
            .map(|all| Good::of(metres(&all), 1))
            .ok_or_else(bad),
        Kind::Clock => clock(text).map(|time| Good::of(Value::text(&time), 1)).ok_or_else(bad),
        Kind::Hours => {
            hours(text).map(|[from, until]| Good::of(Value::texts([&*from, &*until]), 1)).ok_or_else(bad)
        }
        Kind::Moment | Kind::Table(_) | Kind::Tables(_) | Kind::Entries(..) => {
            Err(Wrong::new(1, format!("{} cannot be written as {}=…", label(key), key.name)))
        }
    }
}

fn expected(key: &Key) -> String {
    match key.kind {
        Kind::Number(bounds) | Kind::Range(bounds) => format!("{}: {}", label(key), span(bounds)),
        _ => format!("{}: {}", label(key), key.kind.expects()),
    }
}

/// Text that a key takes as it is.
pub(super) fn text(key: &Key, token: &Token) -> Result<Value, Wrong> {
    let count = token.text.chars().count();
    if count > LONGEST_TEXT {
        return Err(Wrong::new(1, format!("{} has {count} characters; {LONGEST_TEXT} at most", label(key))));
    }
    Ok(Value::text(&token.text))
}

fn number(key: &'static Key, tokens: &[Token], bounds: Bounds) -> Result<Good, Wrong> {
    match amount(tokens, bounds.unit) {
        Some(amount) => checked(key, tokens, bounds, amount),
        None => Err(Wrong::new(1, format!("{} is no {}", quoted(&tokens[0].text), expected(key)))),
    }
}

/// An amount inside the bounds of its key, or what was probably meant.
pub(super) fn checked(
    key: &'static Key,
    tokens: &[Token],
    bounds: Bounds,
    amount: Amount,
) -> Result<Good, Wrong> {
    if within(amount.value, bounds) {
        return Ok(Good::of(Value::Number(amount.value), amount.tokens));
    }
    let typed: Vec<&str> = tokens[..amount.tokens].iter().map(|token| token.text.as_str()).collect();
    let why = format!("{} is outside of {} for {}", quoted(&typed.join(" ")), span(bounds), label(key));
    let mut wrong = Wrong::new(amount.tokens, why);
    if amount.value < 0.0 && within(-amount.value, bounds) {
        wrong.suggestions.push(written(-amount.value, bounds.unit));
    }
    for (factor, _) in slips(bounds.unit) {
        let meant = amount.value * factor;
        if within(meant, bounds) {
            wrong.suggestions.push(format!("{}{}", shown(meant), ascii(bounds.unit)));
        }
    }
    Err(wrong)
}

fn least_and_most(key: &'static Key, tokens: &[Token], bounds: Bounds) -> Result<Good, Wrong> {
    let parts = tokens[0].plain().and_then(|text| text.split_once("..").or_else(|| text.split_once('-')));
    let Some((least, most)) = parts.filter(|(least, most)| !least.is_empty() && !most.is_empty()) else {
        return number(key, tokens, bounds);
    };
    let unit = quantity(most).map(|most| most.suffix).unwrap_or_default();
    // The unit stands behind the second number and counts for both.
    let least = if quantity(least).is_some_and(|least| least.suffix.is_empty()) {
        format!("{least}{unit}")
    } else {
        least.to_owned()
    };
    let one = |text: &str| {
        let token = Token { text: text.to_owned(), mark: None, equals: None, ..tokens[0].clone() };
        number(key, &[token], bounds).map(|good| good.value)
    };
    let (low, high) = (one(&least)?, one(most)?);
    let (Value::Number(least), Value::Number(most)) = (&low, &high) else {
        return Err(Wrong::new(1, format!("{} is no {}", quoted(&tokens[0].text), expected(key))));
    };
    match least.total_cmp(most) {
        std::cmp::Ordering::Greater => Err(Wrong::new(1, "the least comes first".to_owned())),
        std::cmp::Ordering::Equal => Ok(Good::of(low, 1)),
        std::cmp::Ordering::Less => Ok(Good::of(Value::List(vec![low, high]), 1)),
    }
}

fn whole(key: &'static Key, token: &Token, low: i64, high: i64) -> Result<Good, Wrong> {
    let text = token.text.strip_prefix('+').unwrap_or(&token.text).replace('\u{2212}', "-");
    match text.parse::<i64>() {
        Ok(value) if (low..=high).contains(&value) => Ok(Good::of(Value::Whole(value), 1)),
        Ok(_) => {
            Err(Wrong::new(1, format!("{} is outside of {low} to {high} for {}", quoted(&text), label(key))))
        }
        Err(_) => Err(Wrong::new(1, format!("{} is no {}", quoted(&text), expected(key)))),
    }
}

/// A thing of the plan or the library, by its id or what it is called.
pub(super) fn reference(context: &Context<'_>, target: Target, given: &str) -> Result<Good, Wrong> {
    match lookup::named(context.plan, target, given) {
        Named::One(id, by) => {
            let note = (by == By::Case).then(|| format!("typed {}", quoted(given)));
            Ok(Good { value: Value::text(&id), tokens: 1, note })
        }
        Named::Several(ids) => {
            let mut wrong =
                Wrong::new(1, format!("{} may be more than one {}", quoted(given), target.noun()));
            wrong.suggestions = if ids.iter().all(|id| *id == ids[0]) { Vec::new() } else { ids };
            Err(wrong)
        }
        Named::Nothing => {
            let all = lookup::candidates(context.plan, target);
            let words = all.iter().flat_map(|(id, name)| std::iter::once(*id).chain(*name));
            Err(Wrong::new(1, format!("there is no {} {}", target.noun(), quoted(given)))
                .or_nearest(nearest(given, words))
                .offering(target, given))
        }
    }
}

fn base_load(context: &Context<'_>, given: &str) -> Result<Good, Wrong> {
    match lookup::base_load(context.plan, given) {
        Ok(load) => Ok(Good::of(Value::text(&format!("{}.{}", load.circuit, load.name)), 1)),
        Err(known) => {
            let near = nearest(given, known.iter().map(String::as_str)).map(ToOwned::to_owned);
            let mut wrong = Wrong::new(1, format!("{} names no one base load", quoted(given)));
            wrong.suggestions = near.map_or_else(|| known.into_iter().take(4).collect(), |near| vec![near]);
            Err(wrong)
        }
    }
}

fn list(text: &str, one: impl Fn(&str) -> Result<Good, Wrong>) -> Result<Good, Wrong> {
    let mut values = Vec::new();
    for part in text.split(',').filter(|part| !part.is_empty()) {
        values.push(one(part.trim())?.value);
    }
    Ok(Good::of(Value::List(values), 1))
}

/// Numbers parted by `;`, or by `,` where there is no `;`.
pub(super) fn numbers(text: &str) -> Option<Vec<f64>> {
    let parts: Vec<&str> =
        if text.contains(';') { text.split(';').collect() } else { text.split(',').collect() };
    parts.into_iter().map(number_of_metres).collect()
}

fn number_of_metres(text: &str) -> Option<f64> {
    let read = quantity(text.trim())?;
    let value: f64 = read.digits.parse().ok()?;
    let bounds = Bounds { unit: Unit::Metres, low: -10_000.0, high: 10_000.0 };
    (matches!(&*read.suffix, "" | "m") && within(value, bounds)).then_some(value)
}

/// `2,8`
pub(super) fn point(text: &str) -> Option<Value> {
    numbers(text).filter(|all| all.len() == 2).map(|all| metres(&all))
}

fn metres(all: &[f64]) -> Value {
    Value::List(all.iter().copied().map(Value::Number).collect())
}

/// `9:00`, `09:00`, as the file writes it.
pub(super) fn clock(text: &str) -> Option<String> {
    let (hours, minutes) = text.split_once([':', 'h'])?;
    let digits = |text: &str, most: usize| {
        let good = !text.is_empty() && text.len() <= most && text.bytes().all(|b| b.is_ascii_digit());
        good.then(|| text.parse::<u32>().ok()).flatten()
    };
    let (hours, minutes) = (digits(hours, 2)?, digits(minutes, 2).filter(|_| minutes.len() == 2)?);
    (hours < 24 && minutes < 60).then(|| format!("{hours:02}:{minutes:02}"))
}

/// `06:00-22:00`
pub(super) fn hours(text: &str) -> Option<[String; 2]> {
    let (from, until) = text.split_once(['-', '\u{2013}'])?;
    Some([clock(from)?, clock(until)?])
}

/// A number right before its unit, as it may be typed.
pub(super) fn written(value: f64, unit: Unit) -> String {
    format!("{value}{}", ascii(unit))
}

/// A unit as keyboards have it.
pub(super) const fn ascii(unit: Unit) -> &'static str {
    match unit {
        Unit::SquareMillimetres => "mm2",
        Unit::Ohms => "ohm",
        Unit::Celsius => "c",
        other => other.symbol(),
    }
}

/// What a key is about, without its unit.
pub(super) fn label(key: &Key) -> String {
    let special = match key.name {
        "at" => "position",
        "pf" => "power factor",
        "mm2" | "awg" => "size",
        "held_by" => "held on by",
        "on" => "heads on",
        "base" => "base load",
        "base_off" => "switched off by its owner",
        "strike_ma" => "striking leakage",
        "leak_ma" => "leakage",
        "idle_ma" => "leakage while dark",
        _ => "",
    };
    if !special.is_empty() {
        return special.to_owned();
    }
    stem(key).replace('_', " ")
}

/// A key's name without its unit.
pub(super) fn stem(key: &Key) -> &'static str {
    const UNITS: [&str; 11] =
        ["_a", "_ma", "_ohm", "_w", "_kw", "_m", "_min", "_ms", "_c", "_percent", "_day"];
    UNITS.iter().find_map(|unit| key.name.strip_suffix(unit)).unwrap_or(key.name)
}

/// A key and its value in words.
pub(super) fn told(context: &Context<'_>, key: &Key, value: &Value) -> String {
    match (key.kind, value) {
        (Kind::Flag, Value::Flag(true)) => label(key),
        (Kind::Flag, _) => format!("not {}", label(key)),
        (Kind::Number(bounds), _)
            if matches!(key.name, "amps" | "watts" | "volts" | "kw" | "kva" | "kwh" | "minutes") =>
        {
            in_unit(value, bounds.unit)
        }
        _ if key.name == "awg" => format!("size {} AWG", plain(value)),
        _ => format!("{} {}", label(key), worth(context, key, value)),
    }
}

/// A value in words.
pub(super) fn worth(context: &Context<'_>, key: &Key, value: &Value) -> String {
    match (key.kind, value) {
        (Kind::Number(bounds) | Kind::Range(bounds), _) => in_unit(value, bounds.unit),
        (Kind::Id(target), Value::Text(id)) => match lookup::called(context.plan, target, id) {
            Some(name) if !same(name, id) => format!("{id} ({})", bare(name)),
            _ => id.clone(),
        },
        (Kind::Point, _) => format!("{} m", plain(value)),
        (Kind::Area, Value::List(all)) if all.len() == 4 => {
            format!("{} x {} m at {}, {}", plain(&all[2]), plain(&all[3]), plain(&all[0]), plain(&all[1]))
        }
        (Kind::Hours, Value::List(all)) if all.len() == 2 => {
            format!("{} to {}", plain(&all[0]), plain(&all[1]))
        }
        (Kind::Text, Value::Text(text)) => format!("\"{}\"", bare(text)),
        _ => plain(value),
    }
}

fn in_unit(value: &Value, unit: Unit) -> String {
    let number = match value {
        Value::List(all) if all.len() == 2 => format!("{} to {}", plain(&all[0]), plain(&all[1])),
        other => plain(other),
    };
    format!("{number} {}", unit.symbol()).trim_end().to_owned()
}

fn plain(value: &Value) -> String {
    match value {
        Value::Text(text) => bare(text),
        Value::Whole(value) => value.to_string(),
        Value::Number(value) => shown(*value),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        Value::List(values) => {
            let all: Vec<String> = values.iter().map(plain).collect();
            if all.is_empty() { "none".to_owned() } else { all.join(", ") }
        }
        Value::Table(pairs) => {
            let all: Vec<String> =
                pairs.iter().map(|(key, value)| format!("{key} {}", plain(value))).collect();
            all.join(" ")
        }
    }
}

/// A user's own words inside a sentence: short, and with nothing in them that a terminal acts on.
fn bare(text: &str) -> String {
    quoted(text).trim_matches('`').to_owned()
}

/// Whether the unit of an amount was said: a bare number of several possible units is no answer.
pub(super) const fn has_unit(amount: &Amount) -> bool {
    matches!(amount.unit, Said::Yes)
}
