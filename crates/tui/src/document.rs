//! The open plan: its text, what was read and reckoned from it, and the way back.

use std::sync::{Arc, OnceLock};

use ampwalk_core::assess::{Assessment, assess_again, assess_by, assess_parts_again};
use ampwalk_core::edit::{self, Address, Change, Edit, Reading, Refusal};
use ampwalk_core::file::{self, Gravity, NOT_TOML, Parsed, Problem, Sections, position};
use ampwalk_core::history::History;
use ampwalk_core::library::LengthWord;
use ampwalk_core::network::{Network, Resolved};
use ampwalk_core::trace::Report;

use crate::cores::Cores;
use crate::form::{Field, Said, fields, keys, said};

/// The open plan. Only the text is kept on disk; the rest is made from it after every edit.
#[derive(Clone, Debug)]
pub struct Document {
    text: String,
    sections: Sections,
    network: Network,
    assessment: Assessment,
    problems: Vec<Problem>,
    history: History,
    lengths: Option<LengthWord>,
    /// Who else has the plan open, in words: it may only be looked at.
    held_by: Option<String>,
    /// What the text says of each entry; read when somebody looks at one first that has no part for itself.
    said: OnceLock<Said>,
    /// What tracing tells; worked out when somebody asks first.
    report: OnceLock<Report>,
}

impl Document {
    /// Reads a text. Never fails: what cannot be read is in [`Document::problems`].
    #[must_use]
    pub fn open(text: String) -> Self {
        let (parsed, sections) = file::parse_in_sections(&text);
        let network = Network::of(Arc::new(parsed.plan));
        let assessment = assess_by(&network, &Cores);
        Self {
            text,
            sections,
            network,
            assessment,
            problems: parsed.problems,
            history: History::of_saved(),
            lengths: None,
            held_by: None,
            said: OnceLock::new(),
            report: OnceLock::new(),
        }
    }

    /// The file as it is now.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The plan, resolved.
    #[must_use]
    pub const fn network(&self) -> &Network {
        &self.network
    }

    /// The plan, assessed.
    #[must_use]
    pub const fn assessment(&self) -> &Assessment {
        &self.assessment
    }

    /// What tracing tells, where somebody asked already.
    #[must_use]
    pub const fn report_once(&self) -> &OnceLock<Report> {
        &self.report
    }

    /// The unit that lengths are told in.
    #[must_use]
    pub const fn lengths(&self) -> LengthWord {
        self.network.lengths
    }

    /// Tells lengths in this unit from now on; `None`: as the plan's region measures.
    pub fn tell_lengths_in(&mut self, lengths: Option<LengthWord>) {
        self.lengths = lengths;
        self.network.lengths = lengths.unwrap_or(self.network.region.words.length);
    }

    /// What the text says of each entry.
    fn said(&self) -> &Said {
        self.said.get_or_init(|| said(&self.text, &self.network.plan))
    }

    /// What is wrong with the file, in the order of the text.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// A problem in one line: line and column, what is wrong, what to do.
    #[must_use]
    pub fn problem_words(&self, problem: &Problem) -> String {
        let (line, column) = position(&self.text, problem.span.start);
        format!("line {line}, column {column}: {}. {}", problem.message, problem.remedy)
    }

    /// Every key that an entry has or may have; none where it is not in the plan, or the file is no TOML.
    #[must_use]
    pub fn fields(&self, of: &Address) -> Vec<Field> {
        let is_toml = self.problems.iter().all(|problem| !NOT_TOML.contains(&problem.code));
        match Reading::of_entry(&self.text, &self.sections, of).filter(|_| is_toml) {
            Some(reading) => fields(&keys(&reading, of), of),
            None => self.said().get(of).map_or_else(Vec::new, |said| fields(said, of)),
        }
    }

    /// Who else has the plan open, in words.
    #[must_use]
    pub fn held_by(&self) -> Option<&str> {
        self.held_by.as_deref()
    }

    /// Says who else has the plan open, or that nobody has.
    pub fn hold(&mut self, held_by: Option<String>) {
        self.held_by = held_by;
    }

    /// Why the file may only be looked at, with the place; `None` where it may be edited.
    #[must_use]
    pub fn read_only(&self) -> Option<String> {
        if let Some(who) = &self.held_by {
            return Some(format!("it is open elsewhere ({who})"));
        }
        let problem = self
            .problems
            .iter()
            .find(|problem| problem.gravity == Gravity::LaterVersion || NOT_TOML.contains(&problem.code))?;
        Some(self.problem_words(problem))
    }

    /// Whether there is a step to take back.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        self.history.next_undo().is_some()
    }

    /// Whether there is a step to make again.
    #[must_use]
    pub fn can_redo(&self) -> bool {
        self.history.next_redo().is_some()
    }

    /// Changes the plan by one edit that can be taken back.
    ///
    /// # Errors
    /// In words, with the place, where the file is read-only or the edit does not go; nothing is
    /// changed then.
    pub fn edit(&mut self, edit: &Edit) -> Result<(), String> {
        if let Some(why) = self.read_only() {
            return Err(format!("Only to be looked at: {why}"));
        }
        if let Some(change) = edit::apply_within(&self.text, edit, &self.sections)
            && self.read_within(change.apply(&self.text), &change).is_ok()
        {
            self.history.record(change);
            return Ok(());
        }
        let (change, text) =
            edit::make_unread(&self.text, edit).map_err(|refusal| self.refusal_words(&refusal))?;
        // What is there already, as a head that is dropped where it was taken from.
        if change.is_empty() {
            return Ok(());
        }
        if let Err(text) = self.read_within(text, &change) {
            let (parsed, sections) = file::parse_in_sections(&text);
            if parsed.problems.iter().any(|problem| NOT_TOML.contains(&problem.code)) {
                return Err(self.refusal_words(&edit::not_from_here()));
            }
            self.take(text, parsed, sections);
        }
        self.history.record(change);
        Ok(())
    }

    /// Takes the last step back; says what it was.
    pub fn undo(&mut self) -> Option<String> {
        self.step(History::undo)
    }

    /// Makes the step again that was taken back last; says what it was.
    pub fn redo(&mut self) -> Option<String> {
        self.step(History::redo)
    }

    fn step(&mut self, way: fn(&mut History, &mut String) -> Option<Change>) -> Option<String> {
        let mut text = self.text.clone();
        let change = way(&mut self.history, &mut text)?;
        if let Err(text) = self.read_within(text, &change) {
            self.read(text);
        }
        Some(change.label)
    }

    /// Takes another text in the place of this one, as a step that can be taken back; `false` where it is the
    /// same.
    pub fn replace(&mut self, text: String, label: &str) -> bool {
        let change = Change::between(&self.text, &text, label);
        if change.is_empty() {
            return false;
        }
        self.read(text);
        self.history.record(change);
        true
    }

    /// Takes what somebody else made of the plan: there is nothing of ours to take back.
    pub fn follow(&mut self, text: String) {
        self.read(text);
        self.history = History::of_saved();
    }

    /// Remembers that the disk has the text as it is now.
    pub fn saved(&mut self) {
        self.history.saved();
    }

    /// Whether the disk has the text as it is now, also after undo and redo have led back there.
    #[must_use]
    pub fn is_saved(&self) -> bool {
        self.history.is_saved()
    }

    /// Takes the text after a change, reading again no more than the entries that it lies within. The text
    /// comes back where it lies elsewhere, and nothing is done.
    fn read_within(&mut self, text: String, change: &Change) -> Result<(), String> {
        let plan = &self.network.plan;
        let Some(entries) = self.sections.again(&text, change, plan, &mut self.problems) else {
            return Err(text);
        };
        self.text = text;
        match self.network.put(entries) {
            Resolved::Anew => self.assessment = assess_by(&self.network, &Cores),
            Resolved::Parts(changed) => {
                assess_parts_again(&self.network, &mut self.assessment, &changed, &Cores);
            }
            Resolved::Plugs => assess_again(&self.network, &mut self.assessment, &Cores),
            Resolved::AsBefore => {}
        }
        self.said = OnceLock::new();
        self.report = OnceLock::new();
        Ok(())
    }

    fn read(&mut self, text: String) {
        let (parsed, sections) = file::parse_in_sections(&text);
        self.take(text, parsed, sections);
    }

    fn take(&mut self, text: String, parsed: Parsed, sections: Sections) {
        self.text = text;
        self.sections = sections;
        self.problems = parsed.problems;
        self.network = Network::of(Arc::new(parsed.plan));
        self.assessment = assess_by(&self.network, &Cores);
        self.tell_lengths_in(self.lengths);
        self.said = OnceLock::new();
        self.report = OnceLock::new();
    }

    fn refusal_words(&self, refusal: &Refusal) -> String {
        let place = refusal.span.as_ref().map_or_else(String::new, |span| {
            let (line, column) = position(&self.text, span.start);
            format!("line {line}, column {column}: ")
        });
        format!("{place}{}. {}", refusal.message, refusal.remedy)
    }
}
