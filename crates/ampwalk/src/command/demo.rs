//! `ampwalk demo`: a built-in example, on the screens or written out.

use std::path::Path;

use ampwalk_core::file::nearest;

use super::new::write_new;
use super::open::on_screens;
use crate::examples::{EXAMPLES, Example};
use crate::input::Source;
use crate::keep::Home;
use crate::output::Answer;
use crate::screen::Kind;
use crate::trouble::{CallTrouble, Trouble, in_words, shown};

/// Opens an example on a copy, or writes it to a file.
pub fn demo(name: Option<&str>, copy: Option<&Path>) -> Result<Answer, Trouble> {
    let example = find(name)?;
    if let Some(file) = copy {
        write_new(file, example.text)?;
        let file = shown(file);
        return Ok(Answer::clear(format!("{file} is written. Open it with `ampwalk {file}`.\n")));
    }
    crate::terminal::must_be_one()?;
    let cannot = |error: &std::io::Error| {
        Trouble::call(
            format!("the copy of the demo cannot be written to the temporary folder: {}", in_words(error)),
            "Make room there, or write it elsewhere: ampwalk demo --copy FILE",
        )
    };
    let folder = tempfile::Builder::new().prefix("ampwalk-").tempdir().map_err(|error| cannot(&error))?;
    let file = folder.path().join(format!("{}.toml", example.name));
    std::fs::write(&file, example.text).map_err(|error| cannot(&error))?;
    let source = Source { name: example.name.to_owned(), text: example.text.to_owned() };
    let closed = on_screens(&file, source, Kind::Demo)?;
    // Sheets that were handed out stand beside the copy: they stay as well.
    let has_sheets = Home::new(&file, example.text).papers().exists();
    if !closed.edited && !has_sheets {
        return Ok(Answer::clear(String::new()));
    }
    let kept = folder.keep().join(format!("{}.toml", example.name));
    Ok(Answer::clear(format!("Your copy of the demo is {}\n", shown(&kept))))
}

fn find(name: Option<&str>) -> Result<&'static Example, CallTrouble> {
    let [first, ..] = &EXAMPLES;
    let Some(name) = name else { return Ok(first) };
    let names = || EXAMPLES.iter().map(|example| example.name);
    EXAMPLES.iter().find(|example| example.name == name).ok_or_else(|| {
        let near = nearest(name, names()).map(|near| format!("Did you mean `{near}`? ")).unwrap_or_default();
        CallTrouble {
            message: format!("there is no demo `{}`", shown(Path::new(name))),
            remedy: format!("{near}There are: {}", names().collect::<Vec<_>>().join(", ")),
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_demo_is_told_with_the_nearest_and_the_others() {
        assert_eq!(find(None).unwrap().name, "mill-house");
        let trouble = find(Some("mil-house")).unwrap_err();
        assert!(trouble.remedy.starts_with("Did you mean `mill-house`?"), "{trouble}");
        assert!(trouble.remedy.contains("office-night"), "{trouble}");
    }
}
