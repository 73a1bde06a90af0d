//! What is read again after a change is what is read of the whole text, and so is all that is reckoned from it.

#[path = "random/plan.rs"]
mod random;

use std::collections::BTreeSet;
use std::sync::Arc;

use ampwalk_core::assess::{SetupUse, assess, assess_again, assess_parts_again, assess_setup_again};
use ampwalk_core::edit::{Address, Change, Edit, Override, Table, Value, apply, apply_within};
use ampwalk_core::file::{Gravity, parse, parse_in_sections};
use ampwalk_core::history::History;
use ampwalk_core::network::{Network, Resolved};
use ampwalk_core::physics::residual::Outcome;
use ampwalk_core::plan::Placement;
use ampwalk_core::workers::OneByOne;
use proptest::prelude::*;

fn placement() -> impl Strategy<Value = Option<Placement>> {
    let leads = prop_oneof![Just(vec![]), Just(vec!["c"]), Just(vec!["t", "k"])];
    // S8 is not there.
    proptest::option::of((0..9_usize, leads)).prop_map(|place| {
        place.map(|(socket, leads)| Placement {
            socket: format!("S{socket}").as_str().into(),
            leads: leads.into_iter().map(Into::into).collect(),
        })
    })
}

fn edit() -> impl Strategy<Value = Edit> {
    let head = || (0..9_usize).prop_map(|head| format!("H{head}"));
    let setup = || prop_oneof![Just("one"), Just("two")];
    let set = |of: Address, key: &str, value: Option<Value>| Edit::SetKey { of, key: key.to_owned(), value };
    prop_oneof![
        4 => (head(), placement())
            .prop_map(|(head, placement)| Edit::Plug { head: head.as_str().into(), placement }),
        2 => (setup(), head(), placement()).prop_map(|(setup, head, placement)| Edit::PlugForSetup {
            setup: setup.into(),
            head: head.as_str().into(),
            placement: placement.map_or(Override::Unplugged, Override::Plugged),
        }),
        1 => (setup(), head()).prop_map(|(setup, head)| Edit::PlugForSetup {
            setup: setup.into(),
            head: head.as_str().into(),
            placement: Override::AsTheHeadSays,
        }),
        1 => head().prop_map(|head| Edit::Pin { head: head.as_str().into() }),
        1 => head().prop_map(|head| Edit::Unpin { head: head.as_str().into() }),
        1 => (head(), proptest::option::of(-1..30_i64)).prop_map(move |(head, amps)| {
            set(Address::of(Table::Head, &head), "amps", amps.map(Value::Whole))
        }),
        1 => (head(), proptest::option::of(0..900_i64)).prop_map(move |(head, watts)| {
            set(Address::of(Table::Head, &head), "watts", watts.map(Value::Whole))
        }),
        1 => (setup(), proptest::collection::vec(0..9_usize, 0..5)).prop_map(move |(setup, heads)| {
            let heads = heads.into_iter().map(|head| Value::text(&format!("H{head}"))).collect();
            set(Address::of(Table::Setup, setup), "on", Some(Value::List(heads)))
        }),
        1 => (setup(), prop_oneof![Just("C1.b"), Just("C9.b"), Just("C1.x")]).prop_map(move |(setup, base)| {
            set(Address::of(Table::Setup, setup), "base_off", Some(Value::List(vec![Value::text(base)])))
        }),
        1 => (1..5_usize, proptest::option::of(6..40_i64)).prop_map(move |(circuit, breaker)| {
            set(Address::of(Table::Circuit, &format!("C{circuit}")), "breaker_a", breaker.map(Value::Whole))
        }),
        4 => key_of_the_house().prop_map(move |((table, id, key), value)| set(Address::of(table, id), key, value)),
        6 => key_of_a_part().prop_map(move |(of, key, value)| set(of, key, value)),
        2 => new_entry(),
        2 => prop::sample::select(vec![
            (Table::Head, "H8"), (Table::Head, "H3"), (Table::Head, "H7"), (Table::Socket, "S7"),
            (Table::Socket, "S8"), (Table::Circuit, "C4"), (Table::Room, "up"), (Table::Setup, "two"),
            (Table::Cable, "d"), (Table::Rcd, "PR"),
        ])
        .prop_map(|(table, id)| Edit::RemoveEntry { of: Address::of(table, id) }),
    ]
}

/// A key of something that other entries hang on, more or less, and a value that may be wrong.
fn key_of_the_house() -> impl Strategy<Value = ((Table, &'static str, &'static str), Option<Value>)> {
    let keys = prop::sample::select(vec![
        ((Table::Socket, "S0", "circuit"), vec!["W", "D", "C1"]),
        ((Table::Socket, "S3", "circuit"), vec!["C1", "C4", "D", "C9"]),
        ((Table::Socket, "S3", "test"), vec!["ok", "reversed", "good"]),
        ((Table::Socket, "S5", "portable_rcd"), vec!["PR", "R1", "R9"]),
        ((Table::Socket, "S5", "room"), vec!["in", "out", "nowhere"]),
        ((Table::Socket, "S1", "plate"), vec!["K", "M"]),
        ((Table::Socket, "S2", "plate"), vec!["K", "M"]),
        ((Table::Socket, "S1", "outlet"), vec!["au-10", "au-20", "uk-13"]),
        ((Table::Socket, "S2", "label"), vec!["C1", "C2", "C9"]),
        ((Table::Socket, "S4", "ban"), vec!["not ours"]),
        ((Table::Socket, "S4", "test"), vec!["ok", "no-earth", "dead"]),
        ((Table::Circuit, "C1", "line"), vec!["L1", "L3", "L4"]),
        ((Table::Circuit, "C2", "rcd"), vec!["R1", "R2", "R7"]),
        ((Table::Circuit, "C2", "neutral_with"), vec!["C2", "C3"]),
        ((Table::Circuit, "D", "from"), vec!["S0", "S4"]),
        ((Table::Rcd, "R1", "behind"), vec!["R0", "R1", "R2"]),
        ((Table::Rcd, "R0", "behind"), vec!["R1"]),
        ((Table::Rcd, "R2", "kind"), vec!["A", "B"]),
        ((Table::Supply, "house", "wiring"), vec!["one", "star"]),
        ((Table::Supply, "house", "name"), vec!["the house"]),
        ((Table::Room, "up", "floor"), vec!["g", "u", "x"]),
        ((Table::Floor, "g", "name"), vec!["ground"]),
        ((Table::Cable, "c", "plug"), vec!["au-10", "au-11"]),
        ((Table::Block, "k", "plug"), vec!["uk-13"]),
        ((Table::Head, "H2", "room"), vec!["up", "x"]),
    ]);
    (keys, any::<prop::sample::Index>(), prop::bool::weighted(0.8)).prop_map(
        |((key, values), at, is_given)| (key, is_given.then(|| Value::text(values[at.index(values.len())]))),
    )
}

/// A number in a table, by name.
fn numbers(of: &[(&str, f64)]) -> Value {
    Value::Table(of.iter().map(|(key, number)| ((*key).to_owned(), Value::Number(*number))).collect())
}

/// A key of a socket, a circuit, an RCD or a head that much is reckoned from, and nothing hangs together by.
fn key_of_a_part() -> impl Strategy<Value = (Address, &'static str, Option<Value>)> {
    let base = |amps| {
        Value::List(vec![Value::Table(vec![
            ("name".to_owned(), Value::text("b")),
            ("amps".to_owned(), Value::Number(amps)),
            ("leak_ma".to_owned(), Value::Number(4.0)),
        ])])
    };
    let ramp = |held, tripped| Value::List(vec![numbers(&[("held_ma", held), ("tripped_ma", tripped)])]);
    let off = Value::Table(vec![
        ("held_ma".to_owned(), Value::Number(15.0)),
        ("off".to_owned(), Value::List(vec![Value::text("C1.b")])),
        ("heads_on".to_owned(), Value::List(vec![Value::text("H1")])),
        ("dropped".to_owned(), Value::text("R1")),
    ]);
    let text = |words: &[&str]| words.iter().map(|word| Value::text(word)).collect::<Vec<_>>();
    let whole = |numbers: &[i64]| numbers.iter().map(|number| Value::Whole(*number)).collect::<Vec<_>>();
    let list = |least, most| Value::List(vec![Value::Number(least), Value::Number(most)]);
    let keys = vec![
        (Table::Socket, "ramp", vec![ramp(5.0, 10.0), ramp(20.0, 25.0), Value::List(vec![off])]),
        (Table::Socket, "at", vec![list(1.0, 2.0), list(15.0, 3.0)]),
        (Table::Socket, "loop_ohm", vec![Value::Number(0.4), Value::Number(2.0)]),
        (Table::Socket, "plate_limit_a", whole(&[10, 16])),
        (Table::Circuit, "breaker_a", whole(&[6, 10, 16, 32])),
        (Table::Circuit, "curve", text(&["B", "C", "D"])),
        (Table::Circuit, "base", vec![base(3.0), base(40.0), Value::List(Vec::new())]),
        (Table::Circuit, "name", text(&["kitchen", "lamps"])),
        (Table::Circuit, "others", vec![Value::Flag(true), Value::Flag(false)]),
        (Table::Circuit, "reserve_a", whole(&[2, 5])),
        (Table::Circuit, "keep_on", text(&["the pump"])),
        (Table::Circuit, "held_by", text(&["dimmer", "timer", "key-card"])),
        (Table::Circuit, "afci", vec![Value::Flag(true)]),
        (Table::Circuit, "ring", vec![Value::Flag(true)]),
        (Table::Rcd, "rated_ma", whole(&[10, 30, 100, 300])),
        (Table::Rcd, "kind", text(&["AC", "A", "B"])),
        (Table::Rcd, "class", text(&["rcd", "gfci", "portable"])),
        (Table::Rcd, "reserve_ma", whole(&[1, 4])),
        (Table::Rcd, "poles", whole(&[2, 4])),
        (Table::Head, "class", text(&["led-600", "tungsten-1k", "discharge-1k2-magnetic"])),
        (Table::Head, "leak_ma", vec![list(0.5, 6.0)]),
        (Table::Head, "strike_ma", vec![list(2.0, 12.0)]),
        (Table::Head, "start_a", whole(&[20, 30])),
        (Table::Head, "plug", text(&["au-15", "cee-16-3"])),
        (Table::Head, "name", text(&["the key"])),
        (Table::Head, "at", vec![list(1.0, 1.0)]),
    ];
    let ids = |table| match table {
        Table::Socket => ["S0", "S1", "S2", "S3", "S4", "S5", "S6"],
        Table::Circuit => ["C1", "C2", "C3", "C4", "G", "W", "D"],
        Table::Rcd => ["R0", "R1", "R2", "PR", "R0", "R1", "R2"],
        _ => ["H0", "H1", "H2", "H3", "H4", "H5", "H6"],
    };
    let which = (prop::sample::select(keys), any::<prop::sample::Index>(), 0..7_usize);
    (which, prop::bool::weighted(0.8)).prop_map(move |(((table, key, values), at, number), is_given)| {
        let value = is_given.then(|| values[at.index(values.len())].clone());
        (Address::of(table, ids(table)[number]), key, value)
    })
}

/// A new entry, or one whose name is taken.
fn new_entry() -> impl Strategy<Value = Edit> {
    let entries = prop::sample::select(vec![
        (Table::Head, "H8", vec![("class", "led-600")]),
        (Table::Head, "H9", vec![("class", "led-600"), ("socket", "S1")]),
        (Table::Head, "H7", vec![("class", "led-600")]),
        (Table::Head, "no id", vec![]),
        (Table::Socket, "S8", vec![("room", "in"), ("circuit", "C1")]),
        (Table::Socket, "S9", vec![("room", "nowhere")]),
        (Table::Socket, "S6", vec![("room", "up"), ("plate", "K")]),
        (Table::Circuit, "C5", vec![("supply", "house"), ("line", "L2")]),
        (Table::Room, "attic", vec![("floor", "u")]),
    ]);
    entries.prop_map(|(table, id, keys)| Edit::AddEntry {
        of: Address::of(table, id),
        keys: keys.into_iter().map(|(key, value)| (key.to_owned(), Value::text(value))).collect(),
    })
}

/// Several edits at once, as a line that is typed gives them.
fn edits() -> impl Strategy<Value = Edit> {
    prop_oneof![
        3 => edit(),
        1 => proptest::collection::vec(edit(), 1..4).prop_map(|mut edits| {
            let mut seen = BTreeSet::new();
            edits.retain(|edit| seen.insert(said_of(edit)));
            Edit::Many { edits, label: "several".to_owned() }
        }),
    ]
}

/// What an edit says something of: nobody says two things of one key at once.
fn said_of(edit: &Edit) -> String {
    match edit {
        Edit::SetKey { of, key, .. } => format!("{key} of {of}"),
        Edit::Plug { head, .. } => format!("socket of {head}"),
        Edit::PlugForSetup { setup, head, .. } => format!("socket of {head} for {setup}"),
        Edit::Pin { head } | Edit::Unpin { head } => format!("pinned of {head}"),
        other => other.label(),
    }
}

/// The sums of a setup but for what breakers do after what came before it.
fn cold(used: &SetupUse) -> SetupUse {
    let mut used = used.clone();
    for (_, circuit) in used.circuits.iter_mut() {
        circuit.breaker = Outcome::Holds;
    }
    used
}

/// A random plan, with checks that look across setups or without.
fn plan_text(seed: &[u16]) -> String {
    let text = random::plan_text(seed);
    if seed[0].is_multiple_of(2) {
        return text;
    }
    let is_across = |line: &&str| line.starts_with("contract_kw") || line.starts_with("kwh");
    let kept: Vec<&str> = text.split_inclusive('\n').filter(|line| !is_across(line)).collect();
    kept.concat()
}

/// A plan that is kept up to date by what is read again.
struct Kept {
    text: String,
    sections: ampwalk_core::file::Sections,
    problems: Vec<ampwalk_core::file::Problem>,
    network: Network,
    /// How many changes did not need the whole text.
    within: usize,
}

impl Kept {
    fn open(text: String) -> Self {
        let (parsed, sections) = parse_in_sections(&text);
        let network = random::network(&text);
        Self { text, sections, problems: parsed.problems, network, within: 0 }
    }

    /// Takes a change, and sees that all is as if the text had been read as a whole.
    fn take(&mut self, change: &Change) {
        let text = change.apply(&self.text);
        let (parsed, sections) = parse_in_sections(&text);
        let fresh = Network::of(Arc::new(parsed.plan));
        let before = assess(&self.network);
        let plan = &self.network.plan;
        if let Some(entries) = self.sections.again(&text, change, plan, &mut self.problems) {
            self.within += 1;
            let resolved = self.network.put(entries);
            assert_eq!(self.problems, parsed.problems, "{change:?}\n{text}");
            assert_eq!(self.sections, sections, "{change:?}\n{text}");
            assert_eq!(format!("{:?}", self.network), format!("{fresh:?}"), "{change:?}\n{text}");
            let whole = assess(&fresh);
            match resolved {
                Resolved::Anew => {}
                Resolved::Parts(changed) => {
                    let mut again = before;
                    assess_parts_again(&fresh, &mut again, &changed, &OneByOne);
                    assert_eq!(again, whole, "{change:?}\n{text}");
                }
                Resolved::AsBefore => assert_eq!(before, whole, "{change:?}\n{text}"),
                Resolved::Plugs => {
                    for setup in fresh.setups.indices() {
                        let one = assess_setup_again(&fresh, &before, setup, &OneByOne);
                        let [of_one, of_whole] = [&one, &whole].map(|told| cold(&told.setups[setup]));
                        assert_eq!(of_one, of_whole, "{change:?}\n{text}");
                        let (one, of_whole) = (one.findings_in(setup), whole.findings_in(setup));
                        assert_eq!(
                            one.collect::<Vec<_>>(),
                            of_whole.collect::<Vec<_>>(),
                            "{change:?}\n{text}"
                        );
                    }
                    let mut again = before;
                    assess_again(&fresh, &mut again, &OneByOne);
                    assert_eq!(again, whole, "{change:?}\n{text}");
                }
            }
        }
        *self = Self { text, sections, problems: parsed.problems, network: fresh, within: self.within };
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn what_is_read_again_is_what_the_whole_text_says(
        seed in proptest::collection::vec(any::<u16>(), 60),
        edits in proptest::collection::vec(edits(), 1..12),
    ) {
        let mut kept = Kept::open(plan_text(&seed));
        let mut history = History::of_saved();
        let mut of_entries = 0;
        for edit in &edits {
            let whole = apply(&kept.text, edit);
            let within = apply_within(&kept.text, edit, &kept.sections);
            if let (Ok(whole), Some(within)) = (&whole, &within) {
                prop_assert_eq!(whole.apply(&kept.text), within.apply(&kept.text), "{:?}", edit);
            }
            if let (Err(refusal), Some(within)) = (&whole, &within) {
                let text = within.apply(&kept.text);
                let mut sections = kept.sections.clone();
                let again = sections.again(&text, within, &kept.network.plan, &mut kept.problems.clone());
                prop_assert_eq!(again, None, "{:?} is refused: {:?}", edit, refusal);
                prop_assert_eq!(&sections, &kept.sections);
            }
            if let Ok(change) = whole {
                let before = kept.text.clone();
                kept.take(within.as_ref().unwrap_or(&change));
                let is_of_a_head = matches!(edit, Edit::Plug { .. } | Edit::Pin { .. } | Edit::PlugForSetup { .. });
                let is_good = |text: &str| parse(text).worst().is_none_or(|worst| worst == Gravity::Note);
                let counts = is_of_a_head && !change.is_empty();
                of_entries += usize::from(counts && is_good(&before) && is_good(&kept.text));
                history.record(change);
            }
        }
        let mut text = kept.text.clone();
        while let Some(change) = history.undo(&mut text) {
            kept.take(&change);
            prop_assert_eq!(&kept.text, &text);
        }
        while let Some(change) = history.redo(&mut text) {
            kept.take(&change);
        }
        prop_assert!(of_entries == 0 || kept.within > 0, "nothing was read within its part");
    }
}

/// A house that overloads itself: a box behind another, neutrals that are shared, RCDs behind each other; heads on the
/// last box and on one of the two that share a neutral.
const OVERLOADED: &str = "ampwalk = 1\n[location]\nregion = \"au\"\n\
    [supply.house]\nkind = \"mains\"\nwiring = \"star\"\n\
    [rcd.R0]\nrated_ma = 100\n[rcd.R1]\nrated_ma = 30\nbehind = \"R0\"\n\
    [circuit.W]\nsupply = \"house\"\nline = \"L1\"\nbreaker_a = 16\nrcd = \"R0\"\nbase = [{ amps = 20, leak_ma = 90 }]\n\
    [circuit.D]\nfrom = \"S0\"\nline = \"L1\"\nbreaker_a = 16\nrcd = \"R1\"\nbase = [{ amps = 20, leak_ma = 40 }]\n\
    [circuit.E]\nfrom = \"S1\"\nline = \"L1\"\nbreaker_a = 16\nbase = [{ amps = 20 }]\n\
    [circuit.N]\nsupply = \"house\"\nline = \"L2\"\nbreaker_a = 16\nbase = [{ amps = 30 }]\n\
    [circuit.M]\nsupply = \"house\"\nline = \"L2\"\nbreaker_a = 16\nneutral_with = \"N\"\nbase = [{ amps = 30 }]\n\
    [floor.g]\nlevel = 0\n[room.hall]\nfloor = \"g\"\n[socket.S0]\nroom = \"hall\"\ncircuit = \"W\"\n[socket.S1]\nroom = \"hall\"\ncircuit = \"D\"\n\
    [socket.S2]\nroom = \"hall\"\ncircuit = \"E\"\n[socket.S3]\nroom = \"hall\"\ncircuit = \"M\"\n\
    [head.H]\nclass = \"led-600\"\nsocket = \"S2\"\n[head.K]\nclass = \"led-1k2\"\nsocket = \"S3\"\n\
    [setup.day]\nminutes = 60\non = [\"K\"]\n[setup.night]\nminutes = 60\non = [\"H\", \"K\"]\n";

#[test]
fn what_hangs_on_a_part_elsewhere_is_found_again() {
    let set = |table, id: &str, key: &str, value| Edit::SetKey {
        of: Address::of(table, id),
        key: key.to_owned(),
        value: Some(value),
    };
    let mut edits: Vec<Edit> = Vec::new();
    for circuit in ["W", "D", "E", "N", "M"] {
        edits.extend([10, 25, 13].map(|amps| set(Table::Circuit, circuit, "breaker_a", Value::Whole(amps))));
        edits.extend(["B", "D"].map(|curve| set(Table::Circuit, circuit, "curve", Value::text(curve))));
        edits.push(set(Table::Circuit, circuit, "base", Value::List(vec![numbers(&[("amps", 26.0)])])));
        edits.push(set(Table::Circuit, circuit, "afci", Value::Flag(true)));
    }
    for rcd in ["R0", "R1"] {
        edits.extend([300, 10].map(|rated| set(Table::Rcd, rcd, "rated_ma", Value::Whole(rated))));
        edits.extend(["AC", "B"].map(|kind| set(Table::Rcd, rcd, "kind", Value::text(kind))));
    }
    let mut kept = Kept::open(OVERLOADED.to_owned());
    for edit in &edits {
        let found = assess(&kept.network).findings.len();
        assert!(found > 4, "{found} findings are few");
        kept.take(&apply(&kept.text, edit).unwrap());
    }
    assert_eq!(kept.within, edits.len());
}

/// Heads in every form that TOML has for them; A alone has a part for itself.
const FORMS: &str = "ampwalk = 1\nhead.D.watts = 1\n[location]\nregion = \"au\"\n[head.A]\nwatts = 1\n\n# B\n\
                     [head.B]\nwatts = 2\n[head.B.at_nothing]\n[setup.s]\non = []\n";

#[test]
fn only_an_entry_with_a_part_for_itself_is_read_within_it() {
    let (_, sections) = parse_in_sections(FORMS);
    let pin = |head: &str| apply_within(FORMS, &Edit::Pin { head: head.into() }, &sections);
    assert!(pin("A").is_some());
    for head in ["B", "D", "E"] {
        assert_eq!(pin(head), None, "{head}");
    }
}

/// A change by hand of a text, as `again` is asked for it.
fn change(text: &str, from: &str, to: &str) -> Change {
    let at = text.find(from).unwrap_or(text.len());
    let splice = ampwalk_core::edit::Splice { at, removed: from.to_owned(), inserted: to.to_owned() };
    Change { label: String::new(), steps: vec![vec![splice]] }
}

#[test]
fn a_change_that_reaches_beyond_its_entry_asks_for_the_whole_text() {
    let text = "ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nwatts = 10\n[head.B]\nwatts = 2\n";
    let takes = |from: &str, to: &str| {
        let change = change(text, from, to);
        let (parsed, mut sections) = parse_in_sections(text);
        let (mut problems, before) = (parsed.problems, sections.clone());
        let entry = sections.again(&change.apply(text), &change, &parsed.plan, &mut problems);
        assert!(entry.is_some() || (sections == before && problems.is_empty()), "{from:?} to {to:?}");
        entry.is_some()
    };
    assert!(takes("watts = 10", "watts = 100"), "a value");
    assert!(takes("watts = 10", "watts = 100 # more"), "a comment");
    assert!(!takes("10\n", "10"), "the header of the next one would follow on the same line");
    assert!(!takes("10", "10\n[head.C]\nwatts = 1"), "a new entry");
    assert!(!takes("10", "10\n[head.A.x]"), "a header within");
    assert!(!takes("10", "'''"), "text without an end");
    assert!(!takes("10", "-10"), "out of range");
    assert!(!takes("10", "10\nroom = \"r\""), "a room that is not there");
    assert!(!takes("[head.A]", "[head.C]"), "a new name");
    assert!(takes("10\n[head.B]\nwatts = 2", "3"), "an entry goes that nothing names");
    assert!(!takes("10\n[head.B]\nwatts = 2", "3 # like B"), "something may name the entry that goes");
    assert!(!takes("[location]\nregion = \"au\"\n[head.A]", "[head.A]"), "what is no entry goes");
}

#[test]
fn what_is_worth_knowing_of_other_entries_stays_at_its_place() {
    let text = "ampwalk = 1\n[location]\nregion = \"au\"\n[head.A]\nwatts = 10\namps = 1\n[head.B]\nwatts = 2\n\
                [head.C]\nwatts = 3\namps = 2\n";
    let notes = |text: &str| parse(text).problems;
    assert_eq!(notes(text).len(), 2);
    for (from, to) in [("watts = 2", "watts = 2\namps = 5"), ("amps = 1\n", ""), ("amps = 2", "pf = 0.9")] {
        let change = change(text, from, to);
        let (parsed, mut sections) = parse_in_sections(text);
        let mut problems = parsed.problems;
        let after = change.apply(text);
        assert!(sections.again(&after, &change, &parsed.plan, &mut problems).is_some());
        assert_eq!(problems, notes(&after), "{from:?} to {to:?}");
    }
}
