//! The command line: one file a command, whose docs are the help text, each with one function that
//! calls the library and reports.

mod check;
mod cite;
mod completions;
mod coverage;
mod diff_driver;
mod draft;
mod error;
mod explain;
#[cfg(debug_assertions)]
mod fault;
mod find;
mod format;
mod hook;
mod hooks;
mod identity;
mod map;
mod merge_driver;
mod output;
mod plan;
mod print;
mod progress;
mod propose;
mod publish;
mod quiz;
mod receive;
mod reconcile;
mod release;
mod repairing;
mod review;
mod settle;
mod start;
mod tidy;
mod tour;
mod verify;
mod world;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use world::World;

/// Revision cards of a department as plain text in git: checked before they are shared, reviewed and
/// merged card by card, released in packs that a year group can revise from.
#[derive(Debug, Parser)]
#[command(name = "deckle", version, max_term_width = 100, arg_required_else_help = true, subcommand_required = true)]
#[command(
    after_help = "Exit status: 0 fine; 1 findings of level error, or something undecided; 2 the command could not do its work."
)]
struct Cli {
    /// Run as if in this folder.
    #[arg(short = 'C', value_name = "DIR", global = true)]
    folder: Option<PathBuf>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Start(start::Arguments),
    Hooks(hooks::Arguments),
    Hook(hook::Arguments),
    Check(check::Arguments),
    Explain(explain::Arguments),
    Draft(draft::Arguments),
    Cite(cite::Arguments),
    Coverage(coverage::Arguments),
    Find(find::Arguments),
    Review(review::Arguments),
    Propose(propose::Arguments),
    Reconcile(reconcile::Arguments),
    Settle(settle::Arguments),
    Tidy(tidy::Arguments),
    Release(release::Arguments),
    Verify(verify::Arguments),
    Publish(publish::Arguments),
    Print(print::Arguments),
    Plan(plan::Arguments),
    Quiz(quiz::Arguments),
    Map(map::Arguments),
    Tour(tour::Arguments),
    MergeDriver(merge_driver::Arguments),
    DiffDriver(diff_driver::Arguments),
    Receive(receive::Arguments),
    Completions(completions::Arguments),
}

/// How a command ended, when it could do its work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    Fine,
    Findings,
}

/// The command that git calls for each deck of a merge, with the definition that it has in [`Command`] too:
/// building those of all the others takes a good part of the time that such a merge does.
#[derive(Debug, Parser)]
#[command(name = "deckle")]
enum ForGit {
    MergeDriver(merge_driver::Arguments),
}

impl Cli {
    /// Whatever is unusual about the arguments is for the whole definition to judge.
    fn from_arguments(arguments: &[OsString]) -> Self {
        if arguments.get(1).is_some_and(|first| first == "merge-driver")
            && let Ok(ForGit::MergeDriver(called)) = ForGit::try_parse_from(arguments)
        {
            return Self { folder: None, command: Command::MergeDriver(called) };
        }
        Self::parse_from(arguments)
    }
}

/// Runs the command that the arguments name and gives the exit status.
pub fn run() -> ExitCode {
    let cli = Cli::from_arguments(&std::env::args_os().collect::<Vec<_>>());
    #[cfg(debug_assertions)]
    fault::plan();
    // Git holds objects against their ids when they arrive and in `git fsck`, and not whenever it reads them.
    git2::opts::strict_hash_verification(false);
    let world = World::new(cli.folder);
    let outcome = match &cli.command {
        Command::Start(arguments) => start::run(arguments, &world),
        Command::Hooks(arguments) => hooks::run(arguments, &world),
        Command::Hook(arguments) => hook::run(arguments, &world),
        Command::Check(arguments) => progress::shown("checking the cards", |_| check::run(arguments, &world)),
        Command::Explain(arguments) => explain::run(arguments),
        Command::Draft(arguments) => draft::run(arguments, &world),
        Command::Cite(arguments) => cite::run(arguments, &world),
        Command::Coverage(arguments) => coverage::run(arguments, &world),
        Command::Find(arguments) => find::run(arguments, &world),
        Command::Review(arguments) => review::run(arguments, &world),
        Command::Propose(arguments) => propose::run(arguments, &world),
        Command::Reconcile(arguments) => reconcile::run(arguments, &world),
        Command::Receive(arguments) => receive::run(arguments, &world),
        Command::Settle(arguments) => settle::run(arguments, &world),
        Command::Tidy(arguments) => tidy::run(arguments, &world),
        Command::Release(arguments) => release::run(arguments, &world),
        Command::Verify(arguments) => verify::run(arguments, &world),
        Command::Publish(arguments) => publish::run(arguments, &world),
        Command::Print(arguments) => print::run(arguments, &world),
        Command::Plan(arguments) => plan::run(arguments, &world),
        Command::Quiz(arguments) => quiz::run(arguments, &world),
        Command::Map(arguments) => map::run(arguments, &world),
        Command::Tour(arguments) => tour::run(arguments, &world),
        Command::DiffDriver(arguments) => diff_driver::run(arguments, &world),
        Command::MergeDriver(arguments) => merge_driver::run(arguments, &world),
        Command::Completions(arguments) => completions::run(arguments, &mut Cli::command()),
    };
    #[cfg(debug_assertions)]
    fault::count();
    match outcome {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Findings) => ExitCode::from(1),
        Err(error) => error.report(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_way_for_git_reads_arguments_as_the_whole_definition_does() {
        let usual = "deckle merge-driver .base .ours .theirs --path decks/a/cards.yaml --ours-name HEAD --theirs-name";
        for last in ["ben", "%Y", ""] {
            let arguments: Vec<OsString> = usual.split(' ').chain([last]).map(OsString::from).collect();
            let ForGit::MergeDriver(short) = ForGit::try_parse_from(&arguments).expect("as git calls it");
            let whole = Cli::try_parse_from(&arguments).expect("as git calls it");
            assert_eq!(whole.folder, None);
            assert_eq!(format!("{:?}", whole.command), format!("MergeDriver({short:?})"));
            assert_eq!(format!("{:?}", Cli::from_arguments(&arguments)), format!("{whole:?}"));
        }
        let elsewhere: Vec<OsString> =
            "deckle merge-driver -C there a b c --path p".split(' ').map(OsString::from).collect();
        assert_eq!(Cli::from_arguments(&elsewhere).folder, Some(PathBuf::from("there")));
    }
}
