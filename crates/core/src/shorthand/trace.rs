//! A trace: `P2 off: G3 G4 dead, G1 live`, `P2 P4 off: …`, `RA dropped: …`, or with `dead` and `live` first.

use super::engine::Raw;
use super::lookup::{self, Named};
use super::token::Token;
use super::value;
use super::{Context, Line, Misread, Missing, Part, Status, Subject, Wrong, current, logged, shown};
use crate::edit::{Log, Value};
use crate::file::schema::{self, Target};
use crate::order::Order as _;
use crate::plan::{Plan, TraceMeans};

#[derive(Default)]
struct Reading {
    raw: Raw,
    /// What was off, all at once.
    devices: Vec<String>,
    means: Option<TraceMeans>,
    /// Sockets with their places, of which it is not said yet what they were.
    pending: Vec<(usize, String)>,
    /// What sockets are that follow.
    mode: Option<&'static str>,
    dead: Vec<String>,
    live: Vec<String>,
}

pub(super) fn read(plan: &Plan, tokens: &[Token]) -> Line {
    let context = Context {
        plan,
        subject: Subject::Trace,
        schema: &schema::TRACE,
        tokens,
        id_at: None,
        existing: None,
    };
    let mut reading = Reading::default();
    for (at, token) in tokens.iter().enumerate() {
        one(&context, &mut reading, at, token);
    }
    settle(&context, &mut reading);
    line(&context, reading)
}

fn one(context: &Context<'_>, reading: &mut Reading, at: usize, token: &Token) {
    if token.hidden.is_some() {
        reading.wrong(context, at, Wrong::new(1, "a control character stands here".to_owned()));
        return;
    }
    match token.word().as_deref() {
        Some("off") => reading.means(context, at, TraceMeans::SwitchedOff),
        Some("dropped" | "drop" | "trip" | "tripped") => reading.means(context, at, TraceMeans::RampDropped),
        Some("dead" | "dark" | "out") => reading.outcome(context, at, "dead"),
        Some("live" | "lit" | "alive") => reading.outcome(context, at, "live"),
        Some("and") => {}
        _ => {
            for part in token.text.split(',').filter(|part| !part.is_empty()) {
                named(context, reading, at, part);
            }
        }
    }
}

fn named(context: &Context<'_>, reading: &mut Reading, at: usize, given: &str) {
    let socket = lookup::named(context.plan, Target::Socket, given);
    let is_first = reading.devices.is_empty();
    // Devices stand together before what happened to them; a socket of such a name comes first.
    let may_be_device = is_first || reading.means.is_none() && !reading.has_sockets();
    if may_be_device && (is_first || !matches!(socket, Named::One(..))) {
        match lookup::named(context.plan, Target::Breakable, given) {
            Named::One(id, _) if reading.devices.contains(&id) => {
                reading.wrong(context, at, Wrong::new(1, format!("{id} is named already")));
                return;
            }
            Named::One(id, _) => {
                let key: &[&str] = if is_first { &["off"] } else { &["also_off"] };
                reading.part(context, at, String::new(), key);
                reading.devices.push(id);
                return;
            }
            Named::Several(ids) => {
                let why = format!("{} is a circuit and an RCD: give one of them another id", shown(given));
                let is_two = ids.iter().all(|id| *id == ids[0]);
                let mut wrong =
                    Wrong::new(1, if is_two { why } else { format!("{} may be several", shown(given)) });
                wrong.suggestions = if is_two { Vec::new() } else { ids };
                reading.wrong(context, at, wrong);
                return;
            }
            Named::Nothing => {}
        }
    }
    match socket {
        Named::One(id, _) if reading.has(&id) => {
            reading.wrong(context, at, Wrong::new(1, format!("{id} is named already")));
        }
        Named::One(id, _) => match reading.mode {
            Some(mode) => reading.put(context, at, mode, id),
            None => reading.pending.push((at, id)),
        },
        _ => {
            let target = if is_first { Target::Breakable } else { Target::Socket };
            if let Err(wrong) = value::reference(context, target, given) {
                reading.wrong(context, at, wrong);
            }
        }
    }
}

impl Reading {
    fn has(&self, id: &str) -> bool {
        let pending = self.pending.iter().map(|(_, id)| id);
        pending.chain(&self.dead).chain(&self.live).any(|known| known == id)
    }

    fn has_sockets(&self) -> bool {
        !(self.pending.is_empty() && self.dead.is_empty() && self.live.is_empty())
    }

    fn part(&mut self, context: &Context<'_>, at: usize, meaning: String, keys: &[&'static str]) {
        let span = context.tokens[at].span.clone();
        self.raw.parts.push((Part { span, meaning, doubt: None, keys: keys.to_vec() }, Vec::new()));
    }

    fn wrong(&mut self, context: &Context<'_>, at: usize, wrong: Wrong) {
        self.raw.misread.push(wrong.at(context.tokens[at].span.clone()));
    }

    fn means(&mut self, context: &Context<'_>, at: usize, means: TraceMeans) {
        if self.means.is_some_and(|known| known != means) {
            self.wrong(
                context,
                at,
                Wrong::new(1, "switched off, or dropped by a ramp? Two traces".to_owned()),
            );
            return;
        }
        self.means = Some(means);
        self.part(context, at, String::new(), &["off"]);
    }

    fn outcome(&mut self, context: &Context<'_>, at: usize, outcome: &'static str) {
        let pending = std::mem::take(&mut self.pending);
        // With sockets before it, the word closes them; else it is said of those that follow.
        self.mode = pending.is_empty().then_some(outcome);
        for (place, id) in pending {
            self.put(context, place, outcome, id);
        }
        self.part(context, at, String::new(), if outcome == "dead" { &["dead"] } else { &["live"] });
    }

    fn put(&mut self, context: &Context<'_>, at: usize, outcome: &'static str, id: String) {
        self.part(
            context,
            at,
            format!("{id} {outcome}"),
            if outcome == "dead" { &["dead"] } else { &["live"] },
        );
        if outcome == "dead" { self.dead.push(id) } else { self.live.push(id) }
    }
}

/// Sockets of which nothing was said are not understood.
fn settle(context: &Context<'_>, reading: &mut Reading) {
    for (at, id) in std::mem::take(&mut reading.pending) {
        let mut wrong = Wrong::new(1, format!("{id}: dead, or live?"));
        wrong.suggestions = vec![format!("{id} dead"), format!("{id} live")];
        reading.wrong(context, at, wrong);
    }
}

fn line(context: &Context<'_>, reading: Reading) -> Line {
    let Reading { raw, devices, means, dead, live, .. } = reading;
    let mut missing: Vec<Missing> = Vec::new();
    let mut lacks = |what: &str, example: &str| {
        missing.push(Missing { what: what.to_owned(), example: example.to_owned() });
    };
    if devices.is_empty() {
        lacks("the circuit or RCD that was off", "P2 off");
    }
    if means.is_none() {
        lacks("off or dropped", "off");
    }
    if dead.is_empty() && live.is_empty() {
        lacks("sockets that went dead or stayed live", "G3 dead");
    }
    let mut assigned: Vec<(&'static str, Option<Value>)> = Vec::new();
    if let (Some((device, others)), Some(means)) = (devices.split_first(), means) {
        let key = if means == TraceMeans::SwitchedOff { "off" } else { "ramp_dropped" };
        assigned.push((key, Some(Value::text(device))));
        if !others.is_empty() {
            assigned.push(("also_off", Some(Value::texts(others.iter().map(String::as_str)))));
        }
    }
    for (key, ids) in [("dead", &dead), ("live", &live)] {
        if !ids.is_empty() {
            assigned.push((key, Some(Value::texts(ids.iter().map(String::as_str)))));
        }
    }
    let given: Vec<(&'static str, Value)> =
        assigned.iter().filter_map(|(key, value)| Some((*key, value.clone()?))).collect();
    let is_whole = missing.is_empty() && raw.misread.is_empty();
    let same = context.plan.traces.iter().position(|trace| is_whole && current::trace(trace) == given);
    let (status, changes) = match same {
        Some(at) => (Status::Existing((at + 1).to_string()), Vec::new()),
        None => (Status::New(None), assigned.clone()),
    };
    let mut parts: Vec<Part> = raw.parts.into_iter().map(|(part, _)| part).collect();
    parts.order_by_key(|part| part.span.start);
    say_devices(&mut parts, &devices, means);
    let mut misread: Vec<Misread> = raw.misread;
    misread.order_by_key(|misread| misread.span.start);
    let at = same.unwrap_or(context.plan.traces.len());
    Line {
        subject: Subject::Trace,
        status,
        parts,
        misread,
        missing,
        assigned,
        changes,
        before: Vec::new(),
        address: Some(logged(Log::Trace, at)),
    }
}

/// The words that name devices say what happened to them.
fn say_devices(parts: &mut [Part], devices: &[String], means: Option<TraceMeans>) {
    let happened = match means {
        Some(TraceMeans::SwitchedOff) => "switched off",
        Some(TraceMeans::RampDropped) => "dropped by a ramp test",
        None => "named",
    };
    let Some((first, others)) = devices.split_first() else { return };
    if let Some(part) = parts.iter_mut().find(|part| part.keys == ["off"]) {
        part.meaning = format!("{first} {happened}");
    }
    for (part, device) in parts.iter_mut().filter(|part| part.keys == ["also_off"]).zip(others) {
        part.meaning = format!("{device} {happened}");
    }
}

/// What a value is in a line of a trace.
pub(super) fn ids(value: &Value) -> Vec<String> {
    match value {
        Value::List(all) => all
            .iter()
            .filter_map(|one| if let Value::Text(id) = one { Some(id.clone()) } else { None })
            .collect(),
        Value::Text(id) => vec![id.clone()],
        _ => Vec::new(),
    }
}
