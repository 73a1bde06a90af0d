//! The wall clock: the one place that asks what time it is.

use jiff::ZonedDateTime;

/// Local date and time to the second, as a plan's log has it: `2026-03-02T14:05:00`.
pub fn moment() -> String {
    ZonedDateTime::now().strftime("%Y-%m-%dT%H:%M:%S").to_string()
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_moment_is_one_that_a_plan_takes() {
        let text =
            format!("ampwalk = 1\n[location]\nregion = \"au\"\n[[trip]]\nat = \"{}\"\n", super::moment());
        assert_eq!(ampwalk_core::file::parse(&text).problems, []);
    }
}
