//! The built-in examples: plans of places that do not exist.

/// A built-in plan.
#[derive(Debug)]
pub struct Example {
    /// What it is asked for by.
    pub name: &'static str,
    /// Its plan file.
    pub text: &'static str,
}

/// Every example; the first is the one that is opened when none is named.
pub const EXAMPLES: [Example; 4] = [
    Example { name: "mill-house", text: include_str!("../../../examples/mill-house.toml") },
    Example { name: "first-walk", text: include_str!("../../../examples/first-walk.toml") },
    Example { name: "third-floor-flat", text: include_str!("../../../examples/third-floor-flat.toml") },
    Example { name: "office-night", text: include_str!("../../../examples/office-night.toml") },
];

/// Which there are, for the help of the command line.
pub fn offered() -> String {
    let names: Vec<&str> = EXAMPLES.iter().map(|example| example.name).collect();
    format!("Which one: {}; without it, the first", names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_of_the_folder_is_built_in_and_has_no_problem() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter_map(|name| name.strip_suffix(".toml").map(str::to_owned))
            .collect();
        files.sort();
        let mut names: Vec<&str> = EXAMPLES.iter().map(|example| example.name).collect();
        names.sort_unstable();
        assert_eq!(names, files);
        for example in EXAMPLES {
            assert_eq!(ampwalk_core::file::parse(example.text).problems, [], "{}", example.name);
        }
    }
}
