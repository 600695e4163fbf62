//! The demonstration department keeps its own rules.

use deckle::check;
use deckle::finding::Level;

use crate::support::demonstration;

#[test]
fn the_demonstration_has_no_error_and_no_warning() {
    let report = check::check(&demonstration());
    let bad = report.findings.iter().filter(|finding| finding.level != Level::Advice);
    let bad: Vec<_> = bad
        .map(|finding| {
            let place = &finding.place;
            format!("{}:{} {}: {} ({:?})", place.path, place.start.line, finding.rule, finding.message, finding.card)
        })
        .collect();
    assert!(bad.is_empty(), "{}", bad.join("\n"));
}

#[test]
fn its_waiver_is_needed() {
    let mut department = demonstration();
    let cards = department.decks.iter_mut().flat_map(|deck| &mut deck.cards);
    let waived: Vec<_> =
        cards.filter(|card| !card.allow.is_empty()).map(|card| (card.id.value.clone(), card.allow.clear())).collect();
    let waived: Vec<_> = waived.into_iter().map(|(id, ())| id).collect();
    let report = check::check(&department);
    let found: Vec<_> = report.findings.iter().filter(|finding| finding.level == Level::Warning).collect();
    assert_eq!(waived, ["hail-not-snow"]);
    assert_eq!(
        found.iter().map(|finding| (finding.rule, finding.card.as_deref())).collect::<Vec<_>>(),
        [("giveaway", Some("hail-not-snow"))]
    );
}

#[test]
fn any_number_of_threads_finds_the_same() {
    let department = demonstration();
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| check::check(&department).findings)
    };
    assert_eq!(with(1), with(8));
}

#[test]
fn its_formulas_can_be_shown_and_read_aloud() {
    let department = demonstration();
    let cards = department.decks.iter().flat_map(|deck| &deck.cards).flat_map(|card| &card.questions);
    let texts = cards.flat_map(|question| {
        let texts = std::iter::once(&question.question).chain(&question.answer.points);
        texts.chain(&question.accept).chain(&question.quotes).map(|text| text.value.as_str())
    });
    let texts: Vec<_> = texts.chain(department.notes.values().map(|notes| &*notes.text)).collect();
    let mut formulas = 0;
    for text in texts {
        for formula in deckle::markup::parse(text).formulas() {
            formulas += 1;
            let maths = formula.maths.as_ref().unwrap_or_else(|error| panic!("{}: {error}", formula.literal()));
            let said = deckle::markup::maths::aloud(maths);
            assert!(!said.is_empty() && !said.contains(['\\', '{', '$']), "{}: {said}", formula.literal());
        }
    }
    assert!(formulas >= 10, "{formulas} formulas");
}
