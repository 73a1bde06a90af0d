//! Sheets as one PDF for the printer, tagged so that a screen reader follows it (PDF/UA-1, ISO 14289-1).

mod draw;
mod letters;
mod tags;

pub use letters::{lacking_letters, letters_of_font};

use std::fmt;

use krilla::SerializeSettings;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::Point;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;

use crate::document::Document;
use crate::page::{Fonts, Layout, lay_out, printable};
use crate::sheet::Sheet;

/// Why there is no PDF.
#[derive(Debug)]
pub enum PdfError {
    /// There are no sheets, so there is nothing to print.
    NoSheets,
    /// A font that is built in, or was handed in, cannot be used.
    Font(String),
    /// The writer found that the pages break a rule of PDF or of PDF/UA.
    Refused(String),
}

impl fmt::Display for PdfError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSheets => formatter.write_str("no sheets were given, so there is nothing to print"),
            Self::Font(why) => write!(formatter, "a font cannot be put into the PDF: {why}"),
            Self::Refused(why) => write!(formatter, "the pages break a rule of PDF: {why}"),
        }
    }
}

impl std::error::Error for PdfError {}

/// `sheets` as one PDF in the order given, each on pages of its own. What a plan says is made inert. The
/// same sheets give the same bytes: it has no date and no random number.
///
/// Letters that neither the built-in fonts nor [`Document::fallback_fonts`] have are shown as U+FFFD, and the
/// sheet says which they are.
///
/// # Errors
///
/// Without sheets; where a font handed in cannot be embedded; where the result would not be PDF/UA-1.
pub fn pdf(sheets: &[Sheet], document: &Document) -> Result<Vec<u8>, PdfError> {
    if sheets.is_empty() {
        return Err(PdfError::NoSheets);
    }
    let fonts = Fonts::new(&document.fallback_fonts);
    let layout = lay_out(sheets, document, &fonts);
    write(&layout, &title(document, &layout), &fonts)
}

/// The title of a document; that of its first sheet where it has none of its own.
fn title(document: &Document, layout: &Layout) -> String {
    let own = printable(&document.title);
    if !own.trim().is_empty() {
        return own;
    }
    layout.sheets.first().map_or_else(|| "Sheets".to_owned(), |(name, _)| name.clone())
}

fn write(layout: &Layout, title: &str, fonts: &Fonts<'_>) -> Result<Vec<u8>, PdfError> {
    let configuration = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1).finish();
    let configuration = configuration.map_err(|error| PdfError::Refused(format!("{error:?}")))?;
    let settings = SerializeSettings { configuration, ..SerializeSettings::default() };
    let mut file = krilla::Document::new_with(settings);
    file.set_metadata(Metadata::new().title(title.to_owned()).language("en".to_owned()));
    let fonts = draw::fonts(fonts)?;
    let mut tags = tags::Tags::new(&layout.blocks);
    for page in &layout.pages {
        let settings = PageSettings::from_wh(page.width, page.height)
            .ok_or_else(|| PdfError::Refused("a page has no size".to_owned()))?;
        let mut on = file.start_page_with(settings);
        draw::page(&mut on.surface(), page, &fonts, &mut tags);
        on.finish();
    }
    file.set_outline(outline(layout));
    file.set_tag_tree(tags.into_tree());
    file.finish().map_err(told)
}

/// A bookmark for each sheet.
fn outline(layout: &Layout) -> Outline {
    let mut outline = Outline::new();
    for (name, page) in &layout.sheets {
        outline
            .push_child(OutlineNode::new(name.clone(), XyzDestination::new(*page, Point::from_xy(0.0, 0.0))));
    }
    outline
}

fn told(error: KrillaError) -> PdfError {
    match error {
        KrillaError::Font(_, why) => PdfError::Font(why),
        KrillaError::Validation(rules) => PdfError::Refused(
            rules.iter().map(|(rule, _)| format!("{rule:?}")).collect::<Vec<_>>().join("; "),
        ),
        other => PdfError::Refused(other.to_string()),
    }
}
