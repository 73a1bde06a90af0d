//! Short words for numbers and findings, in the region's own terms.

use ampwalk_core::assess::{Assessment, Finding, Outlook, Subject, Verdict};
use ampwalk_core::library::LengthWord;
use ampwalk_core::network::{Network, SetupAt};
use ampwalk_core::rule::Severity;
use ampwalk_core::rule::words::{number, pair};
use ampwalk_core::unit::{Amps, Metres, MilliAmps};

use crate::plot::not_placed;
use crate::text::count;
use crate::theme::Role;

/// Feet in a metre (ISO 80000-3: a foot is 0.3048 m).
const FEET: f64 = 1.0 / 0.3048;

/// Amps with their unit.
#[must_use]
pub fn amps(amps: Amps) -> String {
    format!("{} A", number(amps.0))
}

/// Milliamps with their unit.
#[must_use]
pub fn milliamps(milliamps: MilliAmps) -> String {
    format!("{} mA", number(milliamps.0))
}

/// A length in the unit that this crew measures in.
#[must_use]
pub fn length(network: &Network, metres: Metres) -> String {
    match network.lengths {
        LengthWord::Metres => format!("{} m", number(metres.0)),
        LengthWord::Feet => feet(metres.0),
    }
}

/// Feet, whole ones where a tenth is less than a foot's width on a tape: from 10 ft on.
fn feet(metres: f64) -> String {
    let feet = metres * FEET;
    if feet.abs() < 9.95 {
        format!("{} ft", number((feet * 10.0).round() / 10.0))
    } else {
        format!("{feet:.0} ft")
    }
}

/// A sentence of the plan's numbers, its lengths in the unit that this crew measures in.
///
/// The core speaks metres, as the plan file does: what stands as a number, a blank and a lone `m` is
/// one of them.
#[must_use]
pub fn told(network: &Network, sentence: &str) -> String {
    if network.lengths == LengthWord::Metres {
        return sentence.to_owned();
    }
    let mut told = String::new();
    let mut rest = sentence;
    while let Some(at) = rest.find(" m") {
        let (before, after) = (&rest[..at], &rest[at + 2..]);
        let start = before
            .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
            .map_or(0, |at| at + before[at..].chars().next().map_or(0, char::len_utf8));
        let is_unit = !after.starts_with(|c: char| c.is_alphanumeric() || c == '/');
        match before[start..].parse::<f64>() {
            Ok(metres) if is_unit => {
                told.push_str(&before[..start]);
                told.push_str(&feet(metres));
            }
            _ => told.push_str(&rest[..at + 2]),
        }
        rest = after;
    }
    told + rest
}

/// A verdict's word, as it stands on the screens.
#[must_use]
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Clear => "CLEAR",
        Verdict::Note => "NOTE",
        Verdict::Risk => "RISK",
        Verdict::Dark => "DARK",
        Verdict::Danger => "DANGER",
    }
}

/// The role of a verdict.
#[must_use]
pub const fn verdict_role(verdict: Verdict) -> Role {
    match verdict {
        Verdict::Clear => Role::Good,
        Verdict::Note => Role::Note,
        Verdict::Risk => Role::Risk,
        Verdict::Dark => Role::Dark,
        Verdict::Danger => Role::Danger,
    }
}

/// The role of a severity.
#[must_use]
pub fn severity_role(severity: Severity) -> Role {
    verdict_role(severity.into())
}

/// The role of an outlook.
#[must_use]
pub const fn outlook_role(outlook: Outlook) -> Role {
    match outlook {
        Outlook::Fits => Role::Good,
        Outlook::Risk => Role::Risk,
        Outlook::Dark => Role::Dark,
        Outlook::Never => Role::Danger,
    }
}

/// A subject in two or three words: `RCD RA`, `circuit P1`.
#[must_use]
pub fn subject(network: &Network, subject: Subject) -> String {
    let words = &network.region.words;
    let noun = match subject {
        Subject::Location => return "location".to_owned(),
        Subject::Supply(_) => "supply",
        Subject::Rcd(_) => words.rcd.as_str(),
        Subject::Circuit(_) => "circuit",
        Subject::Socket(_) => words.socket.as_str(),
        Subject::Head(_) => "head",
        Subject::Cable(_) => words.lead.as_str(),
        Subject::Block(_) => "splitter",
    };
    format!("{noun} {}", subject.id(network))
}

/// What binds, in one breath: `RCD RA 13.5 of 10 mA`, or without a number `power point U3: socket unsafe`.
#[must_use]
pub fn finding(network: &Network, finding: &Finding) -> String {
    let what = subject(network, finding.subject);
    match &finding.crossing {
        Some(crossing) => {
            let (value, limit) = pair(crossing.value, crossing.limit);
            format!("{what} {value} of {limit} {}", crossing.unit)
        }
        None => format!("{what}: {}", finding.rule.id.replace('-', " ")),
    }
}

/// The verdict of a setup and what binds it.
#[must_use]
pub fn binding(network: &Network, assessment: &Assessment, setup: SetupAt) -> String {
    let Some(worst) = assessment.binding_in(setup) else {
        return "nothing found".to_owned();
    };
    if worst.rule.id == "head-unplaced" {
        return format!("{} not placed", count(not_placed(network, setup).count(), "head"));
    }
    finding(network, worst)
}

/// The verdict's word and what binds it, on one line.
#[must_use]
pub fn verdict_line(network: &Network, assessment: &Assessment, setup: Option<SetupAt>) -> String {
    match setup {
        Some(setup) => {
            let word = verdict(assessment.verdict_in(setup));
            format!("{word}, {}", binding(network, assessment, setup))
        }
        None => "no setup yet".to_owned(),
    }
}

/// What the crew calls a setup.
#[must_use]
pub fn setup_name(network: &Network, setup: SetupAt) -> String {
    use ampwalk_core::network::At;
    let named = network.plan.setups.get_index(setup.get());
    named.map_or_else(String::new, |(id, setup)| setup.name.clone().unwrap_or_else(|| id.to_string()))
}

/// What the crew calls a head, without its id: its name, or its class.
#[must_use]
pub fn head_name(network: &Network, head: ampwalk_core::network::HeadAt) -> String {
    use ampwalk_core::network::At;
    let Some((_, head)) = network.plan.heads.get_index(head.get()) else { return String::new() };
    head.name
        .clone()
        .or_else(|| head.class.as_ref().map(ToString::to_string))
        .unwrap_or_else(|| "no class".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture;

    #[test]
    fn lengths_follow_the_region_or_what_the_user_wants() {
        let mut network = fixture::network(fixture::HOUSE);
        assert_eq!(length(&network, Metres(14.0)), "14 m");
        let sentence =
            "C has 10 m of lead to G1, it takes 14 m: 6.5 mA, 5 min, 0.02 mV/A m/s, 4 more, → 2.5 m";
        assert_eq!(told(&network, sentence), sentence);
        network.lengths = LengthWord::Feet;
        // 14 m are 45.9 ft, 10 m 32.8 ft, 2.5 m 8.2 ft (ISO 80000-3: a foot is 0.3048 m).
        assert_eq!(length(&network, Metres(14.0)), "46 ft");
        assert_eq!(
            told(&network, sentence),
            "C has 33 ft of lead to G1, it takes 46 ft: 6.5 mA, 5 min, 0.02 mV/A m/s, 4 more, → 8.2 ft"
        );
        assert_eq!(told(&network, " m mé"), " m mé");
    }
}
