//! Parts of a socket: ways, outlet, outcome, label, plate.

use super::engine::joined;
use super::token::{Token, amount, quantity, same};
use super::value::{self, has_unit};
use super::{Context, Found, Set, Taken, Wrong, place, shown};
use crate::edit::Value;
use crate::file::schema::{Bounds, Kind, Unit};
use crate::id::OutletId;
use crate::library::{Outlet, OutletUse, RegionCode, library};
use crate::order::Order as _;

/// How far a socket's volts may be from the region's and still be the everyday ones.
const SAME_VOLTS: f64 = 0.15;

/// `2x10`, `2x`, `2 ways`, `10A`
pub(super) fn ways(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if let Some((count, amps, tokens)) = place::times(rest) {
        let amps = Token { text: amps.to_owned(), ..rest[0].clone() };
        return match (count.parse::<i64>(), amount(&[amps], Unit::Amps)) {
            (Ok(count), Some(amps)) => {
                // `2x10 A`
                let unit_apart =
                    usize::from(!has_unit(&amps) && rest.get(tokens).is_some_and(|token| token.is("A")));
                both(context, Some(count), Some(amps.value), tokens + unit_apart)
            }
            _ => Found::No,
        };
    }
    if let Some(amps) = amount(rest, Unit::Amps).filter(has_unit) {
        return both(context, None, Some(amps.value), amps.tokens);
    }
    match count_of(rest, &["x", "way", "ways", "w"]) {
        Some((count, tokens)) => both(context, Some(count), None, tokens),
        None => Found::No,
    }
}

/// A whole number with one of some words behind it: `2x`, `2way`, `2 ways`
pub(super) fn count_of(rest: &[Token], words: &[&str]) -> Option<(i64, usize)> {
    let read = quantity(rest.first()?.plain()?)?;
    let count = read.digits.parse().ok()?;
    if words.contains(&read.suffix.as_str()) {
        return Some((count, 1));
    }
    let next = rest.get(1)?.word()?;
    (read.suffix.is_empty() && words.contains(&next.as_str())).then_some((count, 2))
}

fn both(context: &Context<'_>, ways: Option<i64>, amps: Option<f64>, tokens: usize) -> Found {
    let mut sets = Vec::new();
    if let (Some(ways), Some(Kind::Whole(low, high))) = (ways, context.key("ways").map(|key| key.kind)) {
        if !(low..=high).contains(&ways) {
            return Found::Bad(Wrong::new(tokens, format!("a socket has {low} to {high} ways, not {ways}")));
        }
        sets.push(("ways", Set::To(Value::Whole(ways))));
    }
    let count = ways.map(|ways| format!("{ways} {}", if ways == 1 { "way" } else { "ways" }));
    let Some(amps) = amps else {
        return Found::Read(Taken::new(tokens, count.unwrap_or_default(), sets));
    };
    match outlet_of(context.plan.location.region, amps) {
        Ok(outlet) => {
            let rating = format!("{amps} A ({outlet})");
            let meaning = count.map_or(format!("outlet of {rating}"), |count| format!("{count} of {rating}"));
            sets.push(("outlet", Set::To(Value::text(outlet.as_str()))));
            Found::Read(Taken::new(tokens, meaning, sets))
        }
        Err(known) => {
            let ways = ways.map(|ways| format!("{ways}x ")).unwrap_or_default();
            let why = if known.is_empty() {
                format!("no outlet of {amps} A is known here")
            } else {
                format!("more than one outlet here has {amps} A")
            };
            let mut wrong = Wrong::new(tokens, why);
            let all: Vec<f64> =
                if known.is_empty() { ratings(context.plan.location.region) } else { Vec::new() };
            wrong.suggestions = known.iter().map(|outlet| format!("{ways}{outlet}")).collect();
            wrong.suggestions.extend(all.into_iter().map(|amps| format!("{ways}{amps}A")));
            Found::Bad(wrong)
        }
    }
}

fn everyday(region: Option<RegionCode>) -> impl Iterator<Item = (&'static OutletId, &'static Outlet)> {
    let volts = region.map(|region| region.region().volts.0);
    library().outlets.iter().filter(move |(_, outlet)| {
        let is_here =
            region.is_none_or(|region| outlet.regions.is_empty() || outlet.regions.contains(&region));
        let has_volts = volts.is_none_or(|volts| (outlet.volts.0 - volts).abs() <= volts * SAME_VOLTS);
        is_here && has_volts && outlet.lines == 1 && outlet.usage == OutletUse::General
    })
}

fn ratings(region: Option<RegionCode>) -> Vec<f64> {
    let mut all: Vec<f64> = everyday(region).map(|(_, outlet)| outlet.amps.0).collect();
    all.order_by(f64::total_cmp);
    all.dedup();
    all
}

/// The outlet of a rating on one line: the region's everyday one, else the one that takes its plug, else
/// the only one. Several: which is asked.
pub(super) fn outlet_of(
    region: Option<RegionCode>,
    amps: f64,
) -> Result<&'static OutletId, Vec<&'static OutletId>> {
    let rated: Vec<(&OutletId, &Outlet)> =
        everyday(region).filter(|(_, outlet)| outlet.amps.0.total_cmp(&amps).is_eq()).collect();
    let ids = |all: &[(&'static OutletId, &Outlet)]| all.iter().map(|(id, _)| *id).collect::<Vec<_>>();
    if let Some(usual) = region.map(|region| &region.region().outlet) {
        if let Some((id, _)) = rated.iter().find(|(id, _)| *id == usual) {
            return Ok(id);
        }
        let taking: Vec<_> = rated.iter().copied().filter(|(_, outlet)| outlet.accepts(usual)).collect();
        if let [(id, _)] = taking.as_slice() {
            return Ok(id);
        }
    }
    match rated.as_slice() {
        [(id, _)] => Ok(id),
        several => Err(ids(several)),
    }
}

/// What a tester's word stands for, whatever the region's words for active and earth.
const OUTCOMES: [(&str, &str); 12] = [
    ("good", "ok"),
    ("rev", "reversed"),
    ("swapped", "reversed"),
    ("noe", "no-earth"),
    ("non", "no-neutral"),
    ("open-neutral", "no-neutral"),
    ("no-power", "dead"),
    ("aoe", "active-on-earth"),
    ("loe", "active-on-earth"),
    ("hog", "active-on-earth"),
    ("nog", "no-earth"),
    ("not-tested", "untested"),
];

/// The outcome that words mean, in the file's words.
fn outcome_word(given: &str) -> Option<&'static str> {
    let file = crate::plan::TestOutcome::WORDS;
    if let Some((word, _)) = file.iter().find(|(word, _)| same(word, given)) {
        return Some(word);
    }
    if let Some((_, meant)) = OUTCOMES.iter().find(|(word, _)| same(word, given)) {
        return Some(meant);
    }
    library().regions.values().find_map(|region| {
        let words = &region.words;
        let (active, earth) = (&words.active, &words.earth);
        let is = |text: String| same(&text, given);
        if is(format!("no-{earth}")) || is(format!("open-{earth}")) {
            return Some("no-earth");
        }
        if is(format!("{active}-on-{earth}")) {
            return Some("active-on-earth");
        }
        let is_swapped = is(format!("{active}-neutral-reversed")) || is(format!("{active}-neutral-swapped"));
        is_swapped.then_some("reversed")
    })
}

/// Words that the tester's outcomes go by here, for completion.
pub(super) fn outcome_words(region: Option<RegionCode>) -> Vec<String> {
    let file = crate::plan::TestOutcome::WORDS.iter().map(|(word, _)| (*word).to_owned());
    let own = region.map(|region| {
        let words = &region.region().words;
        [format!("no-{}", words.earth), format!("{}-on-{}", words.active, words.earth)]
    });
    let short = OUTCOMES.iter().map(|(word, _)| (*word).to_owned());
    file.chain(own.into_iter().flatten()).chain(short).collect()
}

/// What the polarity tester said.
pub(super) fn outcome(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let led = usize::from(rest[0].is("test") && rest.len() > 1);
    for count in (1..=(rest.len() - led).min(3)).rev() {
        let given = joined(&rest[led..led + count], "-");
        if let Some(word) = given.as_deref().and_then(outcome_word) {
            let meaning = format!("tester: {}", in_words(context.plan.location.region, word));
            return Found::Read(Taken::new(count + led, meaning, vec![("test", Set::To(Value::text(word)))]));
        }
    }
    Found::No
}

/// An outcome in the words of the region.
fn in_words(region: Option<RegionCode>, word: &str) -> String {
    let words = region.map(|region| &region.region().words);
    let active = words.map_or("active", |words| &words.active);
    let earth = words.map_or("earth", |words| &words.earth);
    match word {
        "reversed" => format!("{active} and neutral swapped"),
        "no-earth" => format!("no {earth}"),
        "no-neutral" => "no neutral".to_owned(),
        "active-on-earth" => format!("{active} on {earth}"),
        other => other.to_owned(),
    }
}

/// `p2?`, `label P2`: what the wall says.
pub(super) fn label(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let token = match (rest[0].is("label"), rest.get(1)) {
        (true, Some(token)) => token,
        (true, None) => {
            return Found::Bad(Wrong::new(1, "what the wall says is to follow `label`".to_owned()));
        }
        (false, _) if rest[0].mark == Some('?') && rest[0].equals.is_none() => &rest[0],
        _ => return Found::No,
    };
    let tokens = 1 + usize::from(rest[0].is("label"));
    let text = if token.is_quoted { token.text.clone() } else { as_circuit(context, &token.text) };
    let Some(key) = context.key("label") else {
        return Found::No;
    };
    match value::text(key, &Token { text, ..token.clone() }) {
        Ok(Value::Text(text)) => {
            let known = context.plan.circuits.contains_key(text.as_str());
            let what = if known { format!("circuit {text}") } else { shown(&text).replace('`', "\"") };
            let meaning = format!("{what} on the label, not traced");
            Found::Read(Taken::new(tokens, meaning, vec![("label", Set::To(Value::Text(text)))]))
        }
        Ok(_) => Found::No,
        Err(wrong) => Found::Bad(wrong),
    }
}

/// A circuit's id as the plan has it, where the word is one but for letter case.
fn as_circuit(context: &Context<'_>, given: &str) -> String {
    let circuits = &context.plan.circuits;
    if circuits.contains_key(given) {
        return given.to_owned();
    }
    let mut near = circuits.keys().filter(|id| same(id.as_str(), given));
    match (near.next(), near.next()) {
        (Some(one), None) => one.to_string(),
        _ => given.to_owned(),
    }
}

/// `plate K`, `plate 20A`
pub(super) fn plate(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if !rest[0].is("plate") {
        return Found::No;
    }
    let amps = amount(&rest[1..], Unit::Amps).filter(has_unit);
    let name = if amps.is_some() { "plate_a" } else { "plate" };
    let Some(key) = context.key(name) else {
        return Found::No;
    };
    let is_bounded = matches!(key.kind, Kind::Number(Bounds { .. }));
    match value::read(context, key, &rest[1..]) {
        Ok(good) => {
            let tokens = good.tokens + 1;
            let mut taken = context.given(key.name, good, tokens);
            if is_bounded && let Some(amps) = amps {
                taken.meaning = format!("{} A on its plate in all", amps.value);
            }
            Found::Read(taken)
        }
        Err(wrong) => Found::Bad(Wrong { tokens: wrong.tokens + 1, ..wrong }),
    }
}

/// `portable PR1`, `ban "not ours"`
pub(super) fn portable_or_ban(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let name = match rest[0].word().as_deref() {
        Some("portable") => "portable_rcd",
        Some("ban" | "banned") => "ban",
        _ => return Found::No,
    };
    let Some(key) = context.key(name) else {
        return Found::No;
    };
    match value::read(context, key, &rest[1..]) {
        Ok(good) => {
            let tokens = good.tokens + 1;
            Found::Read(context.given(key.name, good, tokens))
        }
        Err(wrong) => Found::Bad(Wrong { tokens: wrong.tokens + 1, ..wrong }),
    }
}
