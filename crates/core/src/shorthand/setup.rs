//! Parts of a setup: times, duration, heads.

use super::token::{Token, amount, quantity};
use super::value::{self, Good, has_unit};
use super::{Context, Found, Set, Taken, Wrong};
use crate::edit::Value;
use crate::file::schema::{Kind, Target, Unit};
use crate::id::HeadId;

const MINUTES_A_DAY: u32 = 24 * 60;

/// `09:00`, `start 9:00`, `09:00-13:00`
pub(super) fn times(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let led = usize::from(rest[0].is("start") || rest[0].is("from"));
    let Some(text) = rest.get(led).and_then(Token::plain) else {
        return Found::No;
    };
    if !text.contains(':') {
        return Found::No;
    }
    if let Some([from, until]) = value::hours(text) {
        let minutes = (minutes(&until) + MINUTES_A_DAY - minutes(&from)) % MINUTES_A_DAY;
        if minutes == 0 {
            return Found::Bad(Wrong::new(1 + led, "it ends when it starts".to_owned()));
        }
        let meaning = format!("starts {from}, {minutes} min, until {until}");
        let sets =
            vec![("start", Set::To(Value::text(&from))), ("minutes", Set::To(Value::Number(minutes.into())))];
        return Found::Read(Taken::new(1 + led, meaning, sets));
    }
    match value::clock(text) {
        Some(start) => {
            let meaning = format!("starts {start}");
            Found::Read(Taken::new(1 + led, meaning, vec![("start", Set::To(Value::text(&start)))]))
        }
        None if text.starts_with(|c: char| c.is_ascii_digit()) => {
            Found::Bad(Wrong::new(1 + led, "that is no time of day: 00:00 to 23:59".to_owned()))
        }
        None => Found::No,
    }
}

/// Minutes after midnight of a time that [`value::clock`] wrote.
fn minutes(time: &str) -> u32 {
    let (hours, minutes) = time.split_once(':').unwrap_or(("0", "0"));
    hours.parse::<u32>().unwrap_or(0) * 60 + minutes.parse::<u32>().unwrap_or(0)
}

/// `4h`, `240min`, `4h30`
pub(super) fn duration(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let (Some(key), Some(text)) = (context.key("minutes"), rest[0].word()) else {
        return Found::No;
    };
    let Kind::Number(bounds) = key.kind else {
        return Found::No;
    };
    if let Some((hours, minutes)) = text.split_once('h')
        && let (Ok(hours), Ok(minutes)) =
            (hours.parse::<u32>(), minutes.trim_end_matches(['m', 'i', 'n']).parse::<u32>())
        && minutes < 60
        && hours <= MINUTES_A_DAY
    {
        let all = Token { text: format!("{}min", hours * 60 + minutes), ..rest[0].clone() };
        return read(context, key, &[all], bounds);
    }
    let is_number = rest[0].plain().and_then(quantity).is_some();
    match amount(rest, Unit::Minutes).filter(|_| is_number) {
        Some(amount) if has_unit(&amount) => read(context, key, rest, bounds),
        Some(_)
            if !text.contains(['.', ','])
                && rest[0].plain().and_then(quantity).is_some_and(|read| read.suffix.is_empty()) =>
        {
            let mut wrong = Wrong::new(1, format!("{text} minutes, or hours?"));
            wrong.suggestions = vec![format!("{text}min"), format!("{text}h")];
            Found::Bad(wrong)
        }
        _ => Found::No,
    }
}

fn read(
    context: &Context<'_>,
    key: &'static crate::file::schema::Key,
    tokens: &[Token],
    bounds: crate::file::schema::Bounds,
) -> Found {
    let Some(amount) = amount(tokens, Unit::Minutes) else {
        return Found::No;
    };
    match value::checked(key, tokens, bounds, amount) {
        Ok(Good { value, tokens, note }) => {
            let mut taken = context.given("minutes", Good { value, tokens, note }, tokens);
            taken.meaning = format!("for {}", taken.meaning);
            Found::Read(taken)
        }
        Err(wrong) => Found::Bad(wrong),
    }
}

/// `+D`, `-A`
pub(super) fn one_more_or_less(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    let Some(text) = rest[0].plain() else {
        return Found::No;
    };
    let (is_more, given) = match (text.strip_prefix('+'), text.strip_prefix('-')) {
        (Some(given), _) => (true, given),
        (_, Some(given)) => (false, given),
        _ => return Found::No,
    };
    match value::reference(context, Target::Head, given) {
        Ok(Good { value, note, .. }) => {
            let id = if let Value::Text(id) = &value { id.clone() } else { String::new() };
            let meaning = if is_more { format!("{id} on as well") } else { format!("{id} not on") };
            let set = if is_more { Set::With(value) } else { Set::Without(value) };
            let mut taken = Taken::new(1, meaning, vec![("on", set)]);
            taken.doubt = note;
            Found::Read(taken)
        }
        Err(wrong) => Found::Bad(wrong),
    }
}

/// Every head of the plan, or none.
pub(super) fn all_or_none(context: &Context<'_>, at: usize) -> Found {
    let token = &context.tokens[at];
    let heads = &context.plan.heads;
    if token.is("all") {
        let value = Value::texts(heads.keys().map(HeadId::as_str));
        let meaning = format!("all {} heads on", heads.len());
        return Found::Read(Taken::new(1, meaning, vec![("on", Set::To(value))]));
    }
    if token.is("none") {
        let set = Set::To(Value::List(Vec::new()));
        return Found::Read(Taken::new(1, "no head on".to_owned(), vec![("on", set)]));
    }
    Found::No
}
