//! A floor to scale, as data: rooms, sockets, heads and the leads between them.

mod made;
mod scale;

pub(crate) use made::{of_setup, of_survey};

/// One floor. Lengths are in metres from the upper left corner of what is drawn; x grows to the right, y
/// downwards. The plan's y grows up the page and is turned over here, so that up is up as on the screens.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What the floor is called.
    pub title: String,
    /// Its width and depth, neither 0.
    pub size: (f64, f64),
    /// The rooms whose box is known.
    pub rooms: Vec<DrawnRoom>,
    /// The sockets and the heads whose place is known.
    pub marks: Vec<Mark>,
    /// Straight lines from sockets to heads; a lead is laid along walls and is longer.
    pub leads: Vec<DrawnLead>,
    /// A length for the bar that shows the scale, in metres, and what it is called, like `5 m`.
    pub scale: (f64, String),
    /// What each kind of mark on it means, in the region's words.
    pub legend: Vec<(MarkKind, String)>,
    /// What belongs to this floor and has no place on it: sockets by id, then heads, `head H3`, then leads
    /// from another floor, `lead to H3 from another floor`.
    pub not_drawn: Vec<String>,
}

/// A room.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnRoom {
    /// What it is called.
    pub name: String,
    /// Its upper left corner.
    pub corner: (f64, f64),
    /// Its width and depth.
    pub size: (f64, f64),
}

/// A socket or a head.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its id.
    pub name: String,
    /// Which of the two, and how it is.
    pub kind: MarkKind,
    /// Where it is.
    pub at: (f64, f64),
}

/// What a mark is; told by its shape, not by a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// A socket that something is plugged into.
    Used,
    /// A socket that is free, or that the sheet says nothing of: the legend tells which.
    Free,
    /// A socket that nobody plugs anything into, even where something is.
    Forbidden,
    /// A head.
    Head,
}

/// A lead, drawn straight.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnLead {
    /// The head at its end.
    pub head: String,
    /// From the socket …
    pub from: (f64, f64),
    /// … to the head.
    pub to: (f64, f64),
}
