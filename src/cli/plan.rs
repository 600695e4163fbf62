//! `deckle plan`.

use clap::Args;

use super::error::CliError;
use super::format::Format;
use super::world::World;
use super::{Outcome, output};
use crate::deck::Department;
use crate::pack::the_term;
use crate::plan::Limits;
use crate::report::plan::{YearPlan, as_json, text};

/// Show when each topic comes back, by day, and where that is too much
///
/// Each topic of the scheme is asked again after the session's `review_days`. A check waits for the next
/// school day when it falls on a weekend or holiday, or when the day has as much as a session holds.
#[derive(Debug, Args)]
pub struct Arguments {
    /// Only this year group.
    #[arg(long, value_name = "N")]
    year: Option<u8>,
    /// Only topics of this term: `autumn`, or `autumn-2026` where that is not clear.
    #[arg(long, value_name = "T")]
    term: Option<String>,
    /// How to report; JSON by schema/plan.schema.json.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub fn run(arguments: &Arguments, world: &World) -> Result<Outcome, CliError> {
    let site = world.site()?;
    let department = Department::read(&*site.here()?)?;
    let term = arguments.term.as_ref().map(|name| the_term(&department.settings, name)).transpose();
    let term = term.map_err(|error| CliError::new(error.to_string()))?.map(|term| term.slug());
    let years = arguments.year.map_or_else(|| department.settings.years.clone(), |year| vec![year]);
    let plans: Vec<YearPlan<'_>> =
        years.into_iter().map(|year| YearPlan::new(&department, year, term.clone())).collect();
    let plans: Vec<YearPlan<'_>> = plans.into_iter().filter(|plan| !plan.is_empty()).collect();
    if plans.is_empty() {
        let error = CliError::new("the scheme has nothing to plan for");
        return Err(error.help("name decks, terms and days under `scheme:` in decks/department.yaml"));
    }
    let limits = Limits::of(&department);
    output::result(&match arguments.format {
        Format::Text => text(&plans, &limits),
        Format::Json => as_json(&plans, &limits),
    })?;
    Ok(Outcome::Fine)
}
