//! The pictures of cards as the template gets them.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use crate::deck::Department;
use crate::pack::model::{PackPicture, Side};

/// A picture.
#[derive(Debug, Serialize)]
pub struct PictureData {
    /// Its name for the typesetter.
    pub file: String,
    /// What it shows.
    pub alt: String,
    /// Who made it, and under which licence it may be used.
    pub credit: String,
}

/// The names of pictures for the typesetter, by their paths; the same for all documents.
pub struct PictureNames<'a> {
    department: &'a Department,
    names: BTreeMap<&'a str, String>,
}

impl<'a> PictureNames<'a> {
    /// Those of the pictures that the department has.
    pub fn new(department: &'a Department, pictures: impl Iterator<Item = &'a PackPicture>) -> Self {
        let mut paths: Vec<&str> = pictures.map(|picture| picture.file.as_str()).collect();
        paths.sort_unstable();
        paths.dedup();
        paths.retain(|path| department.pictures.contains_key(*path));
        let names = paths.into_iter().enumerate().map(|(at, path)| (path, format!("picture-{at}"))).collect();
        Self { department, names }
    }

    /// The pictures by their names.
    pub fn bytes(&self) -> BTreeMap<String, Arc<[u8]>> {
        let bytes = |path: &str| self.department.pictures.get(path).cloned();
        self.names.iter().filter_map(|(path, name)| Some((name.clone(), bytes(path)?))).collect()
    }

    /// Those of a card's pictures that stand on a side.
    pub fn shown(&self, pictures: &[PackPicture], side: Side) -> Vec<PictureData> {
        let shown = pictures.iter().filter(|picture| picture.side == side);
        let of = |picture: &PackPicture| {
            let file = self.names.get(picture.file.as_str())?.clone();
            Some(PictureData { file, alt: picture.alt.clone().unwrap_or_default(), credit: credit(picture) })
        };
        shown.filter_map(of).collect()
    }
}

fn credit(picture: &PackPicture) -> String {
    let named = [&picture.credit, &picture.licence];
    let named: Vec<&str> = named.into_iter().flatten().map(String::as_str).collect();
    if named.is_empty() { String::new() } else { format!("Picture: {}", named.join(", ")) }
}
