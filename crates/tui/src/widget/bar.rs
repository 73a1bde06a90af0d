//! Bars: how much of a limit is used, for certain and perhaps.

use ratatui::text::Span;

use crate::theme::{Role, Theme};

/// Used for certain.
const USED: &str = "▮";
/// Used perhaps.
const PERHAPS: &str = "▪";
/// Free.
const FREE: &str = "▯";

/// What a bar shows, all in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// Used for certain.
    pub used: f64,
    /// Used at most; no less than `used` counts.
    pub possible: f64,
    /// The limit: the whole bar. Nothing to measure against where it is 0 or no number.
    pub limit: f64,
}

/// A bar of `cells` columns; its used part has the style of `role`. Any use shows as one cell at
/// least, and only what reaches the limit fills the last one. Empty where there is no limit.
#[must_use]
pub fn bar(gauge: Gauge, cells: usize, role: Role, theme: Theme) -> Vec<Span<'static>> {
    if !(gauge.limit.is_finite() && gauge.limit > 0.0) || cells == 0 {
        return Vec::new();
    }
    let used = filled(gauge.used / gauge.limit, cells);
    let possible = filled(gauge.possible.max(gauge.used) / gauge.limit, cells).max(used);
    let part = |sign: &str, count: usize, role| Span::styled(sign.repeat(count), theme.style(role));
    vec![
        part(USED, used, role),
        part(PERHAPS, possible - used, role),
        part(FREE, cells - possible, Role::BarFree),
    ]
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a share of a few dozen cells, held between 0 and their count"
)]
fn filled(share: f64, cells: usize) -> usize {
    if share.is_nan() || share <= 0.0 {
        return 0;
    }
    if share >= 1.0 {
        return cells;
    }
    let whole = (share * cells as f64).round() as usize;
    whole.max(1).min(cells.saturating_sub(1).max(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(used: f64, possible: f64, limit: f64) -> String {
        bar(Gauge { used, possible, limit }, 5, Role::BarUsed, Theme::Monochrome)
            .iter()
            .map(|span| span.content.as_ref())
            .collect()
    }

    #[test]
    fn a_bar_shows_what_is_used_what_may_be_and_what_is_free() {
        assert_eq!(drawn(0.0, 0.0, 10.0), "▯▯▯▯▯");
        assert_eq!(drawn(0.1, 0.1, 10.0), "▮▯▯▯▯");
        assert_eq!(drawn(4.0, 8.0, 10.0), "▮▮▪▪▯");
        assert_eq!(drawn(9.9, 9.9, 10.0), "▮▮▮▮▯");
        assert_eq!(drawn(10.0, 10.0, 10.0), "▮▮▮▮▮");
        assert_eq!(drawn(99.0, 99.0, 10.0), "▮▮▮▮▮");
    }

    #[test]
    fn without_a_limit_there_is_no_bar() {
        assert_eq!(drawn(1.0, 1.0, 0.0), "");
        assert_eq!(drawn(1.0, 1.0, f64::NAN), "");
    }
}
