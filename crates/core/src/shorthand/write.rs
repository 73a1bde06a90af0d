//! An entry as the shortest line that reads as it.

use std::fmt::Write as _;

use super::current;
use super::form::{How, forms};
use super::lookup;
use super::token::same;
use super::value::{ascii, written};
use super::{Subject, read, socket, trace, typed};
use crate::edit::{Table, Value};
use crate::file::schema::{Key, Kind};
use crate::order::Order as _;
use crate::plan::Plan;

/// The shortest line for an entry that is there, to be changed and read again; empty where there is
/// none. A trace goes by its number, from 1; a ramp test by its socket.
///
/// What no line can say (a setup's own sockets, a spectrum order by order) is left out: reading the
/// line leaves it as it is.
#[must_use]
pub fn write(plan: &Plan, subject: Subject, id: &str) -> String {
    let keys = current::keys(plan, subject, id);
    if keys.is_empty() && !is_there(plan, subject, id) {
        return String::new();
    }
    match subject {
        Subject::Trace => return written_trace(&keys),
        Subject::Ramp => {
            let last = list(&keys, "ramp").last().map(|test| ramp(plan, test));
            return last.map(|test| format!("{id} {test}")).unwrap_or_default();
        }
        Subject::Entry(_) => {}
    }
    let mut parts = vec![id.to_owned()];
    let mut done: Vec<&str> = Vec::new();
    for (names, text) in together(&keys) {
        if says(plan, subject, id, &keys, &text, &names) {
            parts.push(text);
            done.extend(names);
        }
    }
    for (name, value) in keys.iter().filter(|(name, _)| !done.contains(name)) {
        let Some(key) = subject.schema().key(name) else {
            continue;
        };
        let mut short = candidates(plan, subject, key, value);
        short.order_by_key(|text| text.chars().count());
        short.extend(by_key(key, value));
        let best = short.into_iter().find(|text| says(plan, subject, id, &keys, text, &[key.name]));
        parts.extend(best);
    }
    parts.join(" ")
}

fn is_there(plan: &Plan, subject: Subject, id: &str) -> bool {
    subject.table().is_some_and(|table| {
        let target = super::engine::target_of(table);
        lookup::candidates(plan, target).iter().any(|(other, _)| *other == id)
    })
}

/// Whether a part gives those keys what they are, and nothing else.
fn says(
    plan: &Plan,
    subject: Subject,
    id: &str,
    keys: &[(&'static str, Value)],
    text: &str,
    names: &[&str],
) -> bool {
    let line = read(plan, subject, &format!("{id} {text}"));
    let is_read = line.misread.iter().all(|misread| misread.span.start < id.len());
    let gives_all = names.iter().all(|name| {
        let value = keys.iter().find(|(key, _)| key == name).map(|(_, value)| value);
        line.assigned.iter().any(|(key, given)| key == name && given.as_ref() == value)
    });
    is_read && gives_all && line.assigned.len() == names.len()
}

fn list<'v>(keys: &'v [(&'static str, Value)], name: &str) -> &'v [Value] {
    match keys.iter().find(|(key, _)| *key == name) {
        Some((_, Value::List(all))) => all,
        _ => &[],
    }
}

fn find<'v>(keys: &'v [(&'static str, Value)], name: &str) -> Option<&'v Value> {
    keys.iter().find(|(key, _)| *key == name).map(|(_, value)| value)
}

/// Parts that say more than one key: `2x10`, `C20`, `09:00-13:00`, `G7 b20`.
fn together(keys: &[(&'static str, Value)]) -> Vec<(Vec<&'static str>, String)> {
    let mut found = Vec::new();
    if let (Some(Value::Whole(ways)), Some(Value::Text(outlet))) = (find(keys, "ways"), find(keys, "outlet"))
        && let Some(amps) = crate::library::library().outlets.get(outlet.as_str()).map(|outlet| outlet.amps.0)
    {
        found.push((vec!["ways", "outlet"], format!("{ways}x{amps}")));
    }
    if let (Some(Value::Number(amps)), Some(Value::Text(curve))) =
        (find(keys, "breaker_a"), find(keys, "curve"))
    {
        found.push((vec!["breaker_a", "curve"], format!("{curve}{amps}")));
    }
    if let (Some(Value::Text(socket)), Some(Value::List(_))) = (find(keys, "socket"), find(keys, "leads")) {
        let leads = trace::ids(find(keys, "leads").unwrap_or(&Value::Flag(false)));
        found.push((vec!["socket", "leads"], format!("{socket} {}", leads.join(" "))));
        found.push((vec!["socket", "leads"], format!("socket={socket} leads={}", leads.join(","))));
    }
    found
}

/// `key=value`, which every key that fits on a line can be written as.
fn by_key(key: &Key, value: &Value) -> Option<String> {
    let text = match (key.kind, value) {
        (Kind::Number(bounds), Value::Number(number)) => written(*number, bounds.unit),
        (Kind::Range(bounds), value) => range(value, ascii(bounds.unit))?,
        (_, Value::Text(text)) if key_text(text) => text.clone(),
        (_, Value::Text(text)) => format!("\"{}\"", text.replace('"', "\"\"")),
        (_, Value::Whole(number)) => number.to_string(),
        (_, Value::Flag(flag)) => if *flag { "yes" } else { "no" }.to_owned(),
        (Kind::Hours, Value::List(_)) => trace::ids(value).join("-"),
        (Kind::Point | Kind::Area, Value::List(all)) => numbers(all)?,
        (Kind::Ids(..), Value::List(_)) => trace::ids(value).join(","),
        (Kind::BaseLoads, Value::List(_)) => {
            format!("\"{}\"", trace::ids(value).join(",").replace('"', "\"\""))
        }
        _ => return None,
    };
    Some(format!("{}={text}", key.name))
}

fn key_text(text: &str) -> bool {
    typed(text) == text
}

fn numbers(all: &[Value]) -> Option<String> {
    let all: Option<Vec<String>> = all
        .iter()
        .map(|one| if let Value::Number(one) = one { Some(one.to_string()) } else { None })
        .collect();
    all.map(|all| all.join(","))
}

fn range(value: &Value, unit: &str) -> Option<String> {
    match value {
        Value::Number(number) => Some(format!("{number}{unit}")),
        Value::List(all) => match all.as_slice() {
            [Value::Number(least), Value::Number(most)] => Some(format!("{least}-{most}{unit}")),
            _ => None,
        },
        _ => None,
    }
}

/// Ways to write one key, by the grammar.
fn candidates(plan: &Plan, subject: Subject, key: &'static Key, value: &Value) -> Vec<String> {
    let mut found = own(plan, subject, key, value);
    let bare = match value {
        Value::Number(number) => number.to_string(),
        Value::Whole(number) => number.to_string(),
        Value::Text(text) => typed(text),
        Value::List(_) if matches!(key.kind, Kind::Range(_)) => range(value, "").unwrap_or_default(),
        Value::List(_) => trace::ids(value).into_iter().map(|id| typed(&id)).collect::<Vec<_>>().join(" "),
        Value::Flag(_) | Value::Table(_) => String::new(),
    };
    let with_unit = match key.kind {
        Kind::Number(bounds) | Kind::Range(bounds) => range(value, ascii(bounds.unit)),
        _ => None,
    };
    for form in forms(subject) {
        match form.how {
            How::Unit(name) if name == key.name => found.extend(with_unit.clone()),
            How::Bare(name) | How::Ref(name) | How::Item(name) if name == key.name => {
                found.push(bare.clone());
            }
            How::Led(words, name) if name == key.name => {
                let joined = if matches!(key.kind, Kind::Ids(..)) {
                    trace::ids(value).join(",")
                } else {
                    bare.clone()
                };
                found.push(format!("{} {joined}", words[0]));
            }
            How::Sign(sign, name) if name == key.name => found.push(format!("{sign}{bare}")),
            How::Quoted(name) if name == key.name => {
                if let Value::Text(text) = value {
                    found.push(format!("\"{}\"", text.replace('"', "\"\"")));
                }
            }
            How::Words(name, synonyms) if name == key.name => {
                if let Value::Text(word) = value {
                    found.push(word.replace(' ', "-"));
                    let short = synonyms.iter().filter(|(_, meant)| meant == word);
                    found.extend(short.map(|(word, _)| (*word).to_owned()));
                }
            }
            How::Flag(name, words) if name == key.name => found.push(words[0].to_owned()),
            _ => {}
        }
    }
    found.retain(|text| !text.is_empty());
    found
}

/// Ways of the keys that have one of their own.
fn own(plan: &Plan, subject: Subject, key: &Key, value: &Value) -> Vec<String> {
    match (subject, key.name, value) {
        (_, "at", Value::List(all)) => numbers(all).map(|at| format!("@{at}")).into_iter().collect(),
        (_, "box", Value::List(all)) => match all.as_slice() {
            [Value::Number(x), Value::Number(y), Value::Number(width), Value::Number(depth)] => {
                vec![format!("{width}x{depth} @{x},{y}")]
            }
            _ => Vec::new(),
        },
        (_, "ramp", Value::List(all)) => {
            vec![all.iter().map(|test| ramp(plan, test)).collect::<Vec<_>>().join(" ")]
        }
        (_, "base", Value::List(all)) => {
            let short: Vec<String> = all.iter().map(|load| base(load, "")).collect();
            let long: Vec<String> = all.iter().map(|load| base(load, "base ")).collect();
            vec![short.join(" "), long.join(" ")]
        }
        (_, "hours", _) => vec![trace::ids(value).join("-")],
        (_, "measured", Value::Table(pairs)) => measured(pairs),
        (_, "test", Value::Text(word)) => {
            let words = socket::outcome_words(plan.location.region);
            let short = words.into_iter().filter(|short| short.len() < word.len());
            short.chain([word.clone()]).collect()
        }
        (_, "label", Value::Text(text)) => {
            vec![format!("{}?", typed(text)), format!("label {}", typed(text))]
        }
        (_, "plate", Value::Text(plate)) => vec![format!("plate {plate}")],
        (_, "plate_a", Value::Number(amps)) => vec![format!("plate {amps}A")],
        (_, "portable_rcd", Value::Text(rcd)) => vec![format!("portable {rcd}")],
        (_, "ban", Value::Text(text)) => vec![format!("ban {}", typed(text))],
        (_, "class", Value::Text(class)) => vec![class.clone()],
        (_, "outlet", Value::Text(outlet)) => {
            let known = crate::library::library().outlets.get(outlet.as_str());
            known.map(|outlet| format!("{}A", outlet.amps.0)).into_iter().collect()
        }
        (Subject::Entry(Table::Block | Table::Socket), "ways", Value::Whole(ways)) => {
            vec![format!("{ways}x")]
        }
        (_, "count", Value::Whole(count)) => vec![format!("x{count}")],
        (_, "awg", Value::Whole(gauge)) => vec![format!("#{gauge}"), format!("{}/0awg", 1 - gauge)],
        (_, "reel_rated_a", Value::Number(amps)) => vec![format!("reel {amps}A")],
        (_, "on_reel", _) => vec!["reel".to_owned()],
        (_, "poles", Value::Whole(poles)) => vec![format!("{poles}p")],
        (_, "level", Value::Whole(level)) => vec![level.to_string()],
        (_, "breaker_a", Value::Number(amps)) => vec![amps.to_string(), format!("{amps}A")],
        (_, "start", Value::Text(start)) => vec![start.clone()],
        (_, "minutes", Value::Number(minutes)) => {
            vec![format!("{}h", minutes / 60.0), format!("{minutes}min")]
        }
        (_, "on", Value::List(all)) if all.is_empty() => vec!["none".to_owned()],
        (_, "contract_kw" | "kw", Value::Number(power)) => vec![format!("{power}kW")],
        _ => Vec::new(),
    }
}

fn measured(pairs: &[(String, Value)]) -> Vec<String> {
    let find = |wanted: &str| pairs.iter().find(|(key, _)| key == wanted).map(|(_, value)| value);
    match (find("amps"), find("setup")) {
        (Some(Value::Number(amps)), Some(Value::Text(setup))) => {
            vec![format!("clamp {amps} {}", typed(setup))]
        }
        _ => Vec::new(),
    }
}

/// A ramp test with its details.
pub(super) fn ramp(plan: &Plan, given: &Value) -> String {
    let Value::Table(pairs) = given else {
        return String::new();
    };
    let find = |wanted: &str| pairs.iter().find(|(key, _)| key == wanted).map(|(_, value)| value);
    let step = |wanted: &str| if let Some(Value::Number(step)) = find(wanted) { Some(*step) } else { None };
    let held = step("held_ma").unwrap_or(0.0);
    let mut text = match step("tripped_ma") {
        Some(tripped) if held <= 0.0 => format!("r-/{tripped}"),
        Some(tripped) => format!("r{held}/{tripped}"),
        None => format!("r{held}+"),
    };
    for load in find("off").map(trace::ids).unwrap_or_default() {
        // A name that only one circuit has is enough.
        let name = load.split_once('.').map(|(_, name)| name).unwrap_or_default();
        let is_enough =
            lookup::base_load(plan, name).is_ok_and(|found| same(&current::written(&found), &load));
        let short = if is_enough && !name.contains(',') { name } else { &load };
        let _ =
            write!(text, " off {}", if short.contains(',') { format!("\"{short}\"") } else { typed(short) });
    }
    if let Some(Value::Text(rcd)) = find("dropped") {
        let _ = write!(text, " >{rcd}");
    }
    let on = find("heads_on").map(trace::ids).unwrap_or_default();
    if !on.is_empty() {
        let _ = write!(text, " on {}", on.join(","));
    }
    text
}

/// A base load; `led` where its name alone would be something else.
fn base(load: &Value, led: &str) -> String {
    let Value::Table(pairs) = load else {
        return String::new();
    };
    let find = |wanted: &str| pairs.iter().find(|(key, _)| key == wanted).map(|(_, value)| value);
    let mark = if find("owner_can_switch_off").is_some() { "*" } else { "" };
    let mut text = match find("name") {
        Some(Value::Text(name)) => format!("{led}{}{mark} ", typed(name)),
        _ => format!("base{mark} "),
    };
    if let Some(Value::Number(amps)) = find("amps") {
        let _ = write!(text, "{amps}A");
    }
    if let Some(leak) = find("leak_ma").and_then(|leak| range(leak, "mA")) {
        let _ = write!(text, " {leak}");
    }
    text
}

fn written_trace(keys: &[(&'static str, Value)]) -> String {
    let device = |name| if let Some(Value::Text(id)) = find(keys, name) { Some(id.clone()) } else { None };
    let (first, happened) = match (device("off"), device("ramp_dropped")) {
        (Some(id), _) => (id, "off"),
        (None, Some(id)) => (id, "dropped"),
        (None, None) => return String::new(),
    };
    let others = find(keys, "also_off").map(trace::ids).unwrap_or_default();
    let devices: Vec<String> = std::iter::once(first).chain(others).collect();
    let mut text = format!("{} {happened}", devices.join(" "));
    for outcome in ["dead", "live"] {
        let ids = find(keys, outcome).map(trace::ids).unwrap_or_default();
        if !ids.is_empty() {
            let _ = write!(text, " {} {outcome}", ids.join(" "));
        }
    }
    text
}
