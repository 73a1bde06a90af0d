//! Two of us and another program at one plan, in every order of what they may do: no edit is lost without a
//! word.

use std::fs;

use ampwalk_tui::effect::Effect;
use ampwalk_tui::event::Event;
use ampwalk_tui::model::{Model, Opening};
use ampwalk_tui::update::update;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::super::disk::Disk;
use super::super::keeping::{Keeping, Report};
use super::Place;

const PLAN: &str = "\
ampwalk = 1

[location]
region = \"au\"

[floor.f]
level = 0

[room.r]
floor = \"f\"

[head.A]
watts = 300

[head.B]
watts = 300

[setup.day]
minutes = 60
on = [\"A\", \"B\"]
";

/// The screens with what keeps their plan, without a terminal.
struct Desk {
    model: Model,
    keeping: Keeping,
}

impl Desk {
    fn open(place: &Place) -> Self {
        let text = place.text();
        let mut keeping = Keeping::open(Disk::default(), &place.path, &text, None, "a spark".to_owned());
        let held_by = keeping.held_by().map(str::to_owned);
        let reports = keeping.first_reports();
        let model = Model::open(Opening { text, held_by, size: (100, 40), ..Opening::default() });
        let mut desk = Self { model, keeping };
        desk.take_in(reports);
        desk
    }

    fn take_in(&mut self, reports: Vec<Report>) {
        for report in reports {
            self.event(crate::screen::event_of(report));
        }
    }

    fn event(&mut self, event: Event) {
        for effect in update(&mut self.model, event) {
            let reports = match effect {
                Effect::Save { text, seen } => self.keeping.keep(&text, seen),
                Effect::SetAside(text) => vec![self.keeping.set_aside(&text)],
                _ => Vec::new(),
            };
            self.take_in(reports);
        }
    }

    fn look(&mut self) {
        let reports = self.keeping.look();
        self.take_in(reports);
    }

    fn key(&mut self, code: KeyCode) {
        self.event(Event::Key(KeyEvent::new(code, KeyModifiers::NONE)));
    }

    /// Marks the head under the cursor as one that stays where it is; or takes the mark off.
    fn pin(&mut self, head: &str) {
        self.key(KeyCode::Char('/'));
        for c in head.chars() {
            self.key(KeyCode::Char(c));
        }
        self.key(KeyCode::Enter);
        self.key(KeyCode::Char('k'));
    }

    /// Looks until nothing new is there, and takes its own where it is asked.
    fn settle(&mut self) {
        for _ in 0..3 {
            self.look();
            self.look();
            if self.is_choosing() {
                self.key(KeyCode::Enter);
            }
        }
    }

    fn is_choosing(&self) -> bool {
        self.model.layers.iter().any(|layer| matches!(layer, ampwalk_tui::layer::Layer::Compare(_)))
    }
}

/// What somebody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    /// The first of us pins head A.
    PinA,
    /// And head B.
    PinB,
    /// The second of us pins head B, if it may.
    SecondPinsB,
    /// The first of us looks at the file, as it does twice a second.
    FirstLooks,
    /// So does the second.
    SecondLooks,
    /// The first of us leaves.
    FirstLeaves,
    /// An editor that read the file at the beginning of this step writes head B otherwise.
    EditorWritesB,
    /// It adds a head.
    EditorAddsC,
}

const STEPS: [Step; 8] = [
    Step::PinA,
    Step::PinB,
    Step::SecondPinsB,
    Step::FirstLooks,
    Step::SecondLooks,
    Step::FirstLeaves,
    Step::EditorWritesB,
    Step::EditorAddsC,
];

/// What each of them wrote, by what must be found of it.
const PINNED_A: &str = "[head.A]\nwatts = 300\npinned = true";
const PINNED_B: &str = "pinned = true";
const WATTS_B: &str = "watts = 650";
const HEAD_C: &str = "[head.C]\nwatts = 40";

fn walk(steps: &[Step]) {
    let place = Place::of(PLAN);
    let mut first = Some(Desk::open(&place));
    let mut second = Desk::open(&place);
    let mut written: Vec<&str> = Vec::new();
    let mut pins_b = 0;
    for step in steps {
        match step {
            // Whoever is asked to choose cannot go on without.
            Step::PinA if !written.contains(&PINNED_A) => {
                if let Some(desk) = first.as_mut().filter(|desk| !desk.is_choosing()) {
                    desk.pin("A");
                    written.push(PINNED_A);
                }
            }
            Step::PinB => {
                if let Some(desk) = first.as_mut().filter(|desk| !desk.is_choosing()) {
                    desk.pin("B");
                    pins_b += 1;
                }
            }
            Step::SecondPinsB if !second.is_choosing() => {
                let before = second.model.document.text().to_owned();
                second.pin("B");
                let may = second.model.document.held_by().is_none();
                assert!(may || second.model.document.text() == before, "{steps:?}: it is held by the first");
                pins_b += usize::from(second.model.document.text() != before);
            }
            Step::FirstLooks => {
                if let Some(desk) = &mut first {
                    desk.look();
                }
            }
            Step::SecondLooks => second.look(),
            Step::FirstLeaves => {
                if let Some(desk) = first.take() {
                    // What is not in the plan is told and in the journal, for whoever comes next.
                    if let Some(unsaved) = desk.keeping.close().unsaved {
                        assert!(unsaved.journal.is_some_and(|journal| journal.exists()), "{steps:?}");
                    }
                }
            }
            Step::EditorWritesB if !written.contains(&WATTS_B) => {
                let text = place.text();
                let at = text.find("[head.B]").unwrap();
                let (above, below) = text.split_at(at);
                fs::write(&place.path, format!("{above}{}", below.replacen("watts = 300", WATTS_B, 1)))
                    .unwrap();
                written.push(WATTS_B);
            }
            Step::EditorAddsC if !written.contains(&HEAD_C) => {
                fs::write(&place.path, format!("{}\n{HEAD_C}\n", place.text())).unwrap();
                written.push(HEAD_C);
            }
            _ => {}
        }
    }
    // Everybody looks, chooses their own where they are asked, and leaves.
    for desk in first.iter_mut().chain([&mut second]) {
        desk.settle();
    }
    if let Some(desk) = first.take() {
        assert_eq!(desk.keeping.close().unsaved, None, "{steps:?}");
    }
    second.settle();
    assert_eq!(second.keeping.close().unsaved, None, "{steps:?}");
    let text = place.text();
    let pinned_b = text
        .split("[head.B]")
        .nth(1)
        .is_some_and(|below| below.split("\n[").next().is_some_and(|own| own.contains(PINNED_B)));
    assert_eq!(pinned_b, pins_b % 2 == 1, "{steps:?}: B pinned {pins_b} times\n{text}");
    for words in written {
        // A clash about B was decided for the screens' side by whoever sat there: that is no silence.
        let was_chosen = words == WATTS_B && pins_b > 0;
        assert!(was_chosen || text.contains(words), "{steps:?}: {words} is lost\n{text}");
    }
    assert_eq!(place.beside(), [""; 0], "{steps:?}");
}

#[test]
fn in_every_order_no_edit_is_lost_without_a_word() {
    for one in STEPS {
        for two in STEPS {
            for three in STEPS {
                walk(&[one, two, three]);
            }
        }
    }
}

#[test]
fn in_longer_orders_too() {
    // Every fifth and seventh of all orders of five.
    let count = STEPS.len().pow(5);
    let step = std::env::var("AMPWALK_ORDERS").ok().and_then(|every| every.parse().ok()).unwrap_or(101);
    for order in (0..count).step_by(step) {
        let mut left = order;
        let steps: Vec<Step> = (0..5)
            .map(|_| {
                let step = STEPS[left % STEPS.len()];
                left /= STEPS.len();
                step
            })
            .collect();
        walk(&steps);
    }
}
