//! Values with where they came from.

/// Where a value came from, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// Measured on location.
    Measured,
    /// The plan says it: nameplate, or what the crew knows.
    Plan,
    /// The class of head in the library.
    Class,
    /// What is usual in the region.
    Region,
    /// The band that a standard gives.
    Standard,
    /// The plan file's default.
    Default,
}

impl Origin {
    /// Whether a number that rests on it must say "assumed".
    #[must_use]
    pub const fn is_assumed(self) -> bool {
        !matches!(self, Self::Measured | Self::Plan)
    }

    /// In a word or two, for a reader.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Plan => "from the plan",
            Self::Class => "class, assumed",
            Self::Region => "usual here, assumed",
            Self::Standard => "standard's band, assumed",
            Self::Default => "default, assumed",
        }
    }
}

/// A value, and where it came from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Where it came from.
    pub origin: Origin,
}

impl<T> Known<T> {
    /// The plan's value where it says one, else the other with its origin.
    pub fn or(plan: Option<T>, origin: Origin, otherwise: T) -> Self {
        match plan {
            Some(value) => Self { value, origin: Origin::Plan },
            None => Self { value: otherwise, origin },
        }
    }
}
