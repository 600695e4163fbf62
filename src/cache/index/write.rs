//! Putting an index into bytes.

use super::blocks::{Making, Section};
use super::bytes::Writer;
use crate::cache::stored;
use crate::check::partial::{KeptDeck, KeptQuestion, Overview, Record, Shares};
use crate::snapshot::{Kind, Listing};

/// The whole file.
pub fn bytes(program: &str, listing: &Listing, record: &Record) -> Vec<u8> {
    let mut making = Making::default();
    making.whole(Section::Listing, &listed(listing));
    making.whole(Section::Overview, &overview(record));
    making.records(Section::Decks, record.shares.iter().map(shares));
    making.records(Section::Ids, record.ids.iter().map(|ids| texts(ids)));
    making.records(Section::Questions, record.questions.iter().map(question));
    making.pairs(Section::DecksWith, &decks_with(record));
    making.pairs(Section::Groups, &record.common.keys);
    making.pairs(Section::Seen, &record.common.seen);
    making.pairs(Section::Holders, &record.common.holders);
    making.pairs(Section::Alike, &alike(record));
    making.whole(Section::Weights, &record.weights);
    making.finish(program)
}

fn listed(listing: &Listing) -> Vec<u8> {
    let mut out = Writer::default();
    out.text(&listing.store);
    out.text(listing.tree.as_deref().unwrap_or_default());
    for (path, id) in &listing.files {
        out.text(path);
        out.text(id);
    }
    out.0
}

fn overview(record: &Record) -> Vec<u8> {
    let Overview { decks, files, findings, strays, waivers, lost_ids } = &record.overview;
    let mut out = Writer::default();
    out.number(record.questions.len() as u32);
    out.number(decks.len() as u32);
    for KeptDeck { name, year, cards, first_question } in decks {
        out.text(name);
        out.number(year.map_or(0, |year| u32::from(year) + 1));
        out.number(*cards);
        out.number(*first_question);
    }
    let sizes: Vec<(&String, u64)> = files.iter().map(|(path, kind)| (path, size(*kind))).collect();
    out.number(sizes.len() as u32);
    for (path, size) in sizes {
        out.text(path);
        out.long(size);
    }
    out.number(lost_ids.len() as u32);
    for (deck, id) in lost_ids {
        out.number(*deck);
        out.text(id);
    }
    out.number(waivers.len() as u32);
    for (deck, waiver) in waivers {
        out.number(*deck);
        out.text(&waiver.card);
        out.text(&waiver.rule);
        out.number(u32::from(waiver.reasoned));
    }
    let otherwise: Vec<_> = waivers.iter().map(|(_, waiver)| &waiver.otherwise).collect();
    for list in [findings.iter().collect(), strays.iter().collect(), otherwise] {
        let bytes = stored::findings(&list);
        out.number(bytes.len() as u32);
        out.0.extend(bytes);
    }
    out.0
}

fn size(kind: Kind) -> u64 {
    match kind {
        Kind::File { size } => size,
        // There are none: nothing is kept of a department with such files.
        Kind::Link | Kind::Misnamed => 0,
    }
}

fn shares(shares: &Shares) -> Vec<u8> {
    let mut out = Writer::default();
    out.longs(&shares.ids);
    out.longs(&shares.links);
    out.longs(&shares.groups);
    out.longs(&shares.needs.iter().flat_map(|(from, to)| [*from, *to]).collect::<Vec<_>>());
    out.0
}

fn texts(texts: &[String]) -> Vec<u8> {
    let mut out = Writer::default();
    out.texts(texts);
    out.0
}

fn question(question: &KeptQuestion) -> Vec<u8> {
    let KeptQuestion { at: (card, number), said } = question;
    let mut out = Writer::default();
    out.number(*card);
    out.number(*number);
    out.long(said.form);
    out.number(u32::from(said.ordered) | u32::from(said.listed) << 1);
    out.text(&said.posed.question);
    out.texts(&said.posed.answer);
    out.texts(&said.posed.accept);
    out.0
}

fn decks_with(record: &Record) -> Vec<(u64, u32)> {
    let decks = record.shares.iter().enumerate();
    let mut pairs: Vec<(u64, u32)> =
        decks.flat_map(|(deck, shares)| shares.all().map(move |share| (share, deck as u32))).collect();
    pairs.sort_unstable();
    pairs
}

fn alike(record: &Record) -> Vec<(u64, u32)> {
    let both = record.pairs.iter().flat_map(|(one, other)| [(u64::from(*one), *other), (u64::from(*other), *one)]);
    let mut pairs: Vec<(u64, u32)> = both.collect();
    pairs.sort_unstable();
    pairs
}
