//! Laws of edits, on plans and edits made at random: the plan changes by what the edit says and by
//! nothing else, the inverse gives the same bytes back, comments and line ends stay.

#![expect(clippy::panic, reason = "a helper that finds nothing fails the test")]
#![expect(clippy::format_push_string, reason = "a plan is written line by line")]

use ampwalk_core::edit::{Address, Edit, Override, Table, Value, apply};
use ampwalk_core::file::{Gravity, parse};
use ampwalk_core::history::History;
use ampwalk_core::id::{HeadId, SetupId, SocketId};
use ampwalk_core::plan::{Head, Placement, Plan};
use ampwalk_core::unit::Watts;
use proptest::prelude::*;
use proptest::sample::Index;

/// How a head is written.
#[derive(Clone, Copy, Debug)]
enum Form {
    Header,
    Inline,
    Dotted,
}

#[derive(Clone, Debug)]
struct WrittenHead {
    form: Form,
    has_comment: bool,
    is_pinned: bool,
    socket: Option<(usize, usize)>,
}

#[derive(Clone, Debug)]
struct WrittenPlan {
    sockets: usize,
    heads: Vec<WrittenHead>,
    on: Vec<bool>,
    overrides: Vec<Option<usize>>,
    form_of_overrides: Form,
    has_crlf: bool,
    has_mark: bool,
    ends_with_line: bool,
}

fn form() -> impl Strategy<Value = Form> {
    prop_oneof![Just(Form::Header), Just(Form::Inline), Just(Form::Dotted)]
}

fn written_head() -> impl Strategy<Value = WrittenHead> {
    (form(), any::<bool>(), any::<bool>(), proptest::option::of((0..4_usize, 0..3_usize))).prop_map(
        |(form, has_comment, is_pinned, socket)| WrittenHead { form, has_comment, is_pinned, socket },
    )
}

fn written_plan() -> impl Strategy<Value = WrittenPlan> {
    (
        1..4_usize,
        proptest::collection::vec(written_head(), 1..6),
        proptest::collection::vec(any::<bool>(), 6),
        proptest::collection::vec(proptest::option::of(0..4_usize), 6),
        form(),
        any::<[bool; 3]>(),
    )
        .prop_map(
            |(sockets, heads, on, overrides, form_of_overrides, [has_crlf, has_mark, ends_with_line])| {
                WrittenPlan {
                    sockets,
                    heads,
                    on,
                    overrides,
                    form_of_overrides,
                    has_crlf,
                    has_mark,
                    ends_with_line,
                }
            },
        )
}

impl WrittenPlan {
    fn text(&self) -> String {
        let mut text = String::from("# made at random\nampwalk = 1\n");
        for (at, head) in self.heads.iter().enumerate() {
            if matches!(head.form, Form::Dotted) {
                for (key, value) in self.keys(head) {
                    text += &format!("head.H{at}.{key} = {value}{}\n", self.comment(head, at));
                }
            }
        }
        text += "\n[location]\nregion = \"au\" # au\n\n[floor.f]\nlevel = 0\n\n[room.r]\nfloor = \"f\"\n";
        for at in 0..self.sockets {
            text += &format!("\n[socket.S{at}]\nroom = \"r\" # socket {at}\n");
        }
        text += "\n[cable.c]\nlength_m = 5\nmm2 = 2.5\n";
        self.push_heads(&mut text);
        self.push_setup(&mut text);
        if !self.ends_with_line {
            text.truncate(text.trim_end().len());
        }
        if self.has_crlf {
            text = text.replace('\n', "\r\n");
        }
        if self.has_mark { format!("\u{feff}{text}") } else { text }
    }

    fn comment(&self, head: &WrittenHead, at: usize) -> String {
        if head.has_comment { format!(" # head {at} of {}", self.heads.len()) } else { String::new() }
    }

    fn keys(&self, head: &WrittenHead) -> Vec<(&'static str, String)> {
        let mut keys = vec![("class", "\"led-300\"".to_owned())];
        if let Some((socket, leads)) = head.socket {
            keys.push(("socket", format!("\"S{}\"", socket % self.sockets)));
            if leads > 0 {
                keys.push(("leads", format!("[{}]", vec!["'c'"; leads].join(" , "))));
            }
        }
        if head.is_pinned {
            keys.push(("pinned", "true".to_owned()));
        }
        keys
    }

    fn push_heads(&self, text: &mut String) {
        if self.heads.iter().any(|head| matches!(head.form, Form::Inline)) {
            // A table that is begun by dotted keys cannot have a header of its own.
            let dotted = self.heads.iter().any(|head| matches!(head.form, Form::Dotted));
            if !dotted {
                *text += "\n[head]\n";
            }
            for (at, head) in self.heads.iter().enumerate() {
                if matches!(head.form, Form::Inline) && !dotted {
                    let keys: Vec<String> =
                        self.keys(head).iter().map(|(key, value)| format!("{key} = {value}")).collect();
                    *text += &format!("H{at} = {{ {} }}{}\n", keys.join(", "), self.comment(head, at));
                } else if matches!(head.form, Form::Inline) {
                    self.push_header(text, head, at);
                }
            }
        }
        for (at, head) in self.heads.iter().enumerate() {
            if matches!(head.form, Form::Header) {
                self.push_header(text, head, at);
            }
        }
    }

    fn push_header(&self, text: &mut String, head: &WrittenHead, at: usize) {
        *text += &format!("\n[head.H{at}]{}\n", self.comment(head, at));
        for (key, value) in self.keys(head) {
            *text += &format!("{key}  =  {value}{}\n", self.comment(head, at));
        }
    }

    fn push_setup(&self, text: &mut String) {
        let on = (0..self.heads.len()).filter(|at| self.on[*at]);
        let on: Vec<String> = on.map(|at| format!("  \"H{at}\", # on {at}\n")).collect();
        *text += &format!("\n[setup.day]\nminutes = 60\non = [\n{}]\n", on.concat());
        let overrides: Vec<(usize, String)> = (0..self.heads.len())
            .filter(|at| at % 2 == 0)
            .map(|at| match self.overrides[at] {
                Some(socket) => (at, format!("{{ socket = \"S{}\" }}", socket % self.sockets)),
                None => (at, "{}".to_owned()),
            })
            .collect();
        match self.form_of_overrides {
            Form::Inline => {
                let inner: Vec<String> =
                    overrides.iter().map(|(at, value)| format!("H{at} = {value}")).collect();
                *text += &format!("sockets = {{ {} }} # own\n", inner.join(", "));
            }
            Form::Dotted => {
                for (at, value) in overrides {
                    *text += &format!("sockets.H{at} = {value} # own {at}\n");
                }
            }
            Form::Header => {
                for (at, value) in overrides {
                    let inner = value.trim_matches(['{', '}', ' ']);
                    *text += &format!("\n[setup.day.sockets.H{at}] # own {at}\n{inner}\n");
                }
            }
        }
    }
}

fn placement(sockets: usize, socket: Index, leads: usize) -> Placement {
    Placement {
        socket: SocketId::from(format!("S{}", socket.index(sockets)).as_str()),
        leads: vec!["c".into(); leads],
    }
}

fn head(heads: usize, at: Index) -> String {
    format!("H{}", at.index(heads))
}

/// One edit on a plan with so many sockets and heads.
fn single(sockets: usize, heads: usize) -> impl Strategy<Value = Edit> {
    let of = move |at| Address::of(Table::Head, &head(heads, at));
    let any = any::<Index>;
    prop_oneof![
        (any(), any(), 0..3_usize).prop_map(move |(at, socket, leads)| Edit::Plug {
            head: head(heads, at).as_str().into(),
            placement: Some(placement(sockets, socket, leads)),
        }),
        any().prop_map(move |at| Edit::Plug { head: head(heads, at).as_str().into(), placement: None }),
        (any(), any(), 0..4_usize).prop_map(move |(at, socket, what)| Edit::PlugForSetup {
            setup: "day".into(),
            head: head(heads, at).as_str().into(),
            placement: match what {
                0 => Override::AsTheHeadSays,
                1 => Override::Unplugged,
                leads => Override::Plugged(placement(sockets, socket, leads - 2)),
            },
        }),
        any().prop_map(move |at| Edit::Pin { head: head(heads, at).as_str().into() }),
        any().prop_map(move |at| Edit::Unpin { head: head(heads, at).as_str().into() }),
        (any(), proptest::option::of(1..2000_u32)).prop_map(move |(at, watts)| Edit::SetKey {
            of: of(at),
            key: "watts".into(),
            value: watts.map(|watts| Value::Number(f64::from(watts) / 4.0)),
        }),
        (any(), proptest::option::of("[b-fB-F \"\\\\#\\[\\]é]{0,12}")).prop_map(move |(at, name)| {
            Edit::SetKey { of: of(at), key: "name".into(), value: name.as_deref().map(Value::text) }
        }),
        proptest::sample::subsequence((0..heads).collect::<Vec<_>>(), 0..=heads).prop_shuffle().prop_map(
            |on| {
                let on: Vec<String> = on.into_iter().map(|at| format!("H{at}")).collect();
                Edit::SetKey {
                    of: Address::of(Table::Setup, "day"),
                    key: "on".into(),
                    value: Some(Value::texts(on.iter().map(String::as_str))),
                }
            }
        ),
        (any(), "[A-Z]{2}-[0-9]").prop_map(move |(at, to)| Edit::Rename {
            table: Table::Head,
            from: head(heads, at),
            to
        }),
        any().prop_map(move |at| Edit::RemoveEntry { of: of(at) }),
        any().prop_map(move |at| Edit::RemoveEntry {
            of: Address::of(Table::Socket, &format!("S{}", at.index(sockets)))
        }),
        "[A-Z]{2}[0-9]".prop_map(|id| Edit::AddEntry {
            of: Address::of(Table::Head, &id),
            keys: vec![("watts".to_owned(), Value::Whole(40))],
        }),
    ]
}

fn plan_and_edits() -> impl Strategy<Value = (WrittenPlan, Vec<Edit>)> {
    written_plan().prop_flat_map(|plan| {
        let edits = proptest::collection::vec(single(plan.sockets, plan.heads.len()), 1..6);
        (Just(plan), edits)
    })
}

/// The plan with just that changed; `None`: the edit is about something that is not there any more.
fn expected(plan: &Plan, edit: &Edit) -> Option<Plan> {
    let mut plan = plan.clone();
    match edit {
        Edit::Plug { head, placement } => {
            there(&plan, placement.as_ref())?;
            plan.heads.get_mut(head)?.placement.clone_from(placement);
        }
        Edit::PlugForSetup { setup, head, placement } => {
            plan.heads.get(head)?;
            let own = match placement {
                Override::Plugged(placement) => Some(Some(placement.clone())),
                Override::Unplugged => Some(None),
                Override::AsTheHeadSays => None,
            };
            there(&plan, own.as_ref().and_then(Option::as_ref))?;
            let sockets = &mut plan.setups.get_mut(setup)?.sockets;
            match own {
                Some(own) => {
                    sockets.insert(head.clone(), own);
                }
                None => {
                    sockets.shift_remove(head);
                }
            }
        }
        Edit::Pin { head } => plan.heads.get_mut(head)?.pinned = true,
        Edit::Unpin { head } => plan.heads.get_mut(head)?.pinned = false,
        Edit::SetKey { of, key, value } => set_key(&mut plan, of, key, value.as_ref())?,
        Edit::AddEntry { of: Address::Entry(_, id), .. } => {
            if plan.heads.contains_key(id.as_str()) {
                return None;
            }
            let head = Head { watts: Some(Watts(40.0)), ..Head::default() };
            plan.heads.insert(HeadId::from(id.as_str()), head);
        }
        Edit::RemoveEntry { of: Address::Entry(Table::Head, id) } => remove_head(&mut plan, id)?,
        Edit::RemoveEntry { of: Address::Entry(_, id) } => remove_socket(&mut plan, id)?,
        Edit::Rename { from, to, .. } => rename_head(&mut plan, from, to)?,
        _ => unreachable!("no such edit is made"),
    }
    Some(plan)
}

fn there(plan: &Plan, placement: Option<&Placement>) -> Option<()> {
    placement.is_none_or(|placement| plan.sockets.contains_key(&placement.socket)).then_some(())
}

fn set_key(plan: &mut Plan, of: &Address, key: &str, value: Option<&Value>) -> Option<()> {
    match (of, value) {
        (Address::Entry(Table::Head, id), value) => {
            let head = plan.heads.get_mut(id.as_str())?;
            match (key, value) {
                ("watts", Some(Value::Number(watts))) => head.watts = Some(Watts(*watts)),
                ("watts", _) => head.watts = None,
                (_, Some(Value::Text(name))) => head.name = Some(name.clone()),
                _ => head.name = None,
            }
        }
        (Address::Entry(_, id), Some(Value::List(on))) => {
            let on: Vec<HeadId> = on
                .iter()
                .map(|head| if let Value::Text(head) = head { head.as_str().into() } else { "".into() })
                .collect();
            if on.iter().any(|head| !plan.heads.contains_key(head)) {
                return None;
            }
            plan.setups.get_mut(&SetupId::from(id.as_str()))?.on = on;
        }
        _ => return None,
    }
    Some(())
}

fn remove_head(plan: &mut Plan, id: &str) -> Option<()> {
    plan.heads.shift_remove(id)?;
    for setup in plan.setups.values_mut() {
        setup.on.retain(|head| head.as_str() != id);
        setup.sockets.shift_remove(id);
    }
    Some(())
}

fn remove_socket(plan: &mut Plan, id: &str) -> Option<()> {
    plan.sockets.shift_remove(id)?;
    let own = plan.setups.values_mut().flat_map(|setup| setup.sockets.values_mut());
    for placement in plan.heads.values_mut().map(|head| &mut head.placement).chain(own) {
        if placement.as_ref().is_some_and(|placement| placement.socket.as_str() == id) {
            *placement = None;
        }
    }
    Some(())
}

fn rename_head(plan: &mut Plan, from: &str, to: &str) -> Option<()> {
    plan.heads.get(from)?;
    if plan.heads.contains_key(to) {
        return None;
    }
    let renamed = |id: &HeadId| if id.as_str() == from { to.into() } else { id.clone() };
    plan.heads = plan.heads.iter().map(|(id, head)| (renamed(id), head.clone())).collect();
    for setup in plan.setups.values_mut() {
        setup.on.iter_mut().for_each(|id| *id = renamed(id));
        setup.sockets = setup.sockets.iter().map(|(id, own)| (renamed(id), own.clone())).collect();
    }
    Some(())
}

fn good(text: &str) -> Plan {
    let parsed = parse(text);
    let errors: Vec<_> = parsed.problems.iter().filter(|problem| problem.gravity != Gravity::Note).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{text}");
    parsed.plan
}

fn comments(text: &str) -> usize {
    text.lines().filter(|line| line.contains(" # ")).count()
}

/// Makes one edit and checks its laws; `None`: it was rightly refused.
fn checked(text: &str, edit: &Edit) -> Option<String> {
    let expected = expected(&good(text), edit);
    let (change, expected) = match (apply(text, edit), expected) {
        (Ok(change), Some(expected)) => (change, expected),
        (Err(refusal), None) => {
            assert!(!refusal.message.is_empty() && !refusal.remedy.is_empty());
            return None;
        }
        (made, expected) => panic!("{edit:?}\n{made:?}\n{expected:?}\n{text}"),
    };
    let after = change.apply(text);
    let plan = good(&after);
    assert_eq!(plan, expected, "{edit:?}\n{text}\n---\n{after}");
    assert!(plan.heads.keys().eq(expected.heads.keys()), "the order of heads\n{text}\n---\n{after}");
    assert_eq!(change.inverse().apply(&after), text, "{edit:?}");
    assert_eq!(after.starts_with('\u{feff}'), text.starts_with('\u{feff}'));
    if text.contains("\r\n") {
        assert_eq!(after.matches('\n').count(), after.matches("\r\n").count(), "{edit:?}\n{after:?}");
    } else {
        assert!(!after.contains('\r'));
    }
    // A table that is taken out takes along what is written in it.
    if !matches!(edit, Edit::RemoveEntry { .. }) {
        // Names have no such words in them.
        let words = ["head ", "socket ", "own", "on ", "au"];
        let kept = text
            .lines()
            .filter_map(|line| line.split_once(" # ").map(|(_, comment)| comment))
            .filter(|comment| words.iter().any(|word| comment.starts_with(word)));
        let takes_a_table_out = matches!(edit, Edit::PlugForSetup { placement: Override::AsTheHeadSays, .. });
        for comment in kept.filter(|comment| !(takes_a_table_out && comment.starts_with("own"))) {
            assert!(after.contains(comment), "{edit:?} loses {comment:?}\n{after}");
        }
    }
    Some(after)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn an_edit_changes_what_it_says_and_its_inverse_gives_the_bytes_back((plan, edits) in plan_and_edits()) {
        let mut text = plan.text();
        for edit in &edits {
            if let Some(after) = checked(&text, edit) {
                text = after;
            }
        }
    }

    #[test]
    fn several_edits_at_once_are_the_same_as_one_after_the_other((plan, edits) in plan_and_edits()) {
        let text = plan.text();
        let mut one_by_one = text.clone();
        for edit in &edits {
            match apply(&one_by_one, edit) {
                Ok(change) => one_by_one = change.apply(&one_by_one),
                Err(_) => return Ok(()),
            }
        }
        let change = apply(&text, &Edit::Many { edits, label: "All".into() }).unwrap();
        let at_once = change.apply(&text);
        prop_assert_eq!(good(&at_once), good(&one_by_one));
        prop_assert_eq!(change.inverse().apply(&at_once), text);
    }

    #[test]
    fn undo_leads_back_to_every_state_and_redo_forth((plan, edits) in plan_and_edits()) {
        let mut text = plan.text();
        let mut history = History::of_saved();
        let mut states = vec![text.clone()];
        for edit in &edits {
            if let Ok(change) = apply(&text, edit) {
                text = change.apply(&text);
                if text != states[states.len() - 1] {
                    states.push(text.clone());
                }
                history.record(change);
            }
        }
        for state in states.iter().rev().skip(1) {
            prop_assert!(history.undo(&mut text).is_some());
            prop_assert_eq!(&text, state);
        }
        prop_assert!(history.is_saved());
        prop_assert!(history.undo(&mut text).is_none());
        for state in states.iter().skip(1) {
            prop_assert!(history.redo(&mut text).is_some());
            prop_assert_eq!(&text, state);
        }
        prop_assert!(history.redo(&mut text).is_none());
        prop_assert_eq!(history.is_saved(), states.len() == 1);
    }

    #[test]
    fn the_plans_made_at_random_are_good(plan in written_plan()) {
        let text = plan.text();
        prop_assert_eq!(good(&text).heads.len(), plan.heads.len());
        prop_assert!(comments(&text) > 0);
    }
}

#[test]
fn saving_marks_a_state_that_new_edits_can_put_out_of_reach() {
    let mut text = String::from("ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nwatts = 1\n");
    let mut history = History::of_saved();
    let pin = apply(&text, &Edit::Pin { head: "A".into() }).unwrap();
    text = pin.apply(&text);
    history.record(pin);
    assert!(!history.is_saved());
    history.saved();
    assert!(history.is_saved());
    assert_eq!(history.undo(&mut text).map(|change| change.label).as_deref(), Some("Pin A"));
    assert!(!history.is_saved());
    assert_eq!(history.next_redo(), Some("Pin A"));
    let name = Edit::SetKey {
        of: Address::of(Table::Head, "A"),
        key: "name".into(),
        value: Some(Value::text("Key")),
    };
    let name = apply(&text, &name).unwrap();
    text = name.apply(&text);
    history.record(name);
    assert!(!history.is_saved(), "as many changes, but another text");
    history.undo(&mut text);
    assert!(!history.is_saved());
    assert_eq!(history.next_redo(), Some("Set name of head A"));
}
