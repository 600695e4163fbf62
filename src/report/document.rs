//! A page in one file: our style in it, nothing from elsewhere, no script, and a policy that allows neither.

use base64::prelude::{BASE64_STANDARD, Engine};
use sha2::{Digest, Sha256};

/// What differs between our pages.
pub(crate) struct Document<'a> {
    /// Its title, as HTML.
    pub title: &'a str,
    /// Its style sheet.
    pub style: &'a str,
    /// More for its head, in whole lines.
    pub head: &'a str,
    /// What the first link says, which leads to `#main`.
    pub skip: &'a str,
    /// What stands in it, in whole lines.
    pub body: &'a str,
}

impl Document<'_> {
    /// The page.
    pub fn html(&self) -> String {
        let style = self.style.trim();
        let digest = BASE64_STANDARD.encode(Sha256::digest(style.as_bytes()));
        let policy = format!(
            "default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
        );
        format!(
            "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <meta name=\"referrer\" content=\"no-referrer\">\n<meta name=\"color-scheme\" content=\"light dark\">\n{}\
             <title>{}</title>\n<style>{style}</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#main\">{}</a>\n\
             {}</body>\n</html>\n",
            self.head, self.title, self.skip, self.body
        )
    }
}
