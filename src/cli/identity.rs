//! Who commits and tags, which is git's own business; asked before anything is written.

use git2::{Signature, Time};

use super::error::CliError;
use crate::git::site::Site;
use crate::git::{GitError, git};

/// Says no when git would refuse a commit because it does not know whose it is.
pub fn is_known(site: &Site) -> Result<(), CliError> {
    ["GIT_AUTHOR_IDENT", "GIT_COMMITTER_IDENT"].iter().try_for_each(|name| ident(site, name).map(drop))
}

/// Git's own identity for whoever tags, at git's own time.
pub fn tagger(site: &Site) -> Result<Signature<'static>, CliError> {
    let identity = ident(site, "GIT_COMMITTER_IDENT")?;
    let parts = || {
        let (name, rest) = identity.split_once(" <")?;
        let (email, when) = rest.split_once("> ")?;
        let (seconds, zone) = when.split_once(' ')?;
        let (hours, minutes) = (zone.get(1..3)?.parse::<i32>().ok()?, zone.get(3..5)?.parse::<i32>().ok()?);
        let sign = if zone.starts_with('-') { -1 } else { 1 };
        let time = Time::new(seconds.parse().ok()?, sign * (hours * 60 + minutes));
        Signature::new(name, email, &time).ok()
    };
    parts().ok_or_else(unknown)
}

fn ident(site: &Site, name: &str) -> Result<String, CliError> {
    match git(site.repository()?.path(), &["var", name]) {
        Ok(identity) => Ok(identity),
        Err(error @ GitError::Missing(_)) => Err(error.into()),
        Err(GitError::Refused { .. }) => Err(unknown()),
    }
}

fn unknown() -> CliError {
    CliError::new("git does not know who you are").help("tell it once, with your own name and address: `git config --global user.name \"Ada Brandt\"` and `git config --global user.email ada@school.example`")
}
