//! Puts the built-in fonts into the program packed: without what no page looks at, and compressed. They take a third
//! then, and are unpacked in a few milliseconds where a page is made.
#![expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "this runs while the crate is built, not in it"
)]

use std::env;
use std::error::Error;
use std::fs;
use std::io::Write;
use std::ops::Range;
use std::path::Path;

use dejavu::sans;
use flate2::Compression;
use flate2::write::DeflateEncoder;

/// Tables for laying text out by pairs and scripts, for formulas, of the font's editor, and for fitting outlines to
/// the dots of a screen (OpenType). Letters are set one by one here, printers have dots enough, and none of these goes
/// into a file.
const UNUSED: [&[u8; 4]; 10] =
    [b"FFTM", b"GDEF", b"GPOS", b"GSUB", b"MATH", b"cvt ", b"fpgm", b"gasp", b"kern", b"prep"];
/// Bytes before the directory of a font's tables, and of a table's entry in it.
const HEADER: usize = 12;
const ENTRY: usize = 16;
/// Bytes of `post` that all its versions have, and the version that has no names of glyphs behind them.
const POST: usize = 32;
const NAMELESS: [u8; 4] = [0, 3, 0, 0];
/// Flags of a part of a glyph that is put together of others (OpenType, `glyf`).
const WIDE_PLACES: usize = 0x1;
const SCALE: usize = 0x8;
const MORE: usize = 0x20;
const SCALES: usize = 0x40;
const MATRIX: usize = 0x80;
const INSTRUCTIONS: usize = 0x100;

/// A number of a font; 0 beyond its end.
fn number(font: &[u8], at: usize, bytes: usize) -> usize {
    let bytes = font.get(at..at + bytes).unwrap_or_default();
    bytes.iter().fold(0, |number, byte| number << 8 | usize::from(*byte))
}

/// Where a table is.
fn table(font: &[u8], tag: [u8; 4]) -> Result<Range<usize>, Box<dyn Error>> {
    let entries =
        font.get(HEADER..HEADER + number(font, 4, 2) * ENTRY).ok_or("a font without a directory")?;
    let entry = entries.chunks(ENTRY).find(|entry| entry.starts_with(&tag)).ok_or("a table is not there")?;
    let start = number(entry, 8, 4);
    Ok(start..start + number(entry, 12, 4))
}

/// A glyph without the instructions that fit it to the dots of a screen.
fn outline(glyph: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let cut = "a glyph is cut off";
    let mut outline = glyph.to_vec();
    let contours = number(glyph, 0, 2);
    if contours < 0x8000 {
        let at = 10 + 2 * contours;
        let rest = glyph.get(at + 2 + number(glyph, at, 2)..).ok_or(cut)?;
        outline.truncate(at);
        outline.extend([0, 0]);
        outline.extend(rest);
    } else {
        let mut at = 10;
        loop {
            let flags = number(glyph, at, 2);
            let kept = u16::try_from(flags & !INSTRUCTIONS)?.to_be_bytes();
            outline.get_mut(at..at + 2).ok_or(cut)?.copy_from_slice(&kept);
            at += if flags & WIDE_PLACES > 0 { 8 } else { 6 };
            at += [(SCALE, 2), (SCALES, 4), (MATRIX, 8)]
                .iter()
                .map(|(flag, more)| usize::from(flags & flag > 0) * more)
                .sum::<usize>();
            if flags & MORE == 0 {
                break;
            }
        }
        outline.truncate(at);
    }
    outline.resize(outline.len().next_multiple_of(4), 0);
    Ok(outline)
}

/// All glyphs without instructions, one behind the other from where the first one is.
fn to_outlines(font: &mut [u8]) -> Result<(), Box<dyn Error>> {
    let head = table(font, *b"head")?;
    if number(font, head.start + 50, 2) != 1 {
        return Err("the places of glyphs are short ones".into());
    }
    let (glyphs, places) = (table(font, *b"glyf")?, table(font, *b"loca")?);
    let before = font.get(glyphs.clone()).ok_or("no glyphs")?.to_vec();
    let mut after = Vec::new();
    for place in places.clone().step_by(4) {
        let start = number(font, place, 4);
        // The last place is the end of the last glyph.
        let end = if place + 4 < places.end { number(font, place + 4, 4) } else { start };
        font.get_mut(place..place + 4)
            .ok_or("no place")?
            .copy_from_slice(&u32::try_from(after.len())?.to_be_bytes());
        if let Some(glyph) = before.get(start..end).filter(|glyph| !glyph.is_empty()) {
            after.extend(outline(glyph)?);
        }
    }
    after.resize(before.len(), 0);
    font[glyphs].copy_from_slice(&after);
    Ok(())
}

/// The font without what is unused. All tables stay where they are; blank bytes pack to nothing.
fn used(font: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut used = font.to_vec();
    to_outlines(&mut used)?;
    let post = table(font, *b"post")?;
    used[post.clone()][POST..].fill(0);
    used[post][..NAMELESS.len()].copy_from_slice(&NAMELESS);
    let count = number(font, 4, 2);
    let directory = font.get(HEADER..HEADER + count * ENTRY).ok_or("a font without a directory")?;
    let is_unused = |entry: &&[u8]| UNUSED.iter().any(|tag| entry.starts_with(&tag[..]));
    let (unused, kept): (Vec<&[u8]>, Vec<&[u8]>) = directory.chunks(ENTRY).partition(is_unused);
    for entry in unused {
        let (at, length) = (number(entry, 8, 4), number(entry, 12, 4));
        used.get_mut(at..at + length).ok_or("a table beyond the end")?.fill(0);
    }
    used[HEADER..HEADER + count * ENTRY].fill(0);
    let directory = kept.concat();
    used[HEADER..HEADER + directory.len()].copy_from_slice(&directory);
    used[4..6].copy_from_slice(&u16::try_from(kept.len())?.to_be_bytes());
    Ok(used)
}

fn main() -> Result<(), Box<dyn Error>> {
    let folder = env::var("OUT_DIR")?;
    let faces = [("plain", sans::regular()), ("bold", sans::bold())];
    for (name, font) in faces {
        let mut packed = DeflateEncoder::new(Vec::new(), Compression::best());
        packed.write_all(&used(font)?)?;
        fs::write(Path::new(&folder).join(name), packed.finish()?)?;
    }
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
