//! `deckle reconcile`.

use clap::Args;
use git2::{Oid, Repository};
use serde::Serialize;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, identity, output, progress};
use crate::change::{Counts, changes};
use crate::check::{self, brought_in};
use crate::deck::Department;
use crate::finding::{Finding, Level};
use crate::git::reconcile::{
    Blocked, Memory, Merger, OpenFile, ReconcileError, Reconciled, Tip, Touched, Unfinished, blocked, changed_decks,
    commit_merge, commit_to_branch, fast_forward, reconcile, start_merge, unfinished,
};
use crate::progress::Progress;
use crate::report::{counted, json, reconcile as shown};
use crate::snapshot::{CommitSnapshot, SnapshotError};

/// Put proposals together, card by card, across decks
///
/// Takes any number of branches and makes one merge commit of all. Cards are found by their ids
/// wherever they are. What two people changed in different ways is left for you to settle; until
/// then git is in the middle of a merge, and `git merge --abort` takes everything back.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The branches to put together.
    #[arg(required = true, value_name = "BRANCH")]
    branches: Vec<String>,
    /// Show what would come of it, and write nothing.
    #[arg(long)]
    dry_run: bool,
    /// Where everything goes, when that branch is not checked out; needed in a bare repository.
    #[arg(long, value_name = "BRANCH")]
    into: Option<String>,
    /// How to report; JSON by schema/reconcile.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    progress::shown("reading the proposals", |progress| put_together(arguments, world, progress))
}

fn put_together(arguments: &Arguments, world: &World, progress: &dyn Progress) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let repository = site.repository()?;
    let into = into(repository, arguments.into.as_deref())?;
    let branches: Result<Vec<Tip>, CliError> = arguments.branches.iter().map(|name| tip(repository, name)).collect();
    let branches = branches?;
    let checked_out = arguments.into.is_none();
    let odb = repository.odb().map_err(SnapshotError::git("the repository's store"))?;
    let memory = Memory::new(&odb)?;
    let merger = Merger::new(repository, &site.prefix);
    progress.step(&format!("putting {} together", counted(branches.len(), "proposal", "proposals")));
    let Some(merged) = reconcile(&merger, &into, &branches)? else {
        return nothing(arguments, &into, &branches);
    };
    progress.step("checking what comes of it");
    let mut summary = summary(&merger, &merged, &branches)?;
    if checked_out {
        refuse_unfinished(repository, &merged)?;
        refuse_blocked(&blocked(repository, &merged)?, &merged)?;
    }
    let ready = merged.is_clean() && !summary.brings_in_errors();
    summary.state = match (ready, arguments.dry_run, checked_out) {
        (_, true, _) => State::DryRun,
        (true, _, _) => State::Merged,
        (false, _, true) => State::Stopped,
        (false, _, false) => State::Refused,
    };
    // Git may ask for the passphrase of the key to sign with.
    progress.rest();
    if arguments.dry_run || !checked_out && !ready {
        return report(arguments, world, &summary, ready);
    }
    if ready && !merged.fast_forward {
        identity::is_known(&site)?;
    }
    // Said before anything is written: whatever happens then, people know what it is about.
    if matches!(arguments.format, Format::Text) {
        output::result(&shown::summary(&summary.as_shown(), world.width()))?;
    }
    memory.keep(repository, &merged)?;
    let commit = match arguments.into.as_deref() {
        Some(branch) => Some(commit_to_branch(repository, &merged, branch)?),
        None => write(repository, &merged, ready)?,
    };
    summary.commit = commit.map(|id| id.to_string());
    match arguments.format {
        Format::Text => output::result(&shown::ending(&summary.as_shown()))?,
        Format::Json => output::result(&json::pretty(&summary))?,
    }
    Ok(outcome(ready))
}

fn outcome(ready: bool) -> Outcome {
    if ready { Outcome::Fine } else { Outcome::Findings }
}

fn report(arguments: &Arguments, world: &World, summary: &Summary, ready: bool) -> Result<Outcome, CliError> {
    output::result(&match arguments.format {
        Format::Text => {
            let summary = summary.as_shown();
            shown::summary(&summary, world.width()) + &shown::ending(&summary)
        }
        Format::Json => json::pretty(summary),
    })?;
    Ok(outcome(ready))
}

/// Into the working folder: the commit, or with something to decide the state of a merge.
fn write(repository: &Repository, merged: &Reconciled, ready: bool) -> Result<Option<Oid>, CliError> {
    if ready && merged.fast_forward {
        fast_forward(repository, merged)?;
        return Ok(Some(merged.branches[0].id));
    }
    start_merge(repository, merged)?;
    if !ready {
        return Ok(None);
    }
    commit_merge(repository).map(Some).map_err(|error| {
        let error = CliError::from(error);
        error.help("everything is merged but not committed: put it right, then `git add` and `git commit`; or `git merge --abort` to take it back")
    })
}

fn into(repository: &Repository, name: Option<&str>) -> Result<Tip, CliError> {
    let head = repository.head().ok();
    let current = head.as_ref().and_then(|head| head.shorthand().ok()).map(str::to_owned);
    let Some(name) = name else {
        if repository.is_bare() {
            return Err(CliError::new("this is a bare repository, which has no branch checked out")
                .help("say where everything goes: `deckle reconcile BRANCH… --into main`"));
        }
        let commit = head.as_ref().and_then(|head| head.peel_to_commit().ok());
        let commit = commit.ok_or_else(|| CliError::new("there is no commit here yet to put proposals into"))?;
        return Ok(Tip { name: current.unwrap_or_else(|| "HEAD".to_owned()), id: commit.id() });
    };
    if !repository.is_bare() && current.as_deref() == Some(name) {
        return Err(CliError::new(format!("`{name}` is checked out here")).help("leave out `--into`"));
    }
    let Ok(branch) = repository.find_branch(name, git2::BranchType::Local) else {
        return Err(no_branch(repository, name)?);
    };
    let commit = branch.get().peel_to_commit().map_err(SnapshotError::git(format!("the branch `{name}`")))?;
    Ok(Tip { name: name.to_owned(), id: commit.id() })
}

fn tip(repository: &Repository, name: &str) -> Result<Tip, CliError> {
    let commit = |name: &str| repository.revparse_single(name).and_then(|object| object.peel_to_commit());
    let found = commit(name).or_else(|error| commit(&format!("origin/{name}")).map_err(|_| error));
    match found {
        Ok(commit) => Ok(Tip { name: name.to_owned(), id: commit.id() }),
        Err(_) => Err(no_branch(repository, name)?),
    }
}

/// There is no branch of that name, but perhaps one with nearly the same.
fn no_branch(repository: &Repository, name: &str) -> Result<CliError, CliError> {
    let branches = repository.branches(None).map_err(SnapshotError::git("the branches"))?;
    let names: Vec<String> = branches.filter_map(|branch| branch.ok()?.0.name().ok()?.map(str::to_owned)).collect();
    let error = CliError::new(format!("there is no branch `{name}`"));
    Ok(match crate::deck::fields::nearest(name, names.iter().map(String::as_str)) {
        Some(near) => error.help(format!("did you mean `{near}`?")),
        None => error.help("`git branch --all` lists them"),
    })
}

fn nothing(arguments: &Arguments, into: &Tip, branches: &[Tip]) -> Result<Outcome, CliError> {
    let summary = Summary {
        format: 1,
        state: State::Nothing,
        into: into.name.clone(),
        branches: branches.iter().map(|tip| BranchSummary::new(tip, None)).collect(),
        ..Summary::default()
    };
    output::result(&match arguments.format {
        Format::Text => shown::ending(&summary.as_shown()),
        Format::Json => json::pretty(&summary),
    })?;
    Ok(Outcome::Fine)
}

/// Another merge, or a rebase, must be finished first; the same merge may be run again.
fn refuse_unfinished(repository: &Repository, merged: &Reconciled) -> Result<(), CliError> {
    match unfinished(repository) {
        Unfinished::Nothing => Ok(()),
        Unfinished::Merge(heads) if heads.iter().eq(merged.branches.iter().map(|tip| &tip.id)) => Ok(()),
        Unfinished::Merge(_) => Err(CliError::new("git is in the middle of another merge")
            .help("finish it (`deckle settle`, `git add`, `git commit`), or take it back with `git merge --abort`")),
        Unfinished::Other => Err(CliError::new("git is in the middle of a rebase or the like")
            .help("`git status` says how to finish it or take it back")),
    }
}

fn refuse_blocked(blocked: &Blocked, merged: &Reconciled) -> Result<(), CliError> {
    if blocked.is_empty() {
        return Ok(());
    }
    let mut lines: Vec<String> = Vec::new();
    lines.extend(blocked.staged.iter().map(|path| format!("  {path} (staged)")));
    lines.extend(blocked.changed.iter().map(|path| format!("  {path}")));
    let names: Vec<&str> = merged.branches.iter().map(|tip| tip.name.as_str()).collect();
    let error = CliError::new(format!(
        "your own changes to these files are not committed, and putting {} together would touch them:\n{}",
        names.join(", "),
        lines.join("\n")
    ));
    Err(error.help("commit them first, or put them aside with `git stash`; nothing was changed"))
}

/// What comes of it, by `schema/reconcile.schema.json`.
#[derive(Debug, Default, Serialize)]
struct Summary {
    format: u8,
    state: State,
    into: String,
    commit: Option<String>,
    branches: Vec<BranchSummary>,
    undecided: Vec<OpenSummary>,
    conflicts: Vec<ConflictSummary>,
    renamed: Vec<RenamedSummary>,
    brought_in: Vec<Finding>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
enum State {
    /// All of it is there already.
    #[default]
    Nothing,
    /// Nothing was written because nothing was to be.
    DryRun,
    /// One commit holds all.
    Merged,
    /// In the middle of the merge, for somebody to decide.
    Stopped,
    /// Nothing was written because somebody has to decide, which cannot be done here.
    Refused,
}

#[derive(Debug, Serialize)]
struct BranchSummary {
    name: String,
    commit: String,
    /// None when it brings nothing that is not there.
    cards: Option<Counts>,
}

impl BranchSummary {
    fn new(tip: &Tip, cards: Option<Counts>) -> Self {
        Self { name: tip.name.clone(), commit: tip.id.to_string(), cards }
    }
}

#[derive(Debug, Serialize)]
struct OpenSummary {
    deck: String,
    card: String,
    field: String,
    versions: Vec<crate::deck::Value>,
}

#[derive(Debug, Serialize)]
struct ConflictSummary {
    path: String,
    with: String,
    marked: bool,
}

#[derive(Debug, Serialize)]
struct RenamedSummary {
    branch: String,
    from: String,
    to: String,
}

impl Summary {
    fn brings_in_errors(&self) -> bool {
        self.brought_in.iter().any(|finding| finding.level == Level::Error && finding.rule != "undecided")
    }

    fn as_shown(&self) -> shown::Shown<'_> {
        shown::Shown {
            state: match self.state {
                State::Nothing => shown::State::Nothing,
                State::DryRun => shown::State::DryRun,
                State::Merged => shown::State::Merged,
                State::Stopped => shown::State::Stopped,
                State::Refused => shown::State::Refused,
            },
            into: &self.into,
            commit: self.commit.as_deref(),
            branches: self.branches.iter().map(|branch| (branch.name.as_str(), branch.cards.as_ref())).collect(),
            undecided: self
                .undecided
                .iter()
                .map(|open| shown::Open {
                    deck: &open.deck,
                    card: &open.card,
                    field: &open.field,
                    versions: &open.versions,
                })
                .collect(),
            conflicts: self
                .conflicts
                .iter()
                .map(|conflict| (conflict.path.as_str(), conflict.with.as_str(), conflict.marked))
                .collect(),
            renamed: self.renamed.iter().map(|new| (new.branch.as_str(), new.from.as_str(), new.to.as_str())).collect(),
            brought_in: &self.brought_in,
        }
    }
}

fn summary(merger: &Merger<'_>, merged: &Reconciled, branches: &[Tip]) -> Result<Summary, CliError> {
    let mut of_branches = Vec::with_capacity(branches.len());
    for tip in branches {
        let brings = merged.branches.contains(tip);
        let counts = if brings { Some(counts(merger, merged.into.id, tip.id)?) } else { None };
        of_branches.push(BranchSummary::new(tip, counts));
    }
    let open = |open: &crate::git::reconcile::OpenValue| OpenSummary {
        deck: open.which.deck.clone(),
        card: open.which.card.clone(),
        field: open.which.field.clone(),
        versions: open.versions.clone(),
    };
    let conflict = |open: &crate::git::reconcile::OpenFile| ConflictSummary {
        path: open.path.clone(),
        with: open.with.clone(),
        marked: open.marked,
    };
    let renamed = |(branch, from, to): &(String, String, String)| RenamedSummary {
        branch: branch.clone(),
        from: from.clone(),
        to: to.clone(),
    };
    Ok(Summary {
        format: 1,
        into: merged.into.name.clone(),
        branches: of_branches,
        undecided: merged.undecided.iter().map(open).collect(),
        conflicts: merged.conflicts.iter().map(conflict).collect(),
        renamed: merged.renamed.iter().map(renamed).collect(),
        brought_in: together(merger, merged)?,
        ..Summary::default()
    })
}

/// How many cards a branch adds, edits, moves and removes since it parted.
fn counts(merger: &Merger<'_>, into: Oid, tip: Oid) -> Result<Counts, CliError> {
    let base = merger.repository.merge_base(into, tip).ok();
    let (before, now) = changed_decks(merger, base, tip)?;
    Ok(changes(&before, &now).counts())
}

/// Findings that the combination brings in, although where it goes and each branch alone has none of them.
///
/// They stand in the decks that the merge touches. Those that lean on the whole department are looked for
/// again over all of it.
fn together(merger: &Merger<'_>, merged: &Reconciled) -> Result<Vec<Finding>, CliError> {
    if let Some(touched) = Touched::new(merger, merged)? {
        let new = combined(merger, merged, |tree| touched.department(tree))?;
        if !new.iter().any(|finding| check::needs_whole(finding.rule)) {
            return Ok(new);
        }
    }
    let whole = |tree| Department::read(&CommitSnapshot::of_tree(merger.repository, tree, merger.prefix));
    combined(merger, merged, whole)
}

/// The same over the departments that `read` makes of trees.
fn combined(
    merger: &Merger<'_>,
    merged: &Reconciled,
    read: impl Fn(Oid) -> Result<Department, SnapshotError>,
) -> Result<Vec<Finding>, CliError> {
    let (now, before) = (read(merged.tree)?, read(merger.tree(merged.into.id)?)?);
    let (now, before) = rayon::join(|| check::check(&now).findings, || check::check(&before).findings);
    let mut new = brought_in(&before, &now);
    // What is undecided is told by itself, and so are files with both sides in them.
    let marked = |path: &str| {
        let at = |open: &OpenFile| open.path.strip_prefix(merger.prefix) == Some(path);
        merged.conflicts.iter().any(|open| open.marked && at(open))
    };
    new.retain(|finding| finding.rule != "undecided" && !(finding.rule == "unreadable" && marked(&finding.place.path)));
    for tip in &merged.branches {
        if new.is_empty() {
            break;
        }
        new = brought_in(&check::check(&read(merger.tree(tip.id)?)?).findings, &new);
    }
    Ok(new)
}

impl From<ReconcileError> for CliError {
    fn from(error: ReconcileError) -> Self {
        Self::new(error.to_string())
    }
}
