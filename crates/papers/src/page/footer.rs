//! The foot of each page: which document, which sheet, which page of how many.

use super::fold::{BASELINE, cut};
use super::fonts::{Face, Fonts};
use super::paper::{FOOTER, MARGIN};
use super::{Form, Ink, Item, LINE, Layout, Line, Page, Part, Rect, Shape, TextBox};

/// What the three parts have of the width.
const SHARES: [f32; 3] = [0.4, 0.4, 0.2];

/// Writes the foot of every page.
pub(crate) fn number(layout: &mut Layout, title: &str, fonts: &Fonts<'_>) {
    let of = layout.pages.len();
    let sheets = &layout.sheets;
    for (place, page) in layout.pages.iter_mut().enumerate() {
        let sheet = sheets.get(page.sheet).map_or("", |(name, _)| name.as_str());
        let number = format!("page {} of {of}", place + 1);
        foot(page, [title, sheet, &number], fonts);
    }
}

fn foot(page: &mut Page, texts: [&str; 3], fonts: &Fonts<'_>) {
    let width = page.width - 2.0 * MARGIN;
    let height = FOOTER * LINE;
    let y = page.height - MARGIN - height;
    let rule = Form::Line { from: (MARGIN, y - 2.0), to: (MARGIN + width, y - 2.0), thick: 0.5 };
    page.items.push(Item::Shape(Shape { form: rule, ink: Ink::Grey, part: Part::Ornament }));
    let mut x = MARGIN;
    for (place, (text, share)) in texts.into_iter().zip(SHARES).enumerate() {
        let rect = Rect { x, y, width: width * share, height };
        x += rect.width;
        let shown = cut(fonts, text, Face::Plain, (rect.width - 4.0) / FOOTER);
        let own = shown.width * FOOTER;
        #[expect(clippy::cast_precision_loss, reason = "0 left, 1 in the middle, 2 right")]
        let lean = (rect.width - own) * place as f32 / 2.0;
        let runs = fonts.runs(&shown.text, Face::Plain);
        let line = Line { x: rect.x + lean, baseline: y + FOOTER * BASELINE, width: own, size: FOOTER, runs };
        page.items.push(Item::Text(TextBox { rect, lines: vec![line], part: Part::Footer }));
    }
}
