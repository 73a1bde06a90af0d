//! Values as they are written into a plan.

use std::fmt::Write as _;

use crate::file::tree::{Item, Tree, Value as Read};

/// A value of a key.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A list.
    List(Vec<Value>),
    /// A table, in order.
    Table(Vec<(String, Value)>),
}

impl Value {
    /// A text.
    #[must_use]
    pub fn text(text: &str) -> Self {
        Self::Text(text.to_owned())
    }

    /// A list of texts.
    pub fn texts<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        Self::List(texts.into_iter().map(Self::text).collect())
    }

    /// As TOML, in one line.
    pub(crate) fn written(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Whole(value) => value.to_string(),
            Self::Number(value) if value.is_nan() => "nan".to_owned(),
            Self::Number(value) if value.is_infinite() => {
                (if *value > 0.0 { "inf" } else { "-inf" }).to_owned()
            }
            Self::Number(value) => {
                // Beyond 64 bits a number without a point would be taken for a whole one.
                let whole = value.abs() >= 1e15;
                if whole { format!("{value:?}") } else { value.to_string() }
            }
            Self::Flag(flag) => flag.to_string(),
            Self::List(values) => {
                let written: Vec<String> = values.iter().map(Self::written).collect();
                format!("[{}]", written.join(", "))
            }
            Self::Table(pairs) if pairs.is_empty() => "{}".to_owned(),
            Self::Table(pairs) => {
                let written: Vec<String> = pairs
                    .iter()
                    .map(|(key, value)| format!("{} = {}", bare_or_quoted(key), value.written()))
                    .collect();
                format!("{{ {} }}", written.join(", "))
            }
        }
    }

    /// Whether what stands in a text is the same already, however it is spelled.
    pub(super) fn is(&self, item: &Item<'_>, tree: &Tree<'_>) -> bool {
        match (self, &item.value) {
            (Self::Text(new), Read::Text(old)) => new == old,
            (Self::Flag(new), Read::Flag(old)) => new == old,
            (Self::Whole(new), Read::Whole(Some(old))) => new == old,
            (Self::Number(new), Read::Number(old)) => new.to_bits() == old.to_bits(),
            #[expect(clippy::cast_precision_loss, reason = "numbers that are written are small")]
            (Self::Number(new), Read::Whole(Some(old))) => new.to_bits() == (*old as f64).to_bits(),
            (Self::List(new), Read::List(old)) => {
                new.len() == old.len() && new.iter().zip(old).all(|(new, old)| new.is(old, tree))
            }
            (Self::Table(new), Read::Table(index)) => {
                let old = &tree.table(*index).entries;
                new.len() == old.len()
                    && new.iter().all(|(key, value)| {
                        old.get(key.as_str()).is_some_and(|old| value.is(&old.item, tree))
                    })
            }
            _ => false,
        }
    }
}

/// A text as a basic TOML string.
pub(super) fn quoted(text: &str) -> String {
    let mut written = String::with_capacity(text.len() + 2);
    written.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                written.push('\\');
                written.push(c);
            }
            c if c.is_control() => {
                // Writing to a string cannot fail.
                let _ = write!(written, "\\u{:04X}", u32::from(c));
            }
            c => written.push(c),
        }
    }
    written.push('"');
    written
}

/// A key as TOML.
pub(super) fn bare_or_quoted(key: &str) -> String {
    let is_bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if is_bare { key.to_owned() } else { quoted(key) }
}
