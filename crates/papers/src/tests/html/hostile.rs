//! Names that would act on a page.

use proptest::prelude::*;

use super::{Page, called};
use crate::tests::every::{named, unpleasant};
use crate::{Drawing, DrawnRoom, Mark, MarkKind, Sheet, html};

/// Elements of a page; nothing of a plan may add another one.
const TAGS: [&str; 47] = [
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "header",
    "h1",
    "h2",
    "h3",
    "nav",
    "ol",
    "ul",
    "li",
    "a",
    "main",
    "section",
    "dl",
    "div",
    "dt",
    "dd",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "span",
    "strong",
    "abbr",
    "p",
    "b",
    "figure",
    "figcaption",
    "details",
    "summary",
    "pre",
    "svg",
    "desc",
    "rect",
    "line",
    "circle",
    "path",
    "text",
    "g",
    "i",
];

const NAMES: [&str; 12] = [
    "<script>alert(1)</script>",
    "</style><script>x</script>",
    "</title></head><body onload=x>",
    "\" onclick=\"x\" x=\"",
    "' onfocus='x' autofocus x='",
    "javascript:alert(1)",
    "<img src=https://example.invalid/x onerror=x>",
    "</svg><a href=\"https://example.invalid\">x</a>",
    "&lt;script&gt;&#x3c;b>",
    "\u{202e}evil\u{2066}\u{1b}[31m\u{0}\u{7}",
    "]]><!--<b>-->",
    "url(https://example.invalid)",
];

/// A drawing whose names all are `name`.
fn drawn(name: &str) -> Drawing {
    let mark = |kind| Mark { name: name.to_owned(), kind, at: (1.0, 1.0) };
    Drawing {
        title: name.to_owned(),
        size: (4.0, 3.0),
        rooms: vec![DrawnRoom { name: name.to_owned(), corner: (0.0, 0.0), size: (2.0, 2.0) }],
        marks: vec![mark(MarkKind::Used), mark(MarkKind::Head)],
        leads: Vec::new(),
        scale: (1.0, "1 m".to_owned()),
        legend: vec![(MarkKind::Used, name.to_owned())],
        not_drawn: vec![name.to_owned()],
    }
}

/// Every sheet with nothing but `name` for names, each with a drawing and a code.
fn sheets(name: &str) -> Vec<Sheet> {
    let mut sheets = named(name);
    for sheet in &mut sheets {
        sheet.drawings.push(drawn(name));
        sheet.codes.push(name.chars().take(50).collect());
        sheet.setup = Some(name.to_owned());
    }
    sheets
}

/// A harmless name with blanks where the other one has them, and as many bytes, so that as many codes are needed.
fn plain(name: &str) -> String {
    let letter = |c: char| if c == ' ' { c.to_string() } else { "x".repeat(c.len_utf8()) };
    ampwalk_core::file::inert(name).chars().map(letter).collect()
}

fn check(name: &str) -> Result<(), TestCaseError> {
    let text = html(&sheets(name), &called(name));
    let page = Page::of(&text);
    let is_nothing = |element: &&super::page::Element| !TAGS.contains(&element.tag.as_str());
    prop_assert!(!page.elements.iter().any(|element| is_nothing(&element)), "{name:?}");
    let plain = plain(name);
    let harmless = Page::of(&html(&sheets(&plain), &called(&plain)));
    let tags = |page: &Page| page.elements.iter().map(|element| element.tag.clone()).collect::<Vec<_>>();
    prop_assert_eq!(tags(&page), tags(&harmless), "{:?}", name);
    for element in &page.elements {
        for (attribute, value) in &element.attributes {
            prop_assert!(!attribute.starts_with("on"), "{attribute}={value}");
            prop_assert!(
                attribute != "src" && attribute != "style" && attribute != "xlink:href",
                "{attribute}"
            );
            prop_assert!(attribute != "href" || value.starts_with('#'), "{value}");
        }
    }
    let acts = |c: char| (c.is_control() && c != '\n') || ('\u{202a}'..='\u{202e}').contains(&c);
    prop_assert!(!text.chars().any(acts), "{name:?}");
    let style = page.tags("style");
    prop_assert_eq!(style.len(), 1);
    let without = harmless.tags("style")[0].text();
    prop_assert_eq!(style[0].text(), without);
    Ok(())
}

#[test]
fn names_that_are_markup_add_no_element_no_handler_and_no_address() {
    for name in NAMES {
        check(name).unwrap_or_else(|error| panic!("{name:?}: {error}"));
    }
}

#[test]
fn a_name_that_is_markup_is_read_as_it_is() {
    for name in NAMES {
        let page = Page::of(&html(&sheets(name), &called(name)));
        let shown = ampwalk_core::file::inert(name);
        assert_eq!(page.tags("h1")[0].text(), shown);
        assert!(page.tags("main")[0].text().matches(&shown).count() > 50, "{name:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn whatever_the_names_the_page_has_the_same_elements(name in unpleasant()) {
        check(&name)?;
    }
}
