//! `deckle print`.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::error::CliError;
use super::world::World;
use super::{Outcome, output, verify};
use crate::check::Report;
use crate::deck::Department;
use crate::finding::Finding;
use crate::pack::print::{self, Backs, CardSize, Flip, Named, Options};
use crate::pack::{Pack, ReleaseError, Reprint, differences, of_commit, of_zip, zip_name};
use crate::report::{counted, terminal};
use crate::snapshot::write;

/// Print a pack's cards in another size, for another printer, or with lines in place of the answers
///
/// The cards come from the commit that the pack was built from, so run it in a clone of the department.
/// Without a pack, `--year` and `--term` print the cards as they are committed now.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The pack's zip file, released or a preview.
    #[arg(required_unless_present = "year", conflicts_with_all = ["year", "term"])]
    pack: Option<PathBuf>,
    /// The year group, to print without a pack.
    #[arg(long, value_name = "N", requires = "term")]
    year: Option<u8>,
    /// The term, as the settings name it.
    #[arg(long, value_name = "T", requires = "year")]
    term: Option<String>,
    /// Only the cards that were put right since the edition before, to replace the old ones.
    #[arg(long, requires = "pack")]
    corrections: bool,
    /// How large a card is; all are cut from A4. Without it, as the settings say under `print:`, else
    /// standard.
    #[arg(long, value_enum)]
    paper: Option<PaperWord>,
    /// On which edge your printer turns the paper. Without it, as the settings say, else long.
    #[arg(long, value_enum)]
    flip: Option<FlipWord>,
    /// What stands on the answer sides.
    #[arg(long, value_enum, default_value_t = BacksWord::Full)]
    backs: BacksWord,
    /// The folder for the PDF.
    #[arg(long, value_name = "DIR", default_value = ".")]
    out: PathBuf,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperWord {
    /// 95 × 68 mm, eight on a sheet, with a margin that every printer leaves.
    Standard,
    /// 105 × 74 mm, eight on a sheet, without a margin at the sides.
    A7,
    /// 105 × 148 mm, four on a sheet, without a margin at the sides.
    A6,
    /// 127 × 76 mm, index cards, four on a sheet that lies.
    Index,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum FlipWord {
    /// The long edge, like the pages of a book.
    Long,
    /// The short edge, like those of a notepad.
    Short,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum BacksWord {
    /// The answers.
    Full,
    /// Lines on which pupils write the answers themselves.
    Blank,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let repository = site.repository()?;
    let reprint = match (&arguments.pack, arguments.year, &arguments.term) {
        (Some(pack), ..) => of_zip(repository, &site.prefix, &verify::read(&world.path(pack))?),
        (None, Some(year), Some(term)) => of_commit(repository, &site.prefix, "HEAD", year, term),
        // The parser of the command line lets nothing else through.
        _ => return Err(CliError::new("name a pack, or a year group and a term")),
    };
    let printed = reprint.and_then(|reprint| {
        let files = if arguments.corrections { corrections(&reprint, arguments) } else { cards(&reprint, arguments) };
        Ok((files.map_err(ReleaseError::Findings)?, reprint.pack))
    });
    match printed {
        Ok((files, _)) if files.is_empty() => Err(nothing_put_right()),
        Ok((files, pack)) => written(files, &pack, arguments.corrections, &world.path(&arguments.out)),
        Err(ReleaseError::Findings(findings)) => refused(findings, world.width()),
        Err(error) => Err(CliError::new(error.to_string())),
    }
}

fn cards(reprint: &Reprint, arguments: &Arguments) -> Result<Vec<Named>, Vec<Finding>> {
    print::cards(&reprint.pack, &reprint.department, options(arguments, &reprint.department))
}

/// None when no card was put right.
fn corrections(reprint: &Reprint, arguments: &Arguments) -> Result<Vec<Named>, Vec<Finding>> {
    let Some(before) = &reprint.before else { return Ok(Vec::new()) };
    let (pack, department) = (&reprint.pack, &reprint.department);
    let options = options(arguments, department);
    let sheets = print::corrections(pack, before, &differences(before, pack), department, options)?;
    Ok(sheets
        .map(|bytes| (format!("corrections{}.pdf", options.suffix(Options::usual(department))), bytes))
        .into_iter()
        .collect())
}

fn nothing_put_right() -> CliError {
    let error = CliError::new("no card of this pack was put right since the edition before");
    error.help("leave out `--corrections` to print all its cards")
}

fn options(arguments: &Arguments, department: &Department) -> Options {
    let usual = Options::usual(department);
    Options {
        card: match arguments.paper {
            None => usual.card,
            Some(PaperWord::Standard) => CardSize::Standard,
            Some(PaperWord::A7) => CardSize::A7,
            Some(PaperWord::A6) => CardSize::A6,
            Some(PaperWord::Index) => CardSize::Index,
        },
        flip: match arguments.flip {
            None => usual.flip,
            Some(FlipWord::Long) => Flip::Long,
            Some(FlipWord::Short) => Flip::Short,
        },
        backs: match arguments.backs {
            BacksWord::Full => Backs::Answers,
            BacksWord::Blank => Backs::Blank,
        },
    }
}

fn written(files: Vec<Named>, pack: &Pack, corrections: bool, out: &Path) -> Result<Outcome, CliError> {
    let name = zip_name(&pack.department, pack.year, &pack.term, pack.edition);
    let name = name.trim_end_matches(".zip");
    let mut text = match corrections {
        true => format!("the cards that {} puts right:\n", pack.edition),
        false => format!("{} with {}:\n", pack.edition, counted(pack.cards.len(), "card", "cards")),
    };
    for (file, bytes) in files {
        let path = out.join(format!("{name}-{file}"));
        write::replace(&path, &bytes)?;
        text.push_str(&format!("  {}\n", path.display()));
    }
    output::result(&text)?;
    Ok(Outcome::Fine)
}

fn refused(findings: Vec<Finding>, width: usize) -> Result<Outcome, CliError> {
    let report = Report::new(findings, 0, 0);
    output::result(
        &report.findings.iter().map(|finding| terminal::finding(finding, width) + "\n").collect::<String>(),
    )?;
    output::note("deckle: nothing was printed: the cards have errors, or do not fit on cards of this size");
    Ok(Outcome::Findings)
}
