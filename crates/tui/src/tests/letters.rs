//! Accents, wide letters and what combines: every name takes the columns that it shows.

use unicode_width::UnicodeWidthStr as _;

use super::*;
use crate::text::width;

/// Names of places, heads and setups: each with one of plain letters that shows as wide.
const NAMES: [(&str, &str, &str); 8] = [
    ("name = \"Harbour Street 14\"", "港の家", "xxxxxx"),
    ("name = \"Ground floor\"", "e\u{301}ta\u{302}ge", "xxxxx"),
    ("name = \"Living\"", "客厅", "xxxx"),
    ("name = \"Dining\"", "Küche", "xxxxx"),
    ("name = \"Garden\"", "सड़क", ""),
    ("name = \"Laundry\"", "🔧", "xx"),
    ("name = \"Day interior\"", "昼①", ""),
    ("[head.B]\n", "太陽", "xxxx"),
];

fn house(pick: impl Fn(&str, &str) -> String) -> String {
    let mut text = fixture::HOUSE.to_owned();
    for (place, wide, plain) in NAMES {
        let plain = if plain.is_empty() { "x".repeat(width(wide)) } else { plain.to_owned() };
        assert_eq!(width(wide), plain.len(), "{wide}");
        let name = format!("name = \"{}\"", pick(wide, &plain));
        let new = if place.starts_with('[') { format!("{place}{name}\n") } else { name };
        assert!(text.contains(place), "{place}");
        text = text.replace(place, &new);
    }
    text
}

fn drawn(desk: &Desk) -> Buffer {
    let area = Rect::new(0, 0, desk.model.size.0, desk.model.size.1);
    let mut buffer = Buffer::empty(area);
    view::draw(&desk.model, area, &mut buffer);
    buffer
}

#[test]
fn names_of_any_script_keep_every_column_in_its_place() {
    let (wide, plain) = (house(|wide, _| wide.to_owned()), house(|_, plain| plain.to_owned()));
    let scripts = [
        "", "enter", "1", "2", "4", "5", "f", "i", "E", "w", "/", "right", "1 down E", "enter t", "R", "!",
        "! 1 1 1", "n",
    ];
    for size in [(40, 15), (57, 20), (80, 24), (100, 30), (160, 50)] {
        for script in scripts {
            let mut desks = [&wide, &plain].map(|text| Desk::opened(text, size, Origin::File));
            for desk in &mut desks {
                desk.keys(script);
            }
            let [own, other] = desks.each_ref().map(drawn);
            for (x, y) in (0..size.1).flat_map(|y| (0..size.0).map(move |x| (x, y))) {
                let (cell, plain) = (own[(x, y)].symbol(), other[(x, y)].symbol());
                let told =
                    || format!("{script} {size:?} at {x},{y}\n{}\n{}", desks[0].screen(), desks[1].screen());
                if cell.width() > 1 {
                    assert!(x + 1 < size.0, "a letter hangs over the edge: {}", told());
                    let next = own[(x + 1, y)].symbol();
                    assert!(next.trim().is_empty(), "{next:?} stands in a letter: {}", told());
                }
                // Where a name is cut, a wide letter leaves a blank before the ellipsis.
                if !["x", "X", "…", " "].contains(&plain) {
                    assert_eq!(cell, plain, "{}", told());
                }
            }
        }
    }
}
