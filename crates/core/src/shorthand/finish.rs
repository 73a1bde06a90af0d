//! Parts put together: what the entry becomes, what contradicts itself, what is missing.

mod across;

use across::{across_circuits, across_rcds, circuits_left_behind, lines_of, text};

use super::current::{self, Keys};
use super::engine::{Chosen, Raw};
use super::form::{How, forms};
use super::lookup;
use super::value::{label, told};
use super::{Context, Line, Misread, Missing, Part, Set, Status, Subject, Wrong, shown};
use crate::edit::{Address, Table, Value};
use crate::file::is_id;
use crate::file::schema::{BASE, Kind, Need, Repeats};
use crate::order::Order as _;
use crate::plan::Plan;

/// What the line gives, key by key, and which part gave it first.
#[derive(Default)]
struct Given {
    keys: Vec<(&'static str, Option<Value>, usize)>,
    size: Option<(f64, f64, usize)>,
    corner: Option<(f64, f64, usize)>,
    wrong: Vec<(usize, Wrong)>,
}

pub(super) fn finish(context: &Context<'_>, mut raw: Raw, chosen: &Chosen) -> Line {
    let id = chosen.existing.clone().or_else(|| Some(context.tokens.get(chosen.at?)?.text.clone()));
    let current = chosen.existing.as_ref().map(|id| current::keys(context.plan, context.subject, id));
    let known = current.as_deref().unwrap_or_default();
    let mut misread = std::mem::take(&mut raw.misread);
    let mut given = Given::default();
    for (at, (_, sets)) in raw.parts.iter().enumerate() {
        for (key, set) in sets {
            given.take(context, at, key, set, known);
        }
    }
    given.close_box(known);
    let mut missing = Vec::new();
    id_of(context, chosen, id.as_deref(), &mut misread, &mut missing);
    if given.size.is_some() != given.corner.is_some() && given.key("box").is_none() {
        missing.push(if given.size.is_some() {
            lack("its corner with the least x and y", "@0,0")
        } else {
            lack("its width and depth", "6x9")
        });
    }
    let mut result: Vec<(&'static str, Value)> = known.to_vec();
    given.exclude(context, known);
    given.overlay(&mut result);
    given.check(context, id.as_deref(), &result);
    let doubt = circuits_left_behind(context, &result);
    let cause = ["wiring", "line", "supply", "from", "circuit"].into_iter().find_map(|key| given.key(key));
    if let (Some(doubt), Some((.., at))) = (doubt, cause) {
        let part = raw.parts.get_mut(*at);
        part.map(|(part, _)| part.doubt.replace(doubt));
    }
    given.sorted(context);
    let assigned: Vec<(&'static str, Option<Value>)> =
        given.keys.iter().map(|(key, value, _)| (*key, value.clone())).collect();
    let has_ramp = known.iter().any(|(key, _)| *key == "ramp") || given.key("ramp").is_some();
    if context.subject == Subject::Ramp && current.is_some() && !has_ramp {
        missing.push(lack("the steps", "15/20"));
    }
    lacking(context, current.is_some(), &result, &mut missing);
    for (at, wrong) in given.wrong {
        let span = raw.parts.get(at).map_or(0..0, |(part, _)| part.span.clone());
        misread.push(wrong.at(span));
    }
    misread.order_by_key(|misread| misread.span.start);
    let changes: Vec<(&'static str, Option<Value>)> = assigned
        .iter()
        .filter(|(key, value)| {
            known.iter().find(|(other, _)| other == key).map(|(_, old)| old) != value.as_ref()
        })
        .cloned()
        .collect();
    let before = changes.iter().map(|(key, _)| was(context, key, known)).collect();
    let mut parts: Vec<Part> = raw.parts.into_iter().map(|(part, _)| part).collect();
    parts.extend(id_part(context, chosen, id.as_deref()));
    parts.order_by_key(|part| part.span.start);
    let status = match (&chosen.existing, id) {
        (Some(id), _) => Status::Existing(id.clone()),
        (None, id) => Status::New(id),
    };
    let address = match (&status, context.subject.table()) {
        (Status::Existing(id) | Status::New(Some(id)), Some(table)) => Some(Address::of(table, id)),
        _ => None,
    };
    Line { subject: context.subject, status, parts, misread, missing, assigned, changes, before, address }
}

fn lack(what: &str, example: &str) -> Missing {
    Missing { what: what.to_owned(), example: example.to_owned() }
}

fn was(context: &Context<'_>, name: &str, known: &[(&'static str, Value)]) -> Option<String> {
    if context.subject == Subject::Ramp {
        return None;
    }
    let (_, old) = known.iter().find(|(key, _)| *key == name)?;
    let key = context.schema.key(name)?;
    // Tests and loads are too long for a sentence.
    let is_short = !matches!(key.kind, Kind::Tables(_) | Kind::Table(_) | Kind::Ids(..));
    is_short.then(|| told(context, key, old))
}

fn id_part(context: &Context<'_>, chosen: &Chosen, id: Option<&str>) -> Option<Part> {
    let token = context.tokens.get(chosen.at?)?;
    let id = id?;
    let doubt = (token.text != id).then(|| format!("typed {}", shown(&token.text)));
    let noun = context.subject.table().map_or("", Table::noun);
    Some(Part { span: token.span.clone(), meaning: format!("{noun} {id}"), doubt, keys: vec!["id"] })
}

/// Whether the id may be one.
fn id_of(
    context: &Context<'_>,
    chosen: &Chosen,
    id: Option<&str>,
    misread: &mut Vec<Misread>,
    missing: &mut Vec<Missing>,
) {
    let example = forms(context.subject)
        .iter()
        .find(|form| matches!(form.how, How::Id))
        .map_or("", |form| form.written);
    let span = chosen.at.and_then(|at| context.tokens.get(at)).map_or(0..0, |token| token.span.clone());
    let mut wrong = |wrong: Wrong| misread.push(wrong.at(span.clone()));
    let noun = context.subject.table().map_or("", Table::noun);
    let Some(id) = id else {
        missing.push(lack(&format!("the id of the {noun}"), example));
        return;
    };
    if !chosen.several.is_empty() {
        let mut several = Wrong::new(1, format!("{} may be more than one {noun}", shown(id)));
        several.suggestions.clone_from(&chosen.several);
        wrong(several);
        return;
    }
    if chosen.existing.is_some() {
        return;
    }
    if !is_id(id) {
        wrong(Wrong::new(1, format!("{} is no id: letters, digits, - and _, without blanks", shown(id))));
    }
    let plan = context.plan;
    match context.subject {
        Subject::Ramp => {
            let all = lookup::candidates(plan, crate::file::schema::Target::Socket);
            let near = crate::file::nearest(id, all.iter().map(|(id, _)| *id));
            let none = Wrong::new(1, format!("there is no socket {}", shown(id))).or_nearest(near);
            wrong(none.offering(crate::file::schema::Target::Socket, id));
        }
        Subject::Entry(table) => {
            if let Some((rival, why)) = rival(plan, table, id) {
                wrong(Wrong::new(1, format!("{} is a {rival} already: {why}", shown(id))));
            }
        }
        Subject::Trace => {}
    }
}

/// Another kind of thing of that id, where the plan names both kinds in one place: it could not tell
/// which is meant.
fn rival(plan: &Plan, table: Table, id: &str) -> Option<(&'static str, &'static str)> {
    const LEADS: &str = "leads name both kinds";
    const DEVICES: &str = "traces and trips name both kinds";
    let has = |table| match table {
        Table::Cable => plan.cables.contains_key(id),
        Table::Block => plan.blocks.contains_key(id),
        Table::Circuit => plan.circuits.contains_key(id),
        Table::Rcd => plan.rcds.contains_key(id),
        _ => plan.supplies.contains_key(id),
    };
    let (rivals, why): (&[Table], &str) = match table {
        Table::Cable | Table::Block => (&[Table::Cable, Table::Block], LEADS),
        Table::Circuit | Table::Rcd | Table::Supply => {
            (&[Table::Circuit, Table::Rcd, Table::Supply], DEVICES)
        }
        _ => (&[], ""),
    };
    rivals.iter().find(|rival| **rival != table && has(**rival)).map(|rival| (rival.noun(), why))
}

impl Given {
    fn key(&self, name: &str) -> Option<&(&'static str, Option<Value>, usize)> {
        self.keys.iter().find(|(key, ..)| *key == name)
    }

    fn take(
        &mut self,
        context: &Context<'_>,
        at: usize,
        name: &'static str,
        set: &Set,
        known: &[(&'static str, Value)],
    ) {
        let place = self.keys.iter().position(|(key, ..)| *key == name);
        match set {
            Set::To(_) | Set::Clear => {
                let value = if let Set::To(value) = set { Some(value.clone()) } else { None };
                match place {
                    None => self.keys.push((name, value, at)),
                    Some(place) if self.keys[place].1 == value => {}
                    Some(_) => self.twice(context, at, name),
                }
            }
            Set::Size(width, depth) => {
                if self.size.is_some() || place.is_some() {
                    self.twice(context, at, name);
                } else {
                    self.size = Some((*width, *depth, at));
                }
            }
            Set::Corner(x, y) => {
                if self.corner.is_some() || place.is_some() {
                    self.twice(context, at, name);
                } else {
                    self.corner = Some((*x, *y, at));
                }
            }
            Set::Item(value) => {
                let is_added = name == "base" || context.subject == Subject::Ramp;
                let start = if is_added { list_of(known, name) } else { Vec::new() };
                self.in_list(at, name, start, |list| add(name, list, value));
            }
            Set::With(value) => {
                self.in_list(at, name, list_of(known, name), |list| {
                    if list.contains(value) {
                        return false;
                    }
                    list.push(value.clone());
                    true
                });
            }
            Set::Without(value) => {
                self.in_list(at, name, list_of(known, name), |list| {
                    list.retain(|other| other != value);
                    true
                });
            }
        }
    }

    fn twice(&mut self, context: &Context<'_>, at: usize, name: &str) {
        let what = context.schema.key(name).map(label).unwrap_or_default();
        self.wrong.push((at, Wrong::new(1, format!("the line says the {what} twice"))));
    }

    fn in_list(
        &mut self,
        at: usize,
        name: &'static str,
        start: Vec<Value>,
        change: impl FnOnce(&mut Vec<Value>) -> bool,
    ) {
        let place = self.keys.iter().position(|(key, ..)| *key == name);
        let place = place.unwrap_or_else(|| {
            self.keys.push((name, Some(Value::List(start)), at));
            self.keys.len() - 1
        });
        let list = match &mut self.keys[place].1 {
            Some(Value::List(list)) => list,
            other => {
                *other = Some(Value::List(Vec::new()));
                match other {
                    Some(Value::List(list)) => list,
                    _ => return,
                }
            }
        };
        if !change(list) {
            self.wrong.push((at, Wrong::new(1, "the line names it twice".to_owned())));
        }
    }

    /// Size and corner of a box, each from the line or from the plan.
    fn close_box(&mut self, known: &[(&'static str, Value)]) {
        let old: Option<Vec<f64>> =
            known.iter().find(|(key, _)| *key == "box").and_then(|(_, value)| numbers(value));
        let corner = self.corner.map(|(x, y, _)| (x, y)).or_else(|| old.as_ref().map(|old| (old[0], old[1])));
        let size = self.size.map(|(w, d, _)| (w, d)).or_else(|| old.as_ref().map(|old| (old[2], old[3])));
        let at = self.size.map(|(.., at)| at).or_else(|| self.corner.map(|(.., at)| at));
        if let (Some((x, y)), Some((width, depth)), Some(at)) = (corner, size, at) {
            let all = [x, y, width, depth].map(Value::Number);
            self.keys.push(("box", Some(Value::List(all.into())), at));
        }
    }

    /// Takes out what the line's own keys exclude.
    fn exclude(&mut self, context: &Context<'_>, known: &[(&'static str, Value)]) {
        let pairs: &[(&str, &'static str)] = match context.subject {
            Subject::Entry(Table::Circuit) => &[("supply", "from"), ("from", "supply")],
            Subject::Entry(Table::Cable) => &[("mm2", "awg"), ("awg", "mm2")],
            _ => &[],
        };
        for (new, old) in pairs {
            let is_set = self.key(new).is_some_and(|(_, value, _)| value.is_some());
            let at = self.key(new).map_or(0, |(.., at)| *at);
            match self.key(old) {
                Some((_, Some(_), at)) if is_set => {
                    let at = *at;
                    self.wrong.push((at, Wrong::new(1, format!("it has a {new} or a {old}, not both"))));
                    return;
                }
                None if is_set && known.iter().any(|(key, _)| key == old) => self.keys.push((old, None, at)),
                _ => {}
            }
        }
        // Leads lead nowhere without a socket.
        let is_unplugged = matches!(self.key("socket"), Some((_, None, _)));
        let has_leads = known.iter().any(|(key, _)| *key == "leads") && self.key("leads").is_none();
        if context.subject == Subject::Entry(Table::Head) && is_unplugged && has_leads {
            let at = self.key("socket").map_or(0, |(.., at)| *at);
            self.keys.push(("leads", None, at));
        }
    }

    fn overlay(&self, result: &mut Keys) {
        for (key, value, _) in &self.keys {
            result.retain(|(other, _)| other != key);
            result.extend(value.clone().map(|value| (*key, value)));
        }
    }

    fn sorted(&mut self, context: &Context<'_>) {
        let rank = |name: &str| context.schema.keys.iter().position(|key| key.name == name);
        self.keys.order_by_key(|(key, ..)| rank(key));
    }

    /// What the file would call an error.
    fn check(&mut self, context: &Context<'_>, id: Option<&str>, result: &[(&'static str, Value)]) {
        for (name, value, at) in &self.keys {
            let Some(key) = context.schema.key(name) else {
                continue;
            };
            if value.is_none() && key.need == Need::Required {
                let why = format!("a {} cannot do without its {}", context.schema.noun, label(key));
                self.wrong.push((*at, Wrong::new(1, why)));
            }
            if let (Kind::Ids(_, Repeats::Refused), Some(Value::List(all))) = (key.kind, value)
                && let Some(one) = all.iter().enumerate().find(|(at, one)| all[..*at].contains(one))
                && let Value::Text(id) = one.1
            {
                self.wrong.push((*at, Wrong::new(1, format!("{id} is named twice"))));
            }
        }
        let found = match context.subject {
            Subject::Entry(Table::Circuit) => across_circuits(context, id, result),
            Subject::Entry(Table::Rcd) => across_rcds(context, id, result),
            Subject::Entry(Table::Head) => leads_nowhere(result),
            _ => Vec::new(),
        };
        for (key, why) in found {
            // What the plan had wrong before is not this line's doing.
            if let Some((.., at)) = self.key(key) {
                let at = *at;
                self.wrong.push((at, Wrong::new(1, why)));
            }
        }
    }
}

fn numbers(value: &Value) -> Option<Vec<f64>> {
    let Value::List(all) = value else {
        return None;
    };
    let all: Vec<f64> =
        all.iter().filter_map(|one| if let Value::Number(one) = one { Some(*one) } else { None }).collect();
    (all.len() == 4).then_some(all)
}

fn list_of(known: &[(&'static str, Value)], name: &str) -> Vec<Value> {
    match known.iter().find(|(key, _)| *key == name) {
        Some((_, Value::List(all))) => all.clone(),
        _ => Vec::new(),
    }
}

/// Puts one more into a list: a base load of a name that is there gets what is new about it. `false`:
/// the line said it before.
fn add(name: &str, list: &mut Vec<Value>, value: &Value) -> bool {
    if name != "base" {
        let is_listed = name != "leads" && list.contains(value);
        if !is_listed {
            list.push(value.clone());
        }
        return !is_listed || name == "ramp";
    }
    let field = |value: &Value, wanted: &str| match value {
        Value::Table(pairs) => pairs.iter().find(|(key, _)| key == wanted).map(|(_, value)| value.clone()),
        _ => None,
    };
    let called = field(value, "name");
    let old = list.iter_mut().find(|old| match &called {
        Some(name) => field(old, "name").as_ref() == Some(name),
        None => *old == value,
    });
    let Some(old) = old else {
        list.push(value.clone());
        return true;
    };
    let merged = BASE.keys.iter().map(|key| key.name).filter_map(|key| {
        let value = field(value, key).or_else(|| field(old, key))?;
        Some((key.to_owned(), value))
    });
    *old = Value::Table(merged.collect());
    true
}

fn leads_nowhere(result: &[(&'static str, Value)]) -> Vec<(&'static str, String)> {
    let has_leads = result.iter().any(|(key, _)| *key == "leads");
    if has_leads && text(result, "socket").is_none() {
        let why = "leads begin at a socket: say which";
        return vec![("leads", why.to_owned()), ("socket", why.to_owned())];
    }
    Vec::new()
}

/// What an entry needs to be whole.
fn lacking(
    context: &Context<'_>,
    is_there: bool,
    result: &[(&'static str, Value)],
    missing: &mut Vec<Missing>,
) {
    let has = |name: &str| result.iter().any(|(key, _)| *key == name);
    if context.subject == Subject::Ramp {
        return;
    }
    if !is_there {
        for key in context.schema.keys.iter().filter(|key| key.need == Need::Required && !has(key.name)) {
            missing.push(lack(&format!("the {}", label(key)), example(context, key.name)));
        }
    }
    match context.subject {
        Subject::Entry(Table::Circuit) => {
            if !has("supply") && !has("from") {
                missing.push(lack("the supply, or the socket that it comes from", "house"));
            } else if !has("line") && lines_of(context, result).is_some_and(|lines| lines.len() > 1) {
                missing.push(lack("the line", "L1"));
            }
        }
        Subject::Entry(Table::Cable) if !has("mm2") && !has("awg") => {
            missing.push(lack("the size", "2.5mm2"));
        }
        Subject::Entry(Table::Head) if !["class", "watts", "amps"].into_iter().any(has) => {
            missing.push(lack("the class, or watts or amps", "led600"));
        }
        _ => {}
    }
}

/// How a key is written, by the grammar.
fn example(context: &Context<'_>, name: &str) -> &'static str {
    let own = match name {
        "minutes" => "4h",
        "level" => "0",
        "on" => "A B, or none",
        _ => "",
    };
    if !own.is_empty() {
        return own;
    }
    let form = forms(context.subject).iter().find(|form| match form.how {
        How::Unit(key) | How::Bare(key) | How::Ref(key) | How::Item(key) | How::Words(key, _) => key == name,
        _ => false,
    });
    form.and_then(|form| form.written.split(' ').next()).unwrap_or("")
}
