//! What the program finds again between calls: the plan that was open last, the user's choices and
//! own keys.
//!
//! They are a comfort: where they cannot be read or written, the program does without.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use ampwalk_tui::keymap;
use ampwalk_tui::settings::{self, Setting};
use directories::ProjectDirs;

use crate::input::small_file;
use crate::keep::Home;
use crate::trouble::{in_words, shown};

/// The file in the data folder that names the last plan.
const LAST_PLAN: &str = "last-plan";
/// No file of ours is larger, in bytes.
const LARGEST: u64 = 1 << 20;

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

/// What the user wrote into the configuration folder, and what could not be read of it.
#[derive(Clone, Debug, Default)]
pub struct Configuration {
    /// The folder; `None` where the system names none.
    pub folder: Option<PathBuf>,
    /// Choices for every plan, as a file.
    pub settings: String,
    /// The user's own keys, as a file.
    pub keys: String,
    /// In words, with what to do.
    pub complaints: Vec<String>,
}

/// Reads the configuration folder. A file that is not there says nothing.
pub fn configuration() -> Configuration {
    configuration_in(ProjectDirs::from("", "", "ampwalk").map(|folders| folders.config_dir().to_owned()))
}

fn configuration_in(folder: Option<PathBuf>) -> Configuration {
    let mut found = Configuration { folder, ..Configuration::default() };
    let Some(folder) = found.folder.clone() else { return found };
    let mut text = |name: &str| match read_text(&folder.join(name)) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => String::new(),
        Err(error) => {
            let path = shown(&folder.join(name));
            found
                .complaints
                .push(format!("{path} cannot be read: {}. Mend it or move it away", in_words(&error)));
            String::new()
        }
    };
    (found.settings, found.keys) = (text(settings::FILE), text(keymap::FILE));
    found
}

/// Keeps a choice for the next time.
///
/// # Errors
/// In words, where it is not kept; the file is as it was then.
pub fn keep(folder: Option<&Path>, setting: Setting) -> Result<(), String> {
    let folder = folder.ok_or("the system names no folder for settings")?;
    let path = folder.join(settings::FILE);
    let before = match read_text(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => String::new(),
        Err(error) => return Err(format!("{} cannot be read: {}", shown(&path), in_words(&error))),
    };
    let after = settings::with(&before, setting)?;
    fs::create_dir_all(folder)
        .map_err(|error| format!("{} cannot be made: {}", shown(folder), in_words(&error)))?;
    Home::new(&path, &before).save(&after)
}

/// The folder for journals of plans beside which nothing can be written; `None` where the system names none.
pub fn journals() -> Option<PathBuf> {
    let folders = ProjectDirs::from("", "", "ampwalk")?;
    Some(folders.state_dir().unwrap_or_else(|| folders.data_dir()).join("journals"))
}

fn data_folder() -> Option<PathBuf> {
    ProjectDirs::from("", "", "ampwalk").map(|folders| folders.data_dir().to_owned())
}

/// A file of ours, which is a text of a few lines.
fn read_text(path: &Path) -> io::Result<String> {
    String::from_utf8(small_file(path, LARGEST)?)
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "it is not UTF-8"))
}

fn read(folder: &Path) -> Option<PathBuf> {
    let path = PathBuf::from(read_text(&folder.join(LAST_PLAN)).ok()?);
    (path.is_absolute() && path.is_file()).then_some(path)
}

fn write(folder: &Path, plan: &Path) -> io::Result<()> {
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
    use ampwalk_tui::settings::Bell;
    use ampwalk_tui::theme::Theme;

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

    #[test]
    fn a_choice_is_kept_in_a_folder_that_is_made_for_it_and_comments_stay() {
        let folder = tempfile::tempdir().unwrap();
        let own = folder.path().join("config").join("ampwalk");
        assert_eq!(configuration_in(Some(own.clone())).complaints, Vec::<String>::new());
        keep(Some(&own), Setting::Theme(Theme::Light)).unwrap();
        let file = own.join("settings.toml");
        fs::write(&file, format!("# mine\n{}", fs::read_to_string(&file).unwrap())).unwrap();
        keep(Some(&own), Setting::Bell(Bell::Off)).unwrap();
        let kept = configuration_in(Some(own.clone())).settings;
        assert_eq!(kept, "# mine\ntheme = \"light\"\nbell = false\n");
        assert_eq!(fs::read_dir(&own).unwrap().count(), 1, "nothing is left beside it");
        fs::write(&file, "theme = \n").unwrap();
        assert!(keep(Some(&own), Setting::Bell(Bell::On)).unwrap_err().contains("settings.toml:1: "));
        assert_eq!(fs::read_to_string(&file).unwrap(), "theme = \n");
        assert!(keep(None, Setting::Bell(Bell::On)).is_err());
    }

    #[test]
    fn a_file_that_cannot_be_read_is_told() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("keys.toml"), b"undo = \"\xff\"").unwrap();
        let found = configuration_in(Some(folder.path().to_owned()));
        assert_eq!(found.keys, "");
        assert!(found.complaints[0].contains("keys.toml cannot be read"), "{found:?}");
    }

    #[cfg(unix)]
    #[test]
    fn what_stands_in_place_of_a_file_of_ours_is_told_and_not_read_to_its_end() {
        let folder = tempfile::tempdir().unwrap();
        let (keys, settings) = (folder.path().join("keys.toml"), folder.path().join("settings.toml"));
        assert!(std::process::Command::new("mkfifo").arg(&keys).status().unwrap().success());
        std::os::unix::fs::symlink("/dev/zero", &settings).unwrap();
        let found = configuration_in(Some(folder.path().to_owned()));
        assert_eq!(
            (found.complaints.len(), found.settings.as_str(), found.keys.as_str()),
            (2, "", ""),
            "{found:?}"
        );
        assert!(found.complaints.iter().all(|told| told.contains("it is no file")), "{found:?}");
        fs::remove_file(&settings).unwrap();
        fs::write(&settings, vec![b'#'; 2 << 20]).unwrap();
        assert!(keep(Some(folder.path()), Setting::Theme(Theme::Light)).unwrap_err().contains("larger than"));
        assert_eq!(fs::metadata(&settings).unwrap().len(), 2 << 20);
    }
}
