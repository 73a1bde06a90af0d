//! Parts of heads, cables and blocks: class, gauge, counts.

use super::socket::count_of;
use super::token::{Token, amount, quantity, same};
use super::value::{self, has_unit};
use super::{Context, Found, Set, Taken, Wrong, shown};
use crate::edit::Value;
use crate::file::schema::{Kind, Unit};
use crate::library::library;

/// Fewest letters that stand for a class of one word.
const FEWEST: usize = 3;

/// A class of the library, by its id or as short as only one fits: `led600`, `t2k`, `575`.
pub(super) fn class(context: &Context<'_>, at: usize) -> Found {
    let token = &context.tokens[at];
    let Some(given) = token.plain() else {
        return Found::No;
    };
    let led = usize::from(token.is("class") && context.rest(at).len() > 1);
    let given = if led == 1 { context.tokens[at + 1].text.as_str() } else { given };
    match classes(given).as_slice() {
        [] if led == 1 => Found::Bad(Wrong::new(2, format!("the library has no class {}", shown(given)))),
        [] => Found::No,
        [one] => {
            let meaning = format!("class {one}");
            Found::Read(Taken::new(1 + led, meaning, vec![("class", Set::To(Value::text(one)))]))
        }
        several => {
            let mut wrong = Wrong::new(1 + led, format!("{} may be more than one class", shown(given)));
            wrong.suggestions = several.iter().map(|class| (*class).to_owned()).collect();
            Found::Bad(wrong)
        }
    }
}

/// The classes that a short word may stand for: the plainest of each kind.
fn classes(given: &str) -> Vec<&'static str> {
    let all = || library().heads.keys().map(crate::id::ClassId::as_str);
    if let Some(exact) = all().find(|class| same(class, given)) {
        return vec![exact];
    }
    let given = as_the_trade_says(&given.to_lowercase().replace('-', ""));
    let mut fits: Vec<(usize, &'static str)> =
        all().filter_map(|class| Some((spare(class, &given)?, class))).collect();
    let least = fits.iter().map(|(spare, _)| *spare).min();
    fits.retain(|(spare, _)| Some(*spare) == least);
    fits.into_iter().map(|(_, class)| class).collect()
}

/// `1.2k` and `1200` are `1k2`.
fn as_the_trade_says(given: &str) -> String {
    let at = given.find(|c: char| c.is_ascii_digit()).unwrap_or(given.len());
    let (letters, rest) = given.split_at(at);
    let end = rest.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',')).unwrap_or(rest.len());
    let (digits, tail) = rest.split_at(end);
    if let Some((whole, part)) = digits.split_once(['.', ','])
        && let Some(tail) = tail.strip_prefix('k')
    {
        return format!("{letters}{whole}k{part}{tail}");
    }
    let thousands = digits.strip_suffix("00").filter(|rest| rest.len() >= 2 && digits.len() <= 5);
    match thousands.map(|rest| rest.split_at(rest.len() - 1)) {
        Some((whole, "0")) => format!("{letters}{whole}k{tail}"),
        Some((whole, part)) => format!("{letters}{whole}k{part}{tail}"),
        None => given.to_owned(),
    }
}

/// How many words of a class are left over when `given` stands for it; `None`: it does not.
fn spare(class: &str, given: &str) -> Option<usize> {
    let mut words = class.split('-');
    let kind = words.next()?;
    let Some(size) = words.next() else {
        return (given.chars().count() >= FEWEST && kind.starts_with(given)).then_some(0);
    };
    let rest: Vec<&str> = words.collect();
    // Some letters of the kind, the size whole, some letters of the rest.
    let letters = given.chars().zip(kind.chars()).take_while(|(one, other)| one == other).count();
    let tail = (0..=letters).rev().find_map(|count| given.get(count..)?.strip_prefix(size))?;
    let joined = rest.concat();
    if tail.is_empty() {
        return Some(rest.len());
    }
    joined.starts_with(tail).then_some(0)
}

/// `12awg`, `12 awg`, `awg 12`, `#12`, `2/0awg`
pub(super) fn gauge(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(first) = rest[0].word() else {
        return Found::No;
    };
    let (number, tokens) =
        if let Some(number) = first.strip_suffix("awg").or_else(|| first.strip_suffix("ga")) {
            match (number, rest.get(1)) {
                ("", Some(next)) => (next.text.clone(), 2),
                (number, _) => (number.to_owned(), 1),
            }
        } else if let Some(number) = first.strip_prefix('#') {
            (number.to_owned(), 1)
        } else if rest.get(1).is_some_and(|next| next.is("awg") || next.is("ga")) {
            (first.clone(), 2)
        } else {
            return Found::No;
        };
    let Some(Kind::Whole(low, high)) = context.key("awg").map(|key| key.kind) else {
        return Found::No;
    };
    // 1/0 is 0, 2/0 is -1 and so on: the file's way of counting.
    let value = match number.strip_suffix("/0") {
        Some(noughts) => noughts.parse::<i64>().ok().and_then(|noughts| 1_i64.checked_sub(noughts)),
        None => number.parse::<i64>().ok(),
    };
    match value.filter(|value| (low..=high).contains(value)) {
        Some(value) => {
            let size = if value < 0 { format!("{}/0", 1 - value) } else { value.to_string() };
            Found::Read(Taken::new(
                tokens,
                format!("size {size} AWG"),
                vec![("awg", Set::To(Value::Whole(value)))],
            ))
        }
        None => Found::Bad(Wrong::new(tokens, format!("{} is no wire gauge: 20 to 4/0", shown(&number)))),
    }
}

/// `x2`, `x 2`, `2 off`: how many the truck has.
pub(super) fn count(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(first) = rest[0].word() else {
        return Found::No;
    };
    let (number, tokens) = match (first.strip_prefix(['x', '\u{d7}']), rest.get(1)) {
        (Some(""), Some(next)) => (next.text.clone(), 2),
        (Some(number), _) => (number.to_owned(), 1),
        (None, Some(next)) if next.is("off") => (first.clone(), 2),
        _ => return Found::No,
    };
    whole(context, "count", &number, tokens, |count| format!("{count} on the truck"))
}

/// `4 ways`, `4way`, `4x`, `4w`
pub(super) fn block_ways(context: &Context<'_>, at: usize) -> Found {
    match count_of(context.rest(at), &["x", "way", "ways", "w"]) {
        Some((ways, tokens)) => {
            whole(context, "ways", &ways.to_string(), tokens, |ways| format!("{ways} ways"))
        }
        None => Found::No,
    }
}

fn whole(
    context: &Context<'_>,
    name: &'static str,
    number: &str,
    tokens: usize,
    told: fn(i64) -> String,
) -> Found {
    let (Ok(count), Some(Kind::Whole(low, high))) =
        (number.parse::<i64>(), context.key(name).map(|key| key.kind))
    else {
        return Found::No;
    };
    if (low..=high).contains(&count) {
        return Found::Read(Taken::new(tokens, told(count), vec![(name, Set::To(Value::Whole(count)))]));
    }
    Found::Bad(Wrong::new(tokens, format!("{count} is outside of {low} to {high}")))
}

/// `reel`: it cannot be unwound here; `reel 5A`: its rating while wound.
pub(super) fn reel(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    if !rest[0].is("reel") && !rest[0].is("drum") {
        return Found::No;
    }
    let rating = amount(&rest[1..], Unit::Amps);
    let is_rating = rating.as_ref().is_some_and(has_unit)
        && rest.get(1).and_then(Token::plain).and_then(quantity).is_some_and(|read| read.suffix != "ma");
    let Some(key) = context.key("reel_rated_a").filter(|_| is_rating) else {
        let set = Set::To(Value::Flag(true));
        return Found::Read(Taken::new(
            1,
            "on its reel, cannot be unwound".to_owned(),
            vec![("on_reel", set)],
        ));
    };
    match value::read(context, key, &rest[1..]) {
        Ok(good) => {
            let tokens = good.tokens + 1;
            let mut taken = context.given(key.name, good, tokens);
            taken.meaning = taken.meaning.replace("reel rated", "rated on its reel");
            Found::Read(taken)
        }
        Err(wrong) => Found::Bad(Wrong { tokens: wrong.tokens + 1, ..wrong }),
    }
}

/// The classes of the library, for completion.
pub(super) fn class_words() -> Vec<String> {
    library().heads.keys().map(ToString::to_string).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_words_find_the_class_that_the_trade_means_or_all_that_it_may_mean() {
        assert_eq!(classes("led600"), ["led-600"]);
        assert_eq!(classes("t2k"), ["tungsten-2k"]);
        assert_eq!(classes("575"), ["discharge-575"], "the plain one has one word more");
        assert_eq!(classes("d1.2k"), ["discharge-1k2"]);
        assert_eq!(classes("d1200"), ["discharge-1k2"]);
        assert_eq!(classes("d2500"), ["discharge-2k5"]);
        assert_eq!(classes("18k"), ["discharge-18k"]);
        assert_eq!(classes("d1k2mag"), ["discharge-1k2-magnetic"]);
        assert_eq!(classes("1k2"), ["discharge-1k2", "led-1k2"]);
        assert_eq!(classes("mon"), ["monitors"]);
        assert_eq!(classes("Kettle"), ["kettle"]);
        assert_eq!(classes("zzz"), Vec::<&str>::new());
    }
}
