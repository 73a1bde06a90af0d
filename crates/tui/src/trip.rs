//! After a trip: what is asked, and what the crew does about the answer line by line.

use ampwalk_core::assess::{Assessment, steps};
use ampwalk_core::diagnose::{
    Diagnosis, Inferred, Likely, Lost, Trip, diagnose, infer, likely, resets_in_log, went,
};
use ampwalk_core::network::{HeadAt, Network, SetupAt};
use ampwalk_core::plan::{ClockTime, Reset};
use ampwalk_core::unit::Minutes;

/// What is asked, in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// What went?
    What,
    /// Which heads are dark, where nobody knows what went.
    Dark,
    /// Which of several devices that would explain the dark heads.
    Which,
    /// What was struck last?
    Last,
    /// Since when was it on?
    Since,
}

/// Times since switch-on, in words, and what is reckoned with.
pub const SINCE: [(&str, Option<Minutes>); 9] = [
    ("at once, as it was struck", Some(Minutes(0.0))),
    ("within a minute", Some(Minutes(0.5))),
    ("about 5 minutes", Some(Minutes(5.0))),
    ("a quarter of an hour", Some(Minutes(15.0))),
    ("half an hour", Some(Minutes(30.0))),
    ("an hour", Some(Minutes(60.0))),
    ("two hours", Some(Minutes(120.0))),
    ("four hours and more", Some(Minutes(240.0))),
    ("nobody knows", None),
];

/// The question what went, as far as it is answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What is asked now.
    pub stage: Stage,
    /// The chosen answer, counted from 0.
    pub row: usize,
    /// The setup that was burning.
    pub setup: SetupAt,
    /// The head that was struck last, as far as the screens know.
    pub default: Option<HeadAt>,
    /// Heads that were ticked as struck; empty: nobody ticked any.
    pub struck: Vec<HeadAt>,
    /// What went.
    pub lost: Vec<Lost>,
    /// Heads that were named dark.
    pub dark: Vec<HeadAt>,
    /// The head that was struck last, as answered.
    pub last: Option<HeadAt>,
    /// Local date and time of the question, once the host has said it: `2026-03-02T14:05:00`.
    pub moment: Option<String>,
}

/// An answer that may be chosen.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// These went.
    Lost(Vec<Lost>),
    /// Nobody knows what went: name dark heads.
    NameDark,
    /// This head is dark, or is not after all.
    Dark(HeadAt),
    /// All dark ones are named.
    AllNamed,
    /// This head was struck last; `None`: nobody knows.
    Last(Option<HeadAt>),
    /// It went so long after.
    Since(Option<Minutes>),
}

impl Question {
    /// The question, just asked.
    #[must_use]
    pub fn new(setup: SetupAt, default: Option<HeadAt>, struck: Vec<HeadAt>) -> Self {
        Self {
            stage: Stage::What,
            row: 0,
            setup,
            default,
            struck,
            lost: Vec::new(),
            dark: Vec::new(),
            last: None,
            moment: None,
        }
    }

    /// What is asked, as a heading.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        match self.stage {
            Stage::What => "What went?",
            Stage::Dark => "Which heads are dark? Name two or more",
            Stage::Which => "Which of these is down?",
            Stage::Last => "What was struck last?",
            Stage::Since => "How long after switch-on?",
        }
    }

    /// The answers that there are, the likeliest first.
    #[must_use]
    pub fn answers(&self, network: &Network, assessment: &Assessment) -> Vec<Answer> {
        match self.stage {
            Stage::What => {
                let told = likely(network, assessment, self.setup, self.default);
                let (with, without): (Vec<Likely>, Vec<Likely>) =
                    told.into_iter().partition(|one| one.heads > 0);
                let lost = |one: Likely| Answer::Lost(one.lost);
                with.into_iter()
                    .map(lost)
                    .chain(std::iter::once(Answer::NameDark))
                    .chain(without.into_iter().map(lost))
                    .collect()
            }
            Stage::Dark => {
                let heads = assessment.setups[self.setup].strike_order.iter().copied().map(Answer::Dark);
                let enough = (self.dark.len() > 1).then_some(Answer::AllNamed);
                enough.into_iter().chain(heads).collect()
            }
            Stage::Which => {
                let lost = |found: Inferred| Answer::Lost(vec![found.lost]);
                infer(network, self.setup, &self.dark).into_iter().map(lost).collect()
            }
            Stage::Last => self.last_answers(network, assessment),
            Stage::Since => SINCE.iter().map(|(_, after)| Answer::Since(*after)).collect(),
        }
    }

    /// The heads that may have gone dark: the one that the screens know first, then backwards through
    /// those that were struck, then nobody.
    fn last_answers(&self, network: &Network, assessment: &Assessment) -> Vec<Answer> {
        let mut trip = self.trip(network);
        trip.last_struck = None;
        let told = diagnose(network, assessment, &trip);
        let burns_on = |head: &HeadAt| told.lit.contains(head);
        let order = &assessment.setups[self.setup].strike_order;
        let mut heads: Vec<HeadAt> =
            self.default.into_iter().filter(|head| order.contains(head) && !burns_on(head)).collect();
        let struck = self.struck.iter().rev().chain(order.iter());
        for head in struck.filter(|head| order.contains(head) && !burns_on(head)) {
            if !heads.contains(head) {
                heads.push(*head);
            }
        }
        heads.into_iter().map(Some).chain(std::iter::once(None)).map(Answer::Last).collect()
    }

    /// The trip, as far as it is told.
    #[must_use]
    pub fn trip(&self, network: &Network) -> Trip {
        let mut trip = Trip::of(network, self.setup, self.lost.clone());
        trip.dark.clone_from(&self.dark);
        trip.last_struck = self.last;
        trip.at = self.moment.as_deref().and_then(clock_of);
        if !self.struck.is_empty() {
            let on = network.setups[self.setup].on.iter().copied();
            trip.not_struck = on.filter(|head| !self.struck.contains(head)).collect();
            if let Some(last) = self.last {
                trip.not_struck.retain(|head| *head != last);
            }
        }
        trip
    }
}

/// The head whose step is likeliest to drop something, for a question that nobody prepared.
#[must_use]
pub fn likeliest_step(network: &Network, assessment: &Assessment, setup: SetupAt) -> Option<HeadAt> {
    let used = &assessment.setups[setup];
    steps(network, used)
        .into_iter()
        .map(|step| {
            let chance = |part: &ampwalk_core::assess::RcdStep| {
                ampwalk_core::physics::residual::odds(part.striking.possible, used.rcds[part.rcd].room.room)
            };
            (step.head, step.rcds.iter().map(chance).fold(0.0, f64::max))
        })
        .filter(|(_, odds)| *odds > 0.0)
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
        .map(|(head, _)| head)
}

/// The time of day in a date and time.
#[must_use]
pub fn clock_of(moment: &str) -> Option<ClockTime> {
    let (_, time) = moment.split_once('T')?;
    let mut parts = time.split(':');
    let hours: u32 = parts.next()?.parse().ok()?;
    let minutes: u32 = parts.next()?.parse().ok()?;
    (hours < 24 && minutes < 60).then_some(ClockTime { minutes: hours * 60 + minutes })
}

/// A trip that is being mended.
#[derive(Clone, Debug, PartialEq)]
pub struct Recovery {
    /// What the crew saw.
    pub trip: Trip,
    /// What that comes to.
    pub told: Diagnosis,
    /// Lines that were ticked and that the plan does not show.
    pub ticked: Vec<Line>,
    /// The chosen line, counted from 0.
    pub row: usize,
    /// Local date and time, where the host said it.
    pub moment: Option<String>,
    /// The place of its line in the plan's log.
    pub logged: Option<usize>,
}

/// A line of the three blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Unplug this head.
    Unplug(HeadAt),
    /// Light this head again.
    Now(HeadAt),
    /// This head comes back later.
    Later(HeadAt),
}

impl Line {
    /// The head that it is about.
    #[must_use]
    pub const fn head(self) -> HeadAt {
        match self {
            Self::Unplug(head) | Self::Now(head) | Self::Later(head) => head,
        }
    }
}

impl Recovery {
    /// What a trip comes to, before anybody did anything about it.
    #[must_use]
    pub fn new(network: &Network, assessment: &Assessment, trip: Trip, moment: Option<String>) -> Self {
        let told = diagnose(network, assessment, &trip);
        Self { trip, told, ticked: Vec::new(), row: 0, moment, logged: None }
    }

    /// The lines, in order.
    #[must_use]
    pub fn lines(&self) -> Vec<Line> {
        let unplug = self.told.unplug.iter().map(|off| Line::Unplug(off.head));
        let now = self.told.now.iter().map(|relight| Line::Now(relight.head));
        unplug.chain(now).chain(self.told.later.iter().map(|later| Line::Later(later.head))).collect()
    }

    /// Where a line moves its head to, where it does.
    #[must_use]
    pub fn move_of(&self, line: Line) -> Option<&ampwalk_core::diagnose::Relight> {
        let relight = match line {
            Line::Unplug(_) => None,
            Line::Now(head) => self.told.now.iter().find(|relight| relight.head == head),
            Line::Later(head) => self.told.later.iter().find(|later| later.head == head)?.to.as_ref(),
        };
        relight.filter(|relight| relight.is_move())
    }

    /// Whether a line is done: a move where the plan has it, any other where it was ticked.
    #[must_use]
    pub fn is_done(&self, network: &Network, line: Line) -> bool {
        match self.move_of(line) {
            Some(relight) => {
                let placed = network.setups[self.trip.setup].placed[relight.head].as_ref();
                placed.is_some_and(|placed| placed.socket == relight.to && placed.links == relight.links)
            }
            None => self.ticked.contains(&line),
        }
    }

    /// Goes on to what follows a reset.
    pub fn branch(&mut self, network: &Network, assessment: &Assessment, reset: Reset) {
        self.trip.reset = reset;
        self.trip.resets += 1;
        self.told = diagnose(network, assessment, &self.trip);
        self.ticked.clear();
        self.row = 0;
    }

    /// `14:05 RA went, C struck last`
    #[must_use]
    pub fn heading(&self, network: &Network) -> String {
        let at = self.trip.at.map_or_else(String::new, |at| format!("{at}  "));
        let last = self.trip.last_struck.map(|head| format!(", {} struck last", network.head_id(head)));
        format!("{at}{}{}", went(network, &self.trip.lost), last.unwrap_or_default())
    }

    /// Resets of the log and those since.
    #[must_use]
    pub fn resets(&self, network: &Network) -> u32 {
        self.trip.resets.max(resets_in_log(network, self.trip.setup, &self.trip.lost))
    }
}
