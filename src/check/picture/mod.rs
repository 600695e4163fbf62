//! Whether a picture may be shown to pupils: it is a picture, and no more than one.

mod svg;

use crate::deck::department::{Department, MAX_PICTURE, MAX_PIXELS};
use crate::snapshot::Kind;

/// What is wrong with a picture file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// It is a symbolic link.
    Link,
    /// It is too large to be looked into.
    TooLarge,
    /// It has more dots than a picture may have.
    TooManyPixels {
        /// How many from left to right.
        width: usize,
        /// How many from top to bottom.
        height: usize,
    },
    /// It is no picture of a kind that every reader shows.
    NoPicture,
    /// It is a drawing that cannot be read.
    Unreadable,
    /// It holds something that a picture must not hold.
    Holds {
        /// What, such as `a script`.
        what: &'static str,
        /// In which line of the file.
        line: usize,
    },
    /// It takes something from outside of itself.
    Outside {
        /// What it points to.
        target: String,
        /// In which line of the file.
        line: usize,
    },
}

impl Fault {
    /// What is wrong, to be said behind the picture's name.
    pub fn message(&self) -> String {
        match self {
            Fault::Link => "is a link to another file, not a picture".to_owned(),
            Fault::TooLarge => format!("is larger than {} MB", MAX_PICTURE / 1024 / 1024),
            Fault::TooManyPixels { width, height } => {
                let most = MAX_PIXELS / 1_000_000;
                format!("is {width} by {height} pixels large; a picture may have {most} million pixels")
            }
            Fault::NoPicture => "is not a picture that every reader can show".to_owned(),
            Fault::Unreadable => "is a drawing that cannot be read".to_owned(),
            Fault::Holds { what, line } => format!("holds {what} (line {line} of the file)"),
            Fault::Outside { target, line } => {
                format!("points outside of itself, to `{target}` (line {line} of the file)")
            }
        }
    }

    /// What to do about it.
    pub fn help(&self) -> &'static str {
        match self {
            Fault::Link => "put the picture itself in its place",
            Fault::TooLarge | Fault::TooManyPixels { .. } => "save it smaller: a card is a few centimetres wide",
            Fault::NoPicture => "save it as PNG, JPEG, GIF, WebP or SVG, with the ending that belongs to it",
            Fault::Unreadable => "open it in a drawing program and save it again as plain SVG, in UTF-8",
            Fault::Holds { .. } => {
                "open it in a drawing program and save it again as plain SVG, without scripts or pages in it"
            }
            Fault::Outside { .. } => "put what it points to into the drawing itself, or draw without it",
        }
    }

    /// What it is about, without places.
    pub fn about(&self) -> String {
        match self {
            Fault::Holds { what, .. } => (*what).to_owned(),
            Fault::Outside { target, .. } => target.clone(),
            Fault::Link => "link".to_owned(),
            Fault::TooLarge | Fault::TooManyPixels { .. } => "size".to_owned(),
            Fault::NoPicture | Fault::Unreadable => "kind".to_owned(),
        }
    }
}

/// What is wrong with the picture at `path` of the department; nothing when it is missing.
pub fn faults(department: &Department, path: &str) -> Vec<Fault> {
    match department.files.get(path) {
        None => Vec::new(),
        Some(Kind::Link | Kind::Misnamed) => vec![Fault::Link],
        Some(Kind::File { size }) if *size > MAX_PICTURE => vec![Fault::TooLarge],
        Some(Kind::File { .. }) => department.pictures.get(path).map_or(Vec::new(), |bytes| faults_in(path, bytes)),
    }
}

fn faults_in(path: &str, bytes: &[u8]) -> Vec<Fault> {
    let ending = path.rsplit('/').next().and_then(|name| name.rsplit_once('.')).map_or("", |(_, ending)| ending);
    match ending.to_ascii_lowercase().as_str() {
        "svg" => svg::faults(bytes),
        "png" | "jpg" | "jpeg" | "gif" | "webp" => match imagesize::blob_size(bytes) {
            Ok(size) if size.width > 0 && size.height > 0 => too_many_pixels(size.width, size.height),
            _ => vec![Fault::NoPicture],
        },
        _ => vec![Fault::NoPicture],
    }
}

fn too_many_pixels(width: usize, height: usize) -> Vec<Fault> {
    let pixels = (width as u64).saturating_mul(height as u64);
    if pixels > MAX_PIXELS { vec![Fault::TooManyPixels { width, height }] } else { Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_known_by_its_ending_and_its_bytes() {
        let gif = b"GIF89a\x02\x00\x03\x00\x00\x00\x00;";
        assert_eq!(faults_in("a/b.gif", gif), []);
        assert_eq!(faults_in("a/b.GIF", gif), []);
        let wide = b"GIF89a\x10\x27\x88\x13\x00\x00\x00;";
        assert_eq!(faults_in("a/b.gif", wide), [], "10000 by 5000 is the most");
        let wider = b"GIF89a\x10\x27\x89\x13\x00\x00\x00;";
        assert_eq!(faults_in("a/b.gif", wider), [Fault::TooManyPixels { width: 10_000, height: 5_001 }]);
        for (path, bytes) in [
            ("a/b.png", &b"<html>"[..]),
            ("a/b.exe", &gif[..]),
            ("a/gif", &gif[..]),
            ("a/b.gif", &b"GIF89a\x00\x00\x03\x00"[..]),
            ("a/b.gif", &b""[..]),
        ] {
            assert_eq!(faults_in(path, bytes), [Fault::NoPicture], "{path}");
        }
    }
}
