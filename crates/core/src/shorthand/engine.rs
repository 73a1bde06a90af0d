//! Words against the grammar, one place after another, and which of them is the id.

use super::complete::vocabulary;
use super::finish::finish;
use super::form::{How, Synonym, forms};
use super::lookup::{self, By, Named, candidates};
use super::token::{Token, amount, quantity, same};
use super::value::{self, has_unit};
use super::{Context, Found, Line, Misread, Part, Set, Subject, Taken, Wrong, shown};
use crate::edit::{Table, Value};
use crate::file::schema::{Bounds, Key, Kind, Target};
use crate::file::{is_id, nearest};
use crate::plan::Plan;

/// More words than this are not tried as an id one by one.
const MOST_TRIED: usize = 12;
/// Longest name of several words that is looked for without quotes.
const MOST_WORDS: usize = 4;

/// What the words of a line gave.
#[derive(Default)]
pub(super) struct Raw {
    pub parts: Vec<(Part, Vec<(&'static str, Set)>)>,
    pub misread: Vec<Misread>,
    /// Words that nothing read.
    pub unread: Vec<usize>,
}

/// Which word is the id, and what it is the id of.
#[derive(Clone, Debug, Default)]
pub(super) struct Chosen {
    pub at: Option<usize>,
    pub existing: Option<String>,
    pub several: Vec<String>,
}

pub(super) fn read(plan: &Plan, subject: Subject, tokens: &[Token]) -> Line {
    let chosen = choose(plan, subject, tokens);
    let context = context(plan, subject, tokens, &chosen);
    let raw = walk(&context);
    finish(&context, raw, &chosen)
}

fn context<'p>(plan: &'p Plan, subject: Subject, tokens: &'p [Token], chosen: &'p Chosen) -> Context<'p> {
    Context {
        plan,
        subject,
        schema: subject.schema(),
        tokens,
        id_at: chosen.at,
        existing: chosen.existing.as_deref(),
    }
}

/// The target that the ids of a table are named by.
pub(super) fn target_of(table: Table) -> Target {
    match table {
        Table::Supply => Target::Supply,
        Table::Rcd => Target::Rcd,
        Table::Circuit => Target::Circuit,
        Table::Floor => Target::Floor,
        Table::Room => Target::Room,
        Table::Socket => Target::Socket,
        Table::Head => Target::Head,
        Table::Cable => Target::Cable,
        Table::Block => Target::Block,
        Table::Setup => Target::Setup,
    }
}

/// An entry that is there: the first word first, then a word that nothing else reads; else a new id,
/// in the same order.
fn choose(plan: &Plan, subject: Subject, tokens: &[Token]) -> Chosen {
    let Some(table) = subject.table() else {
        return Chosen::default();
    };
    if let Some(known) = known(plan, table, tokens, 0) {
        return known;
    }
    let nothing = Chosen::default();
    let raw = walk(&context(plan, subject, tokens, &nothing));
    let unread: Vec<usize> = raw.unread.into_iter().filter(|at| is_id_shaped(&tokens[*at])).collect();
    if let Some(known) = unread.iter().find_map(|at| known(plan, table, tokens, *at)) {
        return known;
    }
    if let Some(first) = unread.first() {
        return Chosen { at: Some(*first), ..Chosen::default() };
    }
    // Every word says something, so one of them says too much: the id is the one without which the
    // rest makes sense.
    let tried = (0..tokens.len()).filter(|at| is_id_shaped(&tokens[*at])).take(MOST_TRIED);
    let fewest = tried.min_by_key(|at| {
        let chosen = known(plan, table, tokens, *at).unwrap_or(Chosen { at: Some(*at), ..Chosen::default() });
        walk(&context(plan, subject, tokens, &chosen)).misread.len()
    });
    match fewest {
        Some(at) => known(plan, table, tokens, at).unwrap_or(Chosen { at: Some(at), ..Chosen::default() }),
        None => nothing,
    }
}

fn is_id_shaped(token: &Token) -> bool {
    token.plain().is_some_and(is_id)
}

/// The entry that the word at `at` is the id of, letter case apart.
fn known(plan: &Plan, table: Table, tokens: &[Token], at: usize) -> Option<Chosen> {
    let text = tokens.get(at)?.plain()?;
    match lookup::named(plan, target_of(table), text) {
        Named::One(id, By::Id | By::Case) => {
            Some(Chosen { at: Some(at), existing: Some(id), several: Vec::new() })
        }
        Named::Several(ids) if ids.iter().all(|id| same(id, text)) => {
            Some(Chosen { at: Some(at), existing: None, several: ids })
        }
        _ => None,
    }
}

/// Reads all words but the id.
fn walk(context: &Context<'_>) -> Raw {
    let mut raw = Raw::default();
    let mut at = 0;
    while at < context.tokens.len() {
        if context.id_at == Some(at) {
            at += 1;
            continue;
        }
        at += match step(context, at) {
            Found::Read(taken) => {
                let count = reach(context, at, taken.tokens);
                let keys = taken.sets.iter().map(|(key, _)| *key).collect();
                let part =
                    Part { span: span(context, at, count), meaning: taken.meaning, doubt: taken.doubt, keys };
                raw.parts.push((part, taken.sets));
                count
            }
            Found::Bad(wrong) => {
                let count = reach(context, at, wrong.tokens);
                let place = span(context, at, count);
                raw.misread.push(wrong.at(place));
                count
            }
            Found::No => {
                raw.unread.push(at);
                // What was meant is sought for the first of them: nobody reads more, and it takes long.
                let wrong = if raw.unread.len() <= MOST_TRIED {
                    unknown(context, at)
                } else {
                    Wrong::new(1, format!("{} says nothing here", shown(&context.tokens[at].text)))
                };
                raw.misread.push(wrong.at(context.tokens[at].span.clone()));
                1
            }
        };
    }
    raw
}

/// How many words a part may take: one at least, and never the id or past the end.
fn reach(context: &Context<'_>, at: usize, count: usize) -> usize {
    let end = match context.id_at {
        Some(id) if id > at => id,
        _ => context.tokens.len(),
    };
    count.clamp(1, (end - at).max(1))
}

fn span(context: &Context<'_>, at: usize, count: usize) -> std::ops::Range<usize> {
    context.tokens[at].span.start..context.tokens[at + count - 1].span.end
}

impl<'p> Context<'p> {
    /// The words from `at` on, up to the id, or to one that no form may take as a part of it.
    pub(super) fn rest(&self, at: usize) -> &'p [Token] {
        let end = self.id_at.filter(|id| *id >= at).unwrap_or(self.tokens.len());
        let rest = self.tokens.get(at..end).unwrap_or_default();
        let good = rest.iter().take_while(|token| token.hidden.is_none()).count();
        &rest[..good.max(1).min(rest.len())]
    }

    pub(super) fn key(&self, name: &str) -> Option<&'static Key> {
        self.schema.key(name)
    }

    /// What the key of that name becomes, by a value of it.
    pub(super) fn given(&self, name: &'static str, good: value::Good, tokens: usize) -> Taken {
        let meaning = self.key(name).map(|key| value::told(self, key, &good.value)).unwrap_or_default();
        let mut taken = Taken::new(tokens, meaning, vec![(name, Set::To(good.value))]);
        taken.doubt = good.note;
        taken
    }
}

fn step(context: &Context<'_>, at: usize) -> Found {
    let token = &context.tokens[at];
    if let Some(hidden) = token.hidden {
        let why = format!("the control character {} stands here", hidden.escape_unicode());
        return Found::Bad(Wrong::new(1, why));
    }
    if let Some(equals) = token.equals {
        return by_key(context, token, equals);
    }
    for form in forms(context.subject) {
        match by_form(context, at, &form.how) {
            Found::No => {}
            found => return found,
        }
    }
    match by_reference(context, at) {
        Found::No => {}
        found => return found,
    }
    for form in forms(context.subject) {
        let found = match form.how {
            // The first word of a line without an id may be the id: it waits.
            How::Late(read) if at > 0 || context.id_at.is_some() => read(context, at),
            How::Quoted(key) => quoted_text(context, token, key),
            _ => Found::No,
        };
        if !matches!(found, Found::No) {
            return found;
        }
    }
    Found::No
}

/// `key=value`, and `key=` to take it out.
fn by_key(context: &Context<'_>, token: &Token, equals: usize) -> Found {
    let (name, rest) = (token.text[..equals].to_lowercase(), &token.text[equals + 1..]);
    let keys = || context.schema.keys.iter();
    let found = keys().find(|key| key.name == name).or_else(|| {
        let mut near = keys().filter(|key| value::stem(key) == name || value::label(key) == name);
        near.next().filter(|_| near.next().is_none())
    });
    let Some(key) = found else {
        let near = nearest(&name, keys().map(|key| key.name)).map(|near| format!("{near}={rest}"));
        let mut wrong = Wrong::new(1, format!("a {} has no key {}", context.schema.noun, shown(&name)));
        wrong.suggestions.extend(near);
        return Found::Bad(wrong);
    };
    if rest.is_empty()
        && token.text.len() == equals + 1
        && !token.is_quoted
        && token.span.len() == token.text.len()
    {
        return Found::Read(Taken::new(1, format!("no {}", value::label(key)), vec![(key.name, Set::Clear)]));
    }
    let value = Token {
        text: rest.to_owned(),
        span: token.span.clone(),
        is_quoted: false,
        mark: token.mark,
        equals: None,
        hidden: token.hidden,
    };
    match value::read(context, key, &[value]) {
        Ok(good) => Found::Read(context.given(key.name, good, 1)),
        Err(wrong) => Found::Bad(Wrong { tokens: 1, ..wrong }),
    }
}

fn by_form(context: &Context<'_>, at: usize, how: &How) -> Found {
    let rest = context.rest(at);
    match how {
        How::Unit(name) => by_unit(context, rest, name, has_unit),
        How::Bare(name) => by_unit(context, rest, name, |_| true),
        How::Led(words, name) => led(context, rest, words, name),
        How::Sign(sign, name) => signed(context, rest, *sign, name),
        How::Words(name, synonyms) => by_word(context, rest, name, synonyms),
        How::Flag(name, words) => match (words.iter().any(|word| rest[0].is(word)), context.key(name)) {
            (true, Some(key)) => {
                let set = Set::To(Value::Flag(true));
                Found::Read(Taken::new(1, value::label(key), vec![(key.name, set)]))
            }
            _ => Found::No,
        },
        How::Own(read) => read(context, at),
        How::Id | How::Ref(_) | How::Item(_) | How::Quoted(_) | How::Late(_) | How::Told => Found::No,
    }
}

fn bounds(key: &Key) -> Option<Bounds> {
    match key.kind {
        Kind::Number(bounds) | Kind::Range(bounds) => Some(bounds),
        _ => None,
    }
}

fn by_unit(
    context: &Context<'_>,
    rest: &[Token],
    name: &str,
    fits: fn(&super::token::Amount) -> bool,
) -> Found {
    let Some((key, bounds)) = context.key(name).and_then(|key| Some((key, bounds(key)?))) else {
        return Found::No;
    };
    let is_range = matches!(key.kind, Kind::Range(_)) && is_range_in(&rest[0], bounds);
    let is_amount = amount(rest, bounds.unit).as_ref().is_some_and(fits);
    if !is_range && !is_amount {
        return Found::No;
    }
    // 30 mA is not 0.03 A here: where both units have keys of their own, each goes to its own.
    if is_amount && belongs_elsewhere(context, rest, key, bounds) {
        return Found::No;
    }
    match value::read(context, key, rest) {
        Ok(good) => {
            let tokens = good.tokens;
            let mut taken = context.given(key.name, good, tokens);
            if taken.doubt.is_none() {
                taken.doubt = doubt(context, key, &taken);
            }
            Found::Read(taken)
        }
        Err(wrong) => Found::Bad(with_other_units(context, rest, wrong)),
    }
}

fn is_range_in(token: &Token, bounds: Bounds) -> bool {
    let parts = token.plain().and_then(|text| text.split_once("..").or_else(|| text.split_once('-')));
    let most = parts.filter(|(least, _)| quantity(least).is_some()).and_then(|(_, most)| quantity(most));
    most.is_some_and(|most| most.suffix == bounds.unit.symbol().to_lowercase())
}

/// Whether another part of this kind of line has this very unit.
fn belongs_elsewhere(context: &Context<'_>, rest: &[Token], own: &Key, own_bounds: Bounds) -> bool {
    let suffix = rest[0].plain().and_then(quantity).map(|read| read.suffix).unwrap_or_default();
    let symbol = own_bounds.unit.symbol().to_lowercase();
    if suffix.is_empty() || suffix == symbol {
        return false;
    }
    units(context).any(|(key, bounds)| key.name != own.name && suffix == bounds.unit.symbol().to_lowercase())
}

/// The keys of this kind of line that a number with a unit stands for.
fn units(context: &Context<'_>) -> impl Iterator<Item = (&'static Key, Bounds)> {
    forms(context.subject).iter().filter_map(|form| match form.how {
        How::Unit(name) | How::Bare(name) => {
            let key = context.schema.key(name)?;
            Some((key, bounds(key)?))
        }
        _ => None,
    })
}

/// The number as it would be in the other units that this line knows.
fn with_other_units(context: &Context<'_>, rest: &[Token], mut wrong: Wrong) -> Wrong {
    let Some(read) = rest.first().and_then(Token::plain).and_then(quantity) else {
        return wrong;
    };
    let Ok(number) = read.digits.parse::<f64>() else {
        return wrong;
    };
    for (_, bounds) in units(context) {
        let symbol = value::ascii(bounds.unit);
        let other = format!("{}{symbol}", read.digits);
        let is_own = read.suffix == symbol.to_lowercase();
        if !is_own && crate::file::number::within(number, bounds) && !wrong.suggestions.contains(&other) {
            wrong.suggestions.push(other);
        }
    }
    wrong
}

/// A number that is inside of its bounds and still looks like a slip.
fn doubt(context: &Context<'_>, key: &Key, taken: &Taken) -> Option<String> {
    let Some((_, Set::To(Value::Number(number)))) = taken.sets.first() else {
        return None;
    };
    if context.subject != Subject::Entry(Table::Head) {
        return None;
    }
    let largest = crate::library::library().outlets.values().map(|outlet| outlet.amps.0).fold(0.0, f64::max);
    match key.name {
        "amps" if *number > largest => Some(format!("no plug carries that: did you mean {number}W?")),
        "watts" if *number < 5.0 => Some(format!("did you mean {number}kW?")),
        _ => None,
    }
}

fn led(context: &Context<'_>, rest: &[Token], words: &[&str], name: &str) -> Found {
    let Some(key) = context.key(name) else {
        return Found::No;
    };
    if !words.iter().any(|word| rest[0].is(word)) {
        return Found::No;
    }
    match value::read(context, key, &rest[1..]) {
        Ok(good) => {
            let tokens = good.tokens + 1;
            Found::Read(context.given(key.name, good, tokens))
        }
        Err(mut wrong) => {
            wrong.tokens += 1;
            for suggestion in &mut wrong.suggestions {
                *suggestion = format!("{} {suggestion}", words[0]);
            }
            Found::Bad(wrong)
        }
    }
}

fn signed(context: &Context<'_>, rest: &[Token], sign: char, name: &str) -> Found {
    let behind = rest[0].plain().and_then(|text| text.strip_prefix(sign));
    let (Some(key), Some(behind)) = (context.key(name), behind.filter(|text| !text.is_empty())) else {
        return Found::No;
    };
    let mut tokens = vec![Token { text: behind.to_owned(), ..rest[0].clone() }];
    tokens.extend(rest.get(1).cloned());
    match value::read(context, key, &tokens) {
        Ok(good) => {
            let tokens = good.tokens;
            Found::Read(context.given(key.name, good, tokens))
        }
        Err(mut wrong) => {
            for suggestion in &mut wrong.suggestions {
                suggestion.insert(0, sign);
            }
            Found::Bad(wrong)
        }
    }
}

fn by_word(context: &Context<'_>, rest: &[Token], name: &str, synonyms: &[Synonym]) -> Found {
    let Some(key) = context.key(name) else {
        return Found::No;
    };
    let words: &[&str] = match key.kind {
        Kind::Choice(words) => words,
        Kind::Spectrum => &crate::file::schema::SPECTRUM_WORDS,
        _ => &[],
    };
    for count in (1..=rest.len().min(3)).rev() {
        let Some(given) = joined(&rest[..count], "-") else {
            continue;
        };
        let own = words.iter().find(|word| same(&word.replace(' ', "-"), &given)).copied();
        let meant =
            own.or_else(|| synonyms.iter().find(|(word, _)| same(word, &given)).map(|(_, meant)| *meant));
        if let Some(meant) = meant {
            let good = value::Good { value: Value::text(meant), tokens: count, note: None };
            return Found::Read(context.given(key.name, good, count));
        }
    }
    Found::No
}

/// Words that follow each other as one; `None` where one of them is quoted or has a mark.
pub(super) fn joined(tokens: &[Token], between: &str) -> Option<String> {
    let words: Option<Vec<&str>> = tokens.iter().map(Token::plain).collect();
    words.map(|words| words.join(between))
}

/// The id or the name of something that this kind of line refers to.
fn by_reference(context: &Context<'_>, at: usize) -> Found {
    let rest = context.rest(at);
    for count in (1..=rest.len().min(MOST_WORDS)).rev() {
        let given = match (count, rest[0].is_quoted, rest[0].mark) {
            (1, true, None) => Some(rest[0].text.clone()),
            _ => joined(&rest[..count], " "),
        };
        if let Some(given) = given {
            match references(context, &given, count) {
                Found::No => {}
                found => return found,
            }
        }
    }
    Found::No
}

fn references(context: &Context<'_>, given: &str, count: usize) -> Found {
    let mut hits: Vec<(&'static str, String, By, Set)> = Vec::new();
    for form in forms(context.subject) {
        let (How::Ref(name) | How::Item(name)) = form.how else {
            continue;
        };
        let Some(Kind::Id(target) | Kind::Ids(target, _)) = context.key(name).map(|key| key.kind) else {
            continue;
        };
        match lookup::named(context.plan, target, given) {
            Named::One(id, by) => {
                let value = Value::text(&id);
                let set = if matches!(form.how, How::Item(_)) { Set::Item(value) } else { Set::To(value) };
                hits.push((name, id, by, set));
            }
            Named::Several(ids) => {
                let mut wrong =
                    Wrong::new(count, format!("{} may be more than one {}", shown(given), target.noun()));
                wrong.suggestions = ids;
                return Found::Bad(wrong);
            }
            Named::Nothing => {}
        }
    }
    let best = hits.iter().map(|(_, _, by, _)| *by).min();
    hits.retain(|(_, _, by, _)| Some(*by) == best);
    match hits.as_slice() {
        [] => Found::No,
        [(name, id, by, set)] => {
            let good = value::Good { value: Value::text(id), tokens: count, note: None };
            let mut taken = context.given(name, good, count);
            if let Set::Item(_) = set {
                taken.meaning = if *name == "leads" { format!("by {id}") } else { format!("{id} on") };
            }
            taken.doubt = (*by == By::Case).then(|| format!("typed {}", shown(given)));
            taken.sets = vec![(name, set.clone())];
            Found::Read(taken)
        }
        several => {
            let names: Vec<&str> = several.iter().map(|(name, ..)| *name).collect();
            let mut wrong =
                Wrong::new(count, format!("{} may be the {}", shown(given), names.join(" or the ")));
            wrong.suggestions = several.iter().map(|(name, id, ..)| format!("{name}={id}")).collect();
            Found::Bad(wrong)
        }
    }
}

fn quoted_text(context: &Context<'_>, token: &Token, name: &'static str) -> Found {
    let Some(key) = context.key(name).filter(|_| token.is_quoted && token.mark.is_none()) else {
        return Found::No;
    };
    match value::text(key, token) {
        Ok(value) => Found::Read(context.given(name, value::Good { value, tokens: 1, note: None }, 1)),
        Err(wrong) => Found::Bad(wrong),
    }
}

/// A word that says nothing here: what was probably meant.
fn unknown(context: &Context<'_>, at: usize) -> Wrong {
    let token = &context.tokens[at];
    let read = token.plain().and_then(quantity);
    if let Some(read) = read.filter(|read| read.suffix.is_empty()) {
        let wrong = Wrong::new(1, format!("`{}` has no unit", read.digits));
        return with_other_units(context, context.rest(at), wrong);
    }
    let words = vocabulary(context);
    let near = nearest(&token.text, words.iter().map(String::as_str));
    let names_room = forms(context.subject).iter().any(|form| matches!(form.how, How::Ref("room")));
    let wrong = Wrong::new(1, format!("{} says nothing here", shown(&token.text))).or_nearest(near);
    let is_room = names_room
        && is_id_shaped(token)
        && !candidates(context.plan, Target::Room).iter().any(|(id, _)| *id == token.text);
    if is_room { wrong.offering(Target::Room, &token.text) } else { wrong }
}
