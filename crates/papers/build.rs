//! Puts the built-in fonts into the program packed: without the tables that no page looks at, and compressed. They
//! take less than half then, and are unpacked in a few milliseconds where a page is made.
#![expect(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "this runs while the crate is built, not in it"
)]

use std::env;
use std::error::Error;
use std::fs;
use std::io::Write;
use std::path::Path;

use dejavu::{sans, sans_condensed};
use flate2::Compression;
use flate2::write::DeflateEncoder;

/// Tables for laying text out by pairs and scripts, for formulas, and of the font's editor (OpenType). Letters are set
/// one by one here, and none of these goes into a file.
const UNUSED: [&[u8; 4]; 6] = [b"FFTM", b"GDEF", b"GPOS", b"GSUB", b"MATH", b"kern"];
/// Bytes before the directory of a font's tables, and of a table's entry in it.
const HEADER: usize = 12;
const ENTRY: usize = 16;

/// A number of a font; 0 beyond its end.
fn number(font: &[u8], at: usize, bytes: usize) -> usize {
    let bytes = font.get(at..at + bytes).unwrap_or_default();
    bytes.iter().fold(0, |number, byte| number << 8 | usize::from(*byte))
}

/// The font without the unused tables. All others stay where they are; blank bytes pack to nothing.
fn used(font: &[u8]) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut used = font.to_vec();
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
    let faces = [
        ("plain", sans::regular()),
        ("bold", sans::bold()),
        ("narrow", sans_condensed::regular()),
        ("narrow-bold", sans_condensed::bold()),
    ];
    for (name, font) in faces {
        let mut packed = DeflateEncoder::new(Vec::new(), Compression::best());
        packed.write_all(&used(font)?)?;
        fs::write(Path::new(&folder).join(name), packed.finish()?)?;
    }
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
