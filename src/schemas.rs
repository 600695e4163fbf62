//! The schema files, carried inside the program so that a new department gets them.

macro_rules! schemas {
    ($($name:literal),* $(,)?) => {
        /// Each schema's file name with its text.
        pub const ALL: &[(&str, &str)] = &[$(($name, include_str!(concat!("../schema/", $name)))),*];
    };
}

schemas![
    "cite.schema.json",
    "coverage.schema.json",
    "deck.schema.json",
    "department.schema.json",
    "explain.schema.json",
    "find.schema.json",
    "findings.schema.json",
    "pack.schema.json",
    "plan.schema.json",
    "proposals.schema.json",
    "publish.schema.json",
    "quiz.schema.json",
    "reconcile.schema.json",
    "release.schema.json",
    "review.schema.json",
    "shelf.schema.json",
    "verify.schema.json",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_schema_is_carried() {
        let folder = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/schema")).expect("a folder");
        let names = folder.map(|entry| entry.expect("readable").file_name().into_string().expect("UTF-8"));
        let mut schemas: Vec<_> = names.filter(|name| name.ends_with(".json")).collect();
        schemas.sort();
        assert_eq!(ALL.iter().map(|(name, _)| *name).collect::<Vec<_>>(), schemas);
    }
}
