//! What the program finds again between calls: the plan that was open last, the user's own keys.
//!
//! They are a comfort: where they cannot be read or written, the program does without.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use directories::ProjectDirs;

/// The file in the data folder that names the last plan.
const LAST_PLAN: &str = "last-plan";
/// The file in the configuration folder that says the user's own keys.
const OWN_KEYS: &str = "keys.toml";

/// The plan that was open last, if it is still there.
pub fn last_plan() -> Option<PathBuf> {
    read(&data_folder()?)
}

/// Remembers a plan.
pub fn remember(plan: &Path) {
    if let Some(folder) = data_folder() {
        // Forgetting is no harm.
        let _ = write(&folder, plan);
    }
}

/// What the user's own keys are, in the words of their file.
pub fn own_keys() -> Option<String> {
    let folders = ProjectDirs::from("", "", "ampwalk")?;
    fs::read_to_string(folders.config_dir().join(OWN_KEYS)).ok()
}

fn data_folder() -> Option<PathBuf> {
    ProjectDirs::from("", "", "ampwalk").map(|folders| folders.data_dir().to_owned())
}

fn read(folder: &Path) -> Option<PathBuf> {
    let path = PathBuf::from(fs::read_to_string(folder.join(LAST_PLAN)).ok()?);
    (path.is_absolute() && path.is_file()).then_some(path)
}

fn write(folder: &Path, plan: &Path) -> std::io::Result<()> {
    let plan = std::path::absolute(plan)?;
    let Some(name) = plan.to_str() else { return Ok(()) };
    fs::create_dir_all(folder)?;
    let mut new = tempfile::NamedTempFile::new_in(folder)?;
    new.write_all(name.as_bytes())?;
    new.persist(folder.join(LAST_PLAN))?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_plan_is_found_again_and_forgotten_when_it_is_gone() {
        let folder = tempfile::tempdir().unwrap();
        let plan = folder.path().join("p.toml");
        let data = folder.path().join("data");
        assert_eq!(read(&data), None);
        fs::write(&plan, "ampwalk = 1\n").unwrap();
        write(&data, &plan).unwrap();
        assert_eq!(read(&data), Some(plan.clone()));
        fs::remove_file(&plan).unwrap();
        assert_eq!(read(&data), None);
    }
}
