//! The wall clock: the one place that asks what time it is.

use jiff::{Timestamp, ZonedDateTime};

use crate::trouble::CallTrouble;

/// Local date and time to the second, as a plan's log has it: `2026-03-02T14:05:00`.
pub fn moment() -> String {
    ZonedDateTime::now().strftime("%Y-%m-%dT%H:%M:%S").to_string()
}

/// Local date and time to the minute, for people: `2026-03-02 14:05`.
pub fn hour() -> String {
    ZonedDateTime::now().strftime("%Y-%m-%d %H:%M").to_string()
}

/// Date and hour for what is handed out: `2026-03-02 14:05`. Where `SOURCE_DATE_EPOCH` is set (the
/// reproducible-builds convention: seconds since 1970), that moment, in UTC.
///
/// # Errors
/// Where that variable is no number of seconds.
pub fn issue() -> Result<String, CallTrouble> {
    let Some(said) = std::env::var_os("SOURCE_DATE_EPOCH") else {
        return Ok(hour());
    };
    let seconds = said.to_str().and_then(|text| text.parse::<i64>().ok());
    let at = seconds.and_then(|seconds| Timestamp::from_second(seconds).ok());
    let at = at.ok_or_else(|| CallTrouble {
        message: "SOURCE_DATE_EPOCH is no number of seconds since 1970".to_owned(),
        remedy: "Set it to one, or take it away.".to_owned(),
    })?;
    Ok(at.strftime("%Y-%m-%d %H:%M UTC").to_string())
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
