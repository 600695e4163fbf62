//! The story that the tour plays.

use super::stage::{Ends, Person, Stage};
use crate::cli::error::CliError;

const LEAD: Person = Person { name: "Mary Okonjo", email: "m.okonjo@ambleford-quay.example" };
const ADA: Person = Person { name: "Ada Brandt", email: "a.brandt@ambleford-quay.example" };
const BEN: Person = Person { name: "Ben Castell", email: "b.castell@ambleford-quay.example" };

const PACK: &str = "../packs/geography-year-8-autumn-2026-edition-2.zip";
const RIVERS: &str = "decks/year-8/rivers/cards.yaml";
const RIVER_NOTES: &str = "decks/year-8/rivers/notes.md";

const GOOD: &str = "
  - id: plunge-pool
    question: What do fallen blocks scour out at the foot of a waterfall?
    answer: A deep plunge pool
    accept: [A plunge pool]
    source: notes.md#waterfalls
    quote: Fallen blocks swirl about at the bottom and scour out a deep plunge pool.
    needs: [waterfall]
";

const OVERLOADED: &str = "
  - id: river-story
    question: What happens to a river from the hills to the sea?
    answer: A river begins at its source, usually in the hills, and ends at its mouth, where it meets the sea, a lake or \
                          another river, and on the way it gathers water from smaller streams, wears away its bed and banks, \
                          carries its load and drops it again when it loses energy.
    source: notes.md#drainage-basins
    quote: A river begins at its source, usually in the hills, and ends at its mouth, where it meets the sea, a lake or another river.
";

const DUPLICATE: &str = "
  - id: wearing-stones
    question: What is attrition?
    answer: The knocking together of stones in the water, which makes them smaller and rounder.
    source: notes.md#erosion
    quote: Attrition is the knocking together of stones in the water, which makes them smaller and rounder.
";

const BENS: &str = "
  - id: flood-plain-soil
    question: Why is a flood plain useful to people although it may go under water?
    answer: The soil there makes good farmland.
    source: notes.md#flood-plains
    quote: The soil there makes good farmland, but houses and roads built on it may flood.
    needs: [flood-plain]
";

const LEVEE: &str =
    "    answer: A raised bank beside a river, built up from material dropped when the river overflows.";

/// File, old text, new text.
const CORRECTION: &[(&str, &str, &str)] = &[
    (
        RIVER_NOTES,
        "a velocity of 0.5 metres per second has a discharge of 3 cubic metres per second",
        "a velocity of 0.6 metres per second has a discharge of 3.6 cubic metres per second",
    ),
    (
        RIVERS,
        "and a velocity of 0.5 metres per second. What is its discharge?\n    answer: 3 cubic metres per second",
        "and a velocity of 0.6 metres per second. What is its discharge?\n    answer: 3.6 cubic metres per second",
    ),
    (
        RIVERS,
        "a velocity of 0.5 metres per second has a discharge of 3 cubic metres per second",
        "a velocity of 0.6 metres per second has a discharge of 3.6 cubic metres per second",
    ),
];

pub fn play(stage: &mut Stage) -> Result<(), CliError> {
    open(stage)?;
    propose(stage)?;
    second_proposal(stage)?;
    merge(stage)?;
    decide(stage)?;
    release(stage)?;
    correct(stage)?;
    close(stage)?;
    look(stage)
}

fn open(stage: &mut Stage) -> Result<(), CliError> {
    stage.say("A department of an invented school keeps its revision cards as plain text in git.\nEverything below is run for real; `$` marks a command, and under it stands what it printed.")?;
    stage.quietly(LEAD, &["git", "init", "--quiet", "--initial-branch=main"])?;
    stage.quietly(LEAD, &["git", "add", "--all"])?;
    stage.quietly(LEAD, &["git", "commit", "--quiet", "--message", "The department's cards"])?;
    stage.step("The department", "Every clone switches on the hooks once; then the cards are checked.")?;
    stage.run(LEAD, Ends::Well, &["deckle", "hooks"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "check"])
}

fn propose(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "A teacher proposes a card",
        "Ada Brandt makes one card from one sentence of the notes, on a branch of her own.",
    )?;
    stage.quietly(ADA, &["git", "switch", "--quiet", "--create", "ada-plunge-pool"])?;
    stage.append(RIVERS, GOOD)?;
    stage.run(ADA, Ends::Well, &["git", "commit", "--all", "--message", "rivers: a card on plunge pools"])?;
    stage
        .step("A card that holds too much", "The hook refuses it before anybody else sees it, and says what to do.")?;
    stage.append(RIVERS, OVERLOADED)?;
    stage.run(ADA, Ends::Refusing, &["git", "commit", "--all", "--message", "rivers: the whole story"])?;
    stage.quietly(ADA, &["git", "restore", RIVERS])?;
    stage.step("A question that is asked already", "So is a second card for the same question.")?;
    stage.append(RIVERS, DUPLICATE)?;
    stage.run(ADA, Ends::Refusing, &["git", "commit", "--all", "--message", "rivers: attrition"])?;
    stage.quietly(ADA, &["git", "restore", RIVERS])
}

fn second_proposal(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "A colleague's proposal",
        "Meanwhile Ben Castell adds a card at the same place, and edits another one.",
    )?;
    stage.quietly(BEN, &["git", "switch", "--quiet", "main"])?;
    stage.quietly(BEN, &["git", "switch", "--quiet", "--create", "ben-flood-plains"])?;
    stage.append(RIVERS, BENS)?;
    stage.replace(
        RIVERS,
        "    question: What is a drainage basin?\n",
        "    question: What do geographers mean by a drainage basin?\n",
    )?;
    stage.run(BEN, Ends::Well, &["git", "commit", "--all", "--message", "rivers: why people live on flood plains"])
}

fn merge(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "The lead reviews it, card by card",
        "Mary Okonjo, who leads the department, sees what Ben's proposal does to the cards.",
    )?;
    stage.quietly(LEAD, &["git", "switch", "--quiet", "main"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "review", "main..ben-flood-plains"])?;
    stage.step(
        "Two proposals that merge by themselves",
        "Both add a card at the end of the same file; line by line that would be a conflict.",
    )?;
    stage.run(LEAD, Ends::Well, &["git", "merge", "--no-edit", "--no-ff", "--quiet", "ada-plunge-pool"])?;
    stage.run(LEAD, Ends::Well, &["git", "merge", "--no-edit", "--no-ff", "--quiet", "ben-flood-plains"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "check", "--since", "HEAD~2"])
}

fn decide(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "One answer edited twice",
        "Ada and Ben reword the same answer. The merge blends nothing: both stay on the card, with who wrote them.",
    )?;
    stage.quietly(ADA, &["git", "switch", "--quiet", "--create", "ada-levee"])?;
    stage.replace(
        RIVERS,
        LEVEE,
        "    answer: A raised bank beside a river, built up from material that the river dropped.",
    )?;
    stage.quietly(ADA, &["git", "commit", "--quiet", "--all", "--message", "rivers: levees, shorter"])?;
    stage.quietly(BEN, &["git", "switch", "--quiet", "main"])?;
    stage.quietly(BEN, &["git", "switch", "--quiet", "--create", "ben-levee"])?;
    stage.replace(RIVERS, LEVEE, "    answer: A raised bank beside a river, built up when the river overflows.")?;
    stage.quietly(BEN, &["git", "commit", "--quiet", "--all", "--message", "rivers: levees in plain words"])?;
    stage.quietly(LEAD, &["git", "switch", "--quiet", "main"])?;
    stage.run(LEAD, Ends::Well, &["git", "merge", "--no-edit", "--no-ff", "--quiet", "ada-levee"])?;
    stage.run(LEAD, Ends::Refusing, &["git", "merge", "--no-edit", "ben-levee"])?;
    stage.step("Until it is settled, it cannot be committed", "The hook sees to that; then the lead decides.")?;
    stage.run(LEAD, Ends::Refusing, &["git", "commit", "--all", "--no-edit"])?;
    stage.run(LEAD, Ends::Refusing, &["deckle", "settle"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "settle", "levee", "answer", "--take", "ours"])?;
    stage.run(LEAD, Ends::Well, &["git", "commit", "--all", "--no-edit", "--quiet"])
}

fn release(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "The term's pack",
        "The lead releases the autumn pack for year 8: numbered, tagged, and built from the commit alone.",
    )?;
    stage.run(LEAD, Ends::Well, &["deckle", "release", "--year", "8", "--term", "autumn", "--out", "../packs"])?;
    stage.say("Asked again, with nothing new, it makes no second edition.")?;
    stage.run(LEAD, Ends::Well, &["deckle", "release", "--year", "8", "--term", "autumn", "--out", "../packs"])
}

fn correct(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "The notes are corrected",
        "A colleague finds a slip in the worked example. The notes are put right, and the card stays behind.",
    )?;
    let (notes, card) = CORRECTION.split_at(1);
    for (path, old, new) in notes {
        stage.replace(path, old, new)?;
    }
    stage.run(LEAD, Ends::Refusing, &["deckle", "check", "--since", "HEAD"])?;
    stage.step("So is the card", "Now both say the same; the review shows what pupils must learn anew.")?;
    for (path, old, new) in card {
        stage.replace(path, old, new)?;
    }
    stage.run(
        LEAD,
        Ends::Well,
        &["git", "commit", "--all", "--quiet", "--message", "rivers: correct the worked example"],
    )?;
    stage.run(LEAD, Ends::Well, &["deckle", "review", "HEAD~1..HEAD"])
}

fn close(stage: &mut Stage) -> Result<(), CliError> {
    stage.step("The second edition", "What was corrected leads the list of changes.")?;
    stage.run(LEAD, Ends::Well, &["deckle", "release", "--year", "8", "--term", "autumn", "--out", "../packs"])?;
    stage.step(
        "Is this the pack that was released?",
        "Anybody who holds a pack can ask; nothing in it can change unseen.",
    )?;
    stage.run(LEAD, Ends::Well, &["deckle", "verify", PACK])
}

fn look(stage: &mut Stage) -> Result<(), CliError> {
    stage.step(
        "Paper, a picture and a page",
        "The pack holds all that pupils need. For other printers its cards come in other sizes, and the corrected ones \
         alone; a lesson begins with ten questions; the map shows what leans on what; a review is a page to read on a phone.",
    )?;
    let printed = ["--paper", "a6", "--flip", "short", "--out", "../printed"];
    stage.run(LEAD, Ends::Well, &[&["deckle", "print", PACK][..], &printed].concat())?;
    stage.run(LEAD, Ends::Well, &["deckle", "print", PACK, "--corrections", "--out", "../printed"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "quiz", "--year", "8", "--on", "2026-11-25", "--out", "../quiz.pdf"])?;
    stage.run(LEAD, Ends::Well, &["deckle", "map", "--year", "8", "--out", "../map.svg"])?;
    stage.keep(LEAD, &["deckle", "review", "HEAD~1..HEAD", "--format", "html"], "review.html")?;
    stage.step(
        "On the shelf",
        "Both editions go to a folder that any web server or shared drive can hold, with a page for pupils.",
    )?;
    stage.run(LEAD, Ends::Well, &["deckle", "publish", "--shelf", "../shelf", "--from", "../packs"])
}
