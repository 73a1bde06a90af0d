//! Values that are times.

use super::list::exactly;
use super::{Checked, Place, Reading, wrong_type};
use crate::file::problem::{quoted, told};
use crate::file::tree::{Item, Value};
use crate::plan::{ClockTime, Hours};

pub(super) fn clock(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<ClockTime> {
    let Value::Text(given) = &item.value else {
        return wrong_type(reading, at, item);
    };
    let read = clock_time(given);
    if read.is_none() {
        reading.problems.error("bad-time", item.place.clone(), || {
            told(
                format!("{} is {}, which is no time of day", at.role(), quoted(given)),
                "Write hours and minutes with two digits each, \"00:00\" to \"23:59\"; midnight is \"00:00\".",
            )
        });
    }
    read
}

fn clock_time(text: &str) -> Option<ClockTime> {
    let (hours, minutes) = text.split_once(':')?;
    let two_digits = |text: &str| {
        (text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit()))
            .then(|| text.parse::<u32>().ok())
            .flatten()
    };
    let (hours, minutes) = (two_digits(hours)?, two_digits(minutes)?);
    (hours < 24 && minutes < 60).then_some(ClockTime { minutes: hours * 60 + minutes })
}

pub(super) fn hours(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<Checked> {
    let [from, until] = exactly::<2>(reading, at, item)?;
    let from = clock(reading, at, from);
    let until = clock(reading, at, until);
    Some(Checked::Hours(Hours { from: from?, until: until? }))
}

pub(super) fn moment(reading: &mut Reading<'_>, at: &Place<'_>, item: &Item<'_>) -> Option<String> {
    let (Value::Text(given) | Value::Moment(given)) = &item.value else {
        return wrong_type(reading, at, item);
    };
    let read: Option<toml::value::Datetime> = given.parse().ok();
    if read.is_some_and(|read| read.date.is_some() && read.time.is_some()) {
        return Some(given.clone().into_owned());
    }
    reading.problems.error("bad-time", item.place.clone(), || {
        told(
            format!("{} is {}, which is no date and time", at.role(), quoted(given)),
            "Write year, month, day, hour, minute and second, like \"2026-03-02T14:05:00\".",
        )
    });
    None
}
