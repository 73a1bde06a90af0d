//! Puts files into a folder: each is whole there or not at all, whatever happens between, and none that
//! somebody else wrote or filled in is written over.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use ampwalk_papers::IssuedFile;
use tempfile::NamedTempFile;

use super::{File, register};
use crate::input::small_file;
use crate::keep::{as_others_read, sync_folder};
use crate::trouble::{CallTrouble, in_words, shown};

/// What the names of files begin with that are not done yet.
const UNDONE: &str = ".ampwalk-papers-";
/// No sheet of ours is larger, in bytes: what stands in its place is not read to its end.
const LARGEST: u64 = 256 << 20;

/// Refuses where a file stands that is neither as we wrote it nor as we would.
pub(super) fn refuse_others(folder: &Path, known: &[IssuedFile], files: &[File]) -> Result<(), CallTrouble> {
    for file in files {
        let path = folder.join(&file.name);
        let there = match small_file(&path, LARGEST) {
            Ok(there) => there,
            Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {
                continue;
            }
            Err(error) => {
                return Err(CallTrouble {
                    message: format!("{} stands in the way: {}", shown(&path), in_words(&error)),
                    remedy: "Move it away, or name another folder. Nothing was written.".to_owned(),
                });
            }
        };
        let is_ours = known.contains(&register::of(&file.name, &there));
        if !is_ours && there != file.bytes {
            return Err(CallTrouble {
                message: format!(
                    "{} is not as this program wrote it: somebody filled it in, or it is another's",
                    shown(&path)
                ),
                remedy: "Move it away, or name another folder. Nothing was written.".to_owned(),
            });
        }
    }
    Ok(())
}

/// Whether a file stands as it was recorded.
pub(super) fn is_as_recorded(folder: &Path, known: &[IssuedFile], name: &str) -> bool {
    let there = small_file(&folder.join(name), LARGEST);
    there.is_ok_and(|there| known.contains(&register::of(name, &there)))
}

/// Writes the files; those that are there byte by byte are left as they are. Says how many were new. The first
/// of the records stands while they take their places, the second one afterwards.
pub(super) fn put(
    folder: &Path,
    files: &[File],
    records: (&str, &[Vec<u8>; 2]),
) -> Result<usize, CallTrouble> {
    put_by(folder, files, records, Write::write_all)
}

/// The same, with a hand in how a file is filled.
fn put_by(
    folder: &Path,
    files: &[File],
    (record, [between, after]): (&str, &[Vec<u8>; 2]),
    mut fill: impl FnMut(&mut fs::File, &[u8]) -> io::Result<()>,
) -> Result<usize, CallTrouble> {
    let trouble = |what: &str, error: &io::Error| CallTrouble {
        message: format!("{}: {what}: {}", shown(folder), in_words(error)),
        remedy: "Mend that and ask again. Each sheet there is whole, as it was or as it is now.".to_owned(),
    };
    fs::create_dir_all(folder).map_err(|error| trouble("the folder cannot be made", &error))?;
    clear_undone(folder);
    let named = files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice()));
    let is_new = |(name, bytes): &(&str, &[u8])| {
        !small_file(&folder.join(name), LARGEST).is_ok_and(|there| there == *bytes)
    };
    let new: Vec<(&str, &[u8])> = named.filter(is_new).collect();
    if new.is_empty() && !is_new(&(record, after.as_slice())) {
        return Ok(0);
    }
    // All of them are on the disk before the first takes its place; the record that knows the old files and the
    // new ones goes first, so that whoever comes after a power cut takes none of them for somebody else's.
    let in_order = [(record, between.as_slice())].into_iter().chain(new.iter().copied());
    let in_order = in_order.chain([(record, after.as_slice())]);
    let mut staged = Vec::new();
    for (name, bytes) in in_order {
        let undone = stage(folder, bytes, &mut fill)
            .map_err(|error| trouble(&format!("{name} cannot be written"), &error))?;
        staged.push((name, undone));
    }
    for (name, undone) in staged {
        undone
            .persist(folder.join(name))
            .map_err(|error| trouble(&format!("{name} cannot take its place"), &error.error))?;
        if name == record {
            sync_folder(folder).map_err(|error| trouble("the disk did not take the new names", &error))?;
        }
    }
    Ok(new.len())
}

fn stage(
    folder: &Path,
    bytes: &[u8],
    fill: &mut impl FnMut(&mut fs::File, &[u8]) -> io::Result<()>,
) -> io::Result<NamedTempFile> {
    let mut undone = tempfile::Builder::new().prefix(UNDONE).tempfile_in(folder)?;
    fill(undone.as_file_mut(), bytes)?;
    as_others_read(undone.as_file())?;
    undone.as_file().sync_all()?;
    Ok(undone)
}

/// Takes away what a call left that was killed. That they cannot be taken away is no reason not to go on.
fn clear_undone(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        if entry.file_name().to_string_lossy().starts_with(UNDONE) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, text: &str) -> File {
        File { name: name.to_owned(), bytes: text.as_bytes().to_vec() }
    }

    fn records(text: &str) -> [Vec<u8>; 2] {
        [format!("{text}, files between"), text.to_owned()].map(String::into_bytes)
    }

    fn in_folder(folder: &Path) -> Vec<(String, String)> {
        let mut all: Vec<(String, String)> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap())
            .map(|entry| {
                (entry.file_name().into_string().unwrap(), fs::read_to_string(entry.path()).unwrap())
            })
            .collect();
        all.sort();
        all
    }

    #[test]
    fn a_disk_that_fills_up_at_any_file_leaves_the_sheets_as_they_were() {
        let folder = tempfile::tempdir().unwrap();
        let before = [file("a.csv", "one"), file("b.csv", "two"), file("c.csv", "three")];
        assert_eq!(put(folder.path(), &before, ("papers.json", &records("record"))).unwrap(), 3);
        let (stood, after) =
            (in_folder(folder.path()), before.map(|one| file(&one.name, "something longer")));
        for full_at in 0..5 {
            let mut written = 0;
            let fill = |file: &mut fs::File, bytes: &[u8]| {
                if written == full_at {
                    file.write_all(&bytes[..bytes.len() / 2])?;
                    return Err(io::Error::from(io::ErrorKind::StorageFull));
                }
                written += 1;
                file.write_all(bytes)
            };
            let told =
                put_by(folder.path(), &after, ("papers.json", &records("new record")), fill).unwrap_err();
            assert!(told.message.contains("the disk is full"), "{told}");
            assert_eq!(in_folder(folder.path()), stood, "full at file {full_at}");
        }
        assert_eq!(put(folder.path(), &after, ("papers.json", &records("new record"))).unwrap(), 3);
        assert!(in_folder(folder.path())[..3].iter().all(|(_, text)| text == "something longer"));
    }

    #[test]
    fn what_is_there_byte_by_byte_is_not_written_again() {
        let folder = tempfile::tempdir().unwrap();
        let files = [file("a.csv", "one"), file("b.csv", "two")];
        put(folder.path(), &files, ("papers.json", &records("record"))).unwrap();
        let at = |name: &str| fs::metadata(folder.path().join(name)).unwrap().modified().unwrap();
        let old = at("a.csv");
        let one_new = [file("a.csv", "one"), file("b.csv", "zwei")];
        assert_eq!(put(folder.path(), &one_new, ("papers.json", &records("record"))).unwrap(), 1);
        assert_eq!(at("a.csv"), old);
    }

    #[test]
    fn a_sheet_that_was_filled_in_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let files = [file("survey.csv", "blank")];
        put(folder.path(), &files, ("papers.json", &records("record"))).unwrap();
        let known = [register::of("survey.csv", b"blank")];
        let new = [file("survey.csv", "blank, and a socket more")];
        assert_eq!(refuse_others(folder.path(), &known, &new).map_err(|told| told.message), Ok(()));
        fs::write(folder.path().join("survey.csv"), "filled in").unwrap();
        let told = refuse_others(folder.path(), &known, &new).unwrap_err();
        assert!(told.message.contains("survey.csv is not as this program wrote it"), "{told}");
        assert!(told.remedy.contains("Nothing was written"), "{told}");
    }

    #[test]
    fn what_a_killed_call_left_is_taken_away() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(".ampwalk-papers-x1y2"), "half").unwrap();
        fs::write(folder.path().join("notes.txt"), "ours").unwrap();
        put(folder.path(), &[file("a.csv", "one")], ("papers.json", &records("record"))).unwrap();
        let names: Vec<String> = in_folder(folder.path()).into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, ["a.csv", "notes.txt", "papers.json"]);
    }
}
