//! Puts the built-in fonts into the program compressed: half of what they take, and unpacked in a few
//! milliseconds where a page is made.
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
        packed.write_all(font)?;
        fs::write(Path::new(&folder).join(name), packed.finish()?)?;
    }
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
