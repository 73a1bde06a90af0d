//! `ampwalk check`: what is wrong, worst first, and the numbers behind it.

mod json;
mod people;

use std::path::Path;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, Verdict, assess};
use ampwalk_core::file::nearest;
use ampwalk_core::network::{Network, SetupAt};

use crate::input::{self, is_standard_input};
use crate::output::{Answer, columns};
use crate::trouble::{CallTrouble, Trouble, shown};

/// A plan, assessed, and what of it is asked for.
struct Checked {
    network: Network,
    assessment: Assessment,
    /// Only this setup; `None`: all of them.
    only: Option<SetupAt>,
    notes: String,
}

impl Checked {
    /// The setups that are asked for, in the order of the file.
    fn setups(&self) -> impl Iterator<Item = SetupAt> {
        self.network.setups.indices().filter(|setup| self.only.is_none_or(|only| only == *setup))
    }

    /// The findings that are asked for, worst first. Those of the whole location are always in.
    fn findings(&self) -> impl Iterator<Item = &Finding> {
        let only = self.only;
        self.assessment
            .findings
            .iter()
            .filter(move |finding| only.is_none() || finding.setup.is_none() || finding.setup == only)
    }

    fn verdict(&self) -> Verdict {
        Verdict::of(self.findings())
    }

    fn answer(self, text: String) -> Answer {
        Answer { verdict: self.verdict(), text, notes: self.notes }
    }
}

/// The answer that other programs read.
pub fn for_programs(plan: &Path, setup: Option<&str>) -> Result<Answer, Trouble> {
    let checked = checked(plan, setup)?;
    let mut text = serde_json::to_string_pretty(&json::report(&checked)).map_err(|error| {
        Trouble::call(format!("the answer cannot be written as JSON: {error}"), "This is a fault of ours.")
    })?;
    text.push('\n');
    Ok(checked.answer(text))
}

/// The answer that people read.
pub fn for_people(plan: &Path, setup: Option<&str>) -> Result<Answer, Trouble> {
    let checked = checked(plan, setup)?;
    let text = people::report(&checked, columns());
    Ok(checked.answer(text))
}

fn checked(path: &Path, setup: Option<&str>) -> Result<Checked, Trouble> {
    let good = input::good_plan(path)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let only = setup.map(|id| find_setup(&network, id, path)).transpose()?;
    let assessment = assess(&network);
    Ok(Checked { network, assessment, only, notes: good.notes })
}

fn find_setup(network: &Network, id: &str, path: &Path) -> Result<SetupAt, CallTrouble> {
    if let Some(setup) = network.setup(id) {
        return Ok(setup);
    }
    let known: Vec<&str> = network.setups.iter().map(|(_, setup)| setup.id.as_str()).collect();
    let name = if is_standard_input(path) { "the plan".to_owned() } else { shown(path) };
    let given = shown(Path::new(id));
    let remedy = match (nearest(id, known.iter().copied()), known.as_slice()) {
        (_, []) => "It has none yet. Add one: [setup.day] with `minutes` and `on`.".to_owned(),
        (Some(near), _) => format!("Did you mean `{near}`? It has: {}", known.join(", ")),
        (None, _) => format!("It has: {}", known.join(", ")),
    };
    Err(CallTrouble { message: format!("there is no setup `{given}` in {name}"), remedy })
}

#[cfg(test)]
mod tests {
    use super::*;
    use ampwalk_core::file::parse;

    /// What is checked of a plan's text.
    pub(super) fn of(text: &str, setup: Option<&str>) -> Checked {
        let parsed = parse(text);
        assert_eq!(parsed.worst(), None, "{:?}", parsed.problems);
        let network = Network::of(Arc::new(parsed.plan));
        let only = setup.map(|id| find_setup(&network, id, Path::new("p.toml")).unwrap());
        let assessment = assess(&network);
        Checked { network, assessment, only, notes: String::new() }
    }

    #[test]
    fn an_unknown_setup_is_told_with_the_nearest_one_and_the_others() {
        let text = "ampwalk = 1\n[location]\nregion = \"au\"\n[setup.day]\nminutes = 5\non = []\n[setup.night]\nminutes = 5\non = []\n";
        let network = of(text, None).network;
        let trouble = find_setup(&network, "dya", Path::new("p.toml")).unwrap_err();
        assert_eq!(trouble.message, "there is no setup `dya` in p.toml");
        assert_eq!(trouble.remedy, "Did you mean `day`? It has: day, night");
    }
}
