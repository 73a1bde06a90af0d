//! `ampwalk demo`: a built-in example, on the screens or written out.

use std::path::Path;

use ampwalk_core::file::nearest;

use super::new::write_new;
use crate::examples::{EXAMPLES, Example};
use crate::output::Answer;
use crate::trouble::{CallTrouble, Trouble, shown};

/// Writes an example to a file.
pub fn demo(name: Option<&str>, copy: &Path) -> Result<Answer, Trouble> {
    write_new(copy, find(name)?.text)?;
    let file = shown(copy);
    Ok(Answer::clear(format!("{file} is written. `ampwalk check {file}` tells what is wrong in it.\n")))
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
