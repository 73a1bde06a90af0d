//! Floors and codes on pages.

use crate::drawing::{Drawing, DrawnLead, DrawnRoom, Mark, MarkKind};
use crate::page::{Form, Item, Page, Rect};

use super::super::every::named;
use super::{MARGIN, NOISE, is_in_its_place, laid_out, papers, said, texts};

/// A floor with as many marks as there are, in a grid or on one spot.
fn floor(marks: usize, apart: f64) -> Drawing {
    let at = |place: usize| {
        let (x, y) = (u32::try_from(place % 20).unwrap_or(0), u32::try_from(place / 20).unwrap_or(0));
        (1.0 + f64::from(x) * apart, 1.0 + f64::from(y) * apart)
    };
    let kinds = [MarkKind::Used, MarkKind::Free, MarkKind::Forbidden, MarkKind::Head];
    let mark = |place: usize| Mark { name: format!("M{place}"), kind: kinds[place % 4], at: at(place) };
    Drawing {
        title: "Ground floor".to_owned(),
        size: (22.0, 14.0),
        rooms: vec![DrawnRoom { name: "Hall".to_owned(), corner: (0.5, 0.5), size: (20.0, 12.0) }],
        marks: (0..marks).map(mark).collect(),
        leads: vec![DrawnLead { head: "M3".to_owned(), from: at(0), to: at(3) }],
        scale: (5.0, "5 m".to_owned()),
        legend: kinds.iter().map(|kind| (*kind, format!("{kind:?}"))).collect(),
        not_drawn: vec!["G9".to_owned()],
    }
}

#[test]
fn names_on_a_floor_cover_no_name_and_no_mark_and_what_has_no_room_is_told_below() {
    let mut sheet = named("G1").swap_remove(0);
    for (marks, apart) in [(3, 1.0), (200, 1.0), (200, 0.1), (60, 0.0)] {
        sheet.drawings = vec![floor(marks, apart)];
        let layout = laid_out(std::slice::from_ref(&sheet), &papers()[0]);
        is_in_its_place(&layout);
        let all: Vec<String> = layout.pages.iter().flat_map(texts).map(said).collect();
        let below = all.iter().find(|text| text.starts_with("No room for these names"));
        for place in 0..marks {
            let name = format!("M{place}");
            let is_told = below.is_some_and(|text| text.contains(&format!(" {name} ")));
            assert!(all.contains(&name) != is_told, "{name} of {marks} is once on the page");
        }
        assert_eq!(below.is_some(), apart < 1.0, "{below:?}");
        assert!(all.contains(&"Not drawn, place not known: G9.".to_owned()));
        assert!(all.contains(&"5 m".to_owned()));
    }
}

#[test]
fn a_floor_is_to_scale() {
    let mut sheet = named("G1").swap_remove(0);
    sheet.drawings = vec![floor(0, 1.0)];
    let layout = laid_out(&[sheet], &papers()[0]);
    let shapes = layout.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Item::Shape(shape) => Some(&shape.form),
        Item::Text(_) => None,
    });
    let shapes: Vec<_> = shapes.collect();
    let room = shapes.iter().find_map(|form| match form {
        Form::Outline { rect, .. } => Some(*rect),
        _ => None,
    });
    let room = room.expect("the room");
    // 20 m by 12 m; the lead is 3 m, the bar 5 m.
    assert!((room.width / room.height - 20.0 / 12.0).abs() < 0.001);
    let long = |metres: f32| {
        shapes.iter().any(|form| match form {
            Form::Line { from, to, .. } => {
                let long = (to.0 - from.0).hypot(to.1 - from.1);
                (long - room.width / 20.0 * metres).abs() < 0.01
            }
            _ => false,
        })
    };
    assert!(long(3.0) && long(5.0));
}

#[test]
fn codes_have_modules_of_half_a_millimetre_and_four_white_ones_around() {
    let mut sheet = named("G1").swap_remove(0);
    let texts = ["x".repeat(800), "G1 H1".to_owned(), "y".repeat(800), "z".repeat(500), "w".repeat(800)];
    sheet.codes = texts.to_vec();
    for document in papers() {
        let layout = laid_out(std::slice::from_ref(&sheet), &document);
        is_in_its_place(&layout);
        let mut seen = 0;
        for page in &layout.pages {
            for item in &page.items {
                let Item::Shape(shape) = item else { continue };
                let Form::Modules { corner, side, runs } = &shape.form else { continue };
                assert!(*side >= 0.5 * 72.0 / 25.4 - 0.001, "{side} points a module");
                let width = crate::codes::modules(&texts[seen]).expect("a code").width;
                seen += 1;
                #[expect(clippy::cast_precision_loss, reason = "modules of a code")]
                let whole = (width + 8) as f32 * side;
                assert!(runs.iter().all(|(x, y, count)| x + count <= width && *y < width));
                let white = Rect {
                    x: corner.0 - 4.0 * side,
                    y: corner.1 - 4.0 * side,
                    width: whole,
                    height: whole - NOISE,
                };
                assert!(white.x >= MARGIN && white.right() <= page.width - MARGIN);
                assert!(white.y >= MARGIN && white.bottom() <= page.height - MARGIN);
                let names = written_in(page, &white);
                assert!(names.is_empty(), "{names:?} is in the white of a code");
            }
        }
        assert_eq!(seen, texts.len());
        let all: Vec<String> = layout.pages.iter().flat_map(super::texts).map(said).collect();
        assert!((1..=5).all(|place| all.contains(&format!("{place} of 5"))));
    }
}

/// What is written in a rectangle.
fn written_in(page: &Page, rect: &Rect) -> Vec<String> {
    texts(page).into_iter().filter(|text| text.rect.covers(rect)).map(said).collect()
}
