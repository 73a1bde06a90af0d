//! Roles, and the style that each theme gives them. Words carry state; a theme only repeats it.

use ratatui::style::{Color, Modifier, Style};

/// What a piece of text is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Ordinary text.
    Text,
    /// Text that matters less.
    Quiet,
    /// A heading.
    Heading,
    /// Lines and frames.
    Frame,
    /// What the cursor is on.
    Cursor,
    /// A head or socket that is in hand or chosen.
    Chosen,
    /// A key to press.
    Key,
    /// Fits, holds, clear.
    Good,
    /// A note.
    Note,
    /// A risk.
    Risk,
    /// Dark.
    Dark,
    /// Danger.
    Danger,
    /// The used part of a bar.
    BarUsed,
    /// The free part of a bar.
    BarFree,
}

impl Role {
    /// Every one.
    pub const ALL: [Self; 14] = [
        Self::Text,
        Self::Quiet,
        Self::Heading,
        Self::Frame,
        Self::Cursor,
        Self::Chosen,
        Self::Key,
        Self::Good,
        Self::Note,
        Self::Risk,
        Self::Dark,
        Self::Danger,
        Self::BarUsed,
        Self::BarFree,
    ];
}

/// The themes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// For dark terminals.
    #[default]
    Dark,
    /// For light terminals.
    Light,
    /// The terminal's own sixteen colours.
    Sixteen,
    /// No colour at all: bold, underlined and reversed only.
    Monochrome,
}

impl Theme {
    /// The style of a role.
    #[must_use]
    pub fn style(self, role: Role) -> Style {
        let plain = Style::new();
        let signed = match role {
            Role::Heading | Role::Key => plain.add_modifier(Modifier::BOLD),
            Role::Cursor => plain.add_modifier(Modifier::REVERSED),
            Role::Danger => plain.add_modifier(Modifier::BOLD | Modifier::REVERSED),
            Role::Dark => plain.add_modifier(Modifier::BOLD | Modifier::UNDERLINED),
            Role::Risk => plain.add_modifier(Modifier::UNDERLINED),
            _ => plain,
        };
        match self {
            Self::Monochrome => signed,
            Self::Sixteen => sixteen(role, signed),
            Self::Dark => coloured(role, signed, DARK),
            Self::Light => coloured(role, signed, LIGHT),
        }
    }
}

/// The terminal's sixteen colours: what they look like, and on what, is the terminal's business, and no
/// one of them can be read on black and on white. So only what is urgent has a colour, and always both
/// of a pair; the rest is in the terminal's own.
fn sixteen(role: Role, style: Style) -> Style {
    let painted = |ground: Color| style.fg(Color::Black).bg(ground);
    match role {
        Role::Chosen => painted(Color::LightCyan),
        Role::Risk => painted(Color::LightYellow),
        Role::Dark => painted(Color::LightMagenta),
        // Drawn reversed: white on red.
        Role::Danger => style.fg(Color::Red).bg(Color::White),
        _ => style,
    }
}

/// Colours of a theme, by state, each to be read on the terminal's own background.
struct Palette {
    quiet: Color,
    frame: Color,
    chosen: Color,
    good: Color,
    note: Color,
    risk: Color,
    dark: Color,
    danger: Color,
}

const DARK: &Palette = &Palette {
    quiet: Color::Rgb(150, 150, 150),
    frame: Color::Rgb(136, 136, 136),
    chosen: Color::Rgb(120, 200, 230),
    good: Color::Rgb(130, 200, 130),
    note: Color::Rgb(140, 170, 230),
    risk: Color::Rgb(230, 190, 90),
    dark: Color::Rgb(240, 140, 90),
    danger: Color::Rgb(245, 110, 110),
};

const LIGHT: &Palette = &Palette {
    quiet: Color::Rgb(95, 95, 95),
    frame: Color::Rgb(105, 105, 105),
    chosen: Color::Rgb(0, 95, 135),
    good: Color::Rgb(0, 105, 30),
    note: Color::Rgb(30, 70, 160),
    risk: Color::Rgb(135, 85, 0),
    dark: Color::Rgb(165, 60, 0),
    danger: Color::Rgb(175, 0, 20),
};

fn coloured(role: Role, style: Style, palette: &Palette) -> Style {
    match role {
        Role::Text | Role::Heading | Role::Cursor => style,
        Role::Quiet | Role::BarFree => style.fg(palette.quiet),
        Role::Frame => style.fg(palette.frame),
        Role::Chosen | Role::Key => style.fg(palette.chosen),
        Role::Good | Role::BarUsed => style.fg(palette.good),
        Role::Note => style.fg(palette.note),
        Role::Risk => style.fg(palette.risk),
        Role::Dark => style.fg(palette.dark),
        Role::Danger => style.fg(palette.danger),
    }
}

#[cfg(test)]
mod tests;
