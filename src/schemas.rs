//! The schema files, carried inside the program so that a new department gets them.

/// Each schema's file name with its text.
pub const ALL: &[(&str, &str)] = &[
    ("deck.schema.json", include_str!("../schema/deck.schema.json")),
    ("department.schema.json", include_str!("../schema/department.schema.json")),
];
