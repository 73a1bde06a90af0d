//! A floor to scale, as data: rooms, sockets, heads and the leads between them.

/// One floor. Lengths are in metres from the corner with the least x and y; x grows to the right, y
/// downwards, as on the screens.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// What the floor is called.
    pub title: String,
    /// Its width and depth.
    pub size: (f64, f64),
    /// The rooms whose box is known.
    pub rooms: Vec<DrawnRoom>,
    /// The sockets and the heads whose place is known.
    pub marks: Vec<Mark>,
    /// Straight lines from sockets to heads; a lead is laid along walls and is longer.
    pub leads: Vec<DrawnLead>,
    /// A length for the bar that shows the scale, in metres, and what it is called, like `5 m`.
    pub scale: (f64, String),
    /// Sockets on this floor whose place is not known, by id.
    pub not_drawn: Vec<String>,
}

/// A room.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnRoom {
    /// What it is called.
    pub name: String,
    /// Its corner with the least x and y.
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
    /// A socket that is free.
    Free,
    /// A socket that nobody plugs anything into.
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
