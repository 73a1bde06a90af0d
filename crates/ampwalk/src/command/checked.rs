//! A plan that was read and assessed, and what of it is asked for.

use std::path::Path;
use std::sync::Arc;

use ampwalk_core::assess::{Assessment, Finding, Verdict, assess};
use ampwalk_core::file::nearest;
use ampwalk_core::network::{Network, SetupAt};

use crate::input::{self, is_standard_input};
use crate::output::Answer;
use crate::trouble::{CallTrouble, Trouble, shown};

/// A plan, assessed, and what of it is asked for.
pub struct Checked {
    /// The plan, resolved.
    pub network: Network,
    /// What it comes to.
    pub assessment: Assessment,
    /// Only this setup; `None`: all of them.
    pub only: Option<SetupAt>,
    /// What is worth knowing of the file, for standard error.
    pub notes: String,
}

impl Checked {
    /// The setups that are asked for, in the order of the file.
    pub fn setups(&self) -> impl Iterator<Item = SetupAt> {
        self.network.setups.indices().filter(|setup| self.only.is_none_or(|only| only == *setup))
    }

    /// The findings that are asked for, worst first. Those of the whole location are always in.
    pub fn findings(&self) -> impl Iterator<Item = &Finding> {
        let only = self.only;
        self.assessment
            .findings
            .iter()
            .filter(move |finding| only.is_none() || finding.setup.is_none() || finding.setup == only)
    }

    /// The worst of the findings that are asked for.
    pub fn verdict(&self) -> Verdict {
        Verdict::of(self.findings())
    }

    /// An answer with the verdict of what is asked for.
    pub fn answer(self, text: String) -> Answer {
        Answer { verdict: self.verdict(), text, notes: self.notes }
    }
}

/// Reads and assesses a plan.
pub fn checked(path: &Path, setup: Option<&str>) -> Result<Checked, Trouble> {
    let good = input::good_plan(path)?;
    let network = Network::of(Arc::new(good.parsed.plan));
    let only = setup.map(|id| find_setup(&network, id, path)).transpose()?;
    let assessment = assess(&network);
    Ok(Checked { network, assessment, only, notes: good.notes })
}

pub fn find_setup(network: &Network, id: &str, path: &Path) -> Result<SetupAt, CallTrouble> {
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
pub mod tests {
    use super::*;
    use ampwalk_core::file::parse;

    /// What is checked of a plan's text.
    pub fn of(text: &str, setup: Option<&str>) -> Checked {
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
