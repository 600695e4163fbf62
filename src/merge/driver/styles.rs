//! However a deck is typed, nothing of it is lost when two people edit it.

use super::super::label::Label;
use super::*;

const BASE: &str = "title: T\nyear: 8\ncards:\n  - id: a\n    question: QA\n    answer: A\n\n  - id: b\n    question: QB\n    answer: B\n";

fn label(side: usize, _: &str, _: &str) -> Label {
    Label { side: ["ours", "theirs"][side].to_owned(), by: None, when: None }
}

#[track_caller]
fn merged(base: &str, ours: &str, theirs: &str) -> MergedText {
    merge_texts(base, &[ours, theirs], &label).expect("readable")
}

/// Two edits of `base`, each one text for another, come out as both of them, byte for byte.
#[track_caller]
fn both(base: &str, ours: (&str, &str), theirs: (&str, &str)) {
    let edited = |text: &str, (old, new): (&str, &str)| {
        assert_eq!(text.matches(old).count(), 1, "`{old}` in {text}");
        text.replace(old, new)
    };
    let (one, two) = (edited(base, ours), edited(base, theirs));
    let wanted = edited(&one, theirs);
    for result in [merged(base, &one, &two), merged(base, &two, &one)] {
        assert_eq!(result.text, wanted);
        assert_eq!(result.undecided, []);
    }
}

/// Both versions of the answer of card `a`, which nobody has settled.
#[track_caller]
fn versions(result: &MergedText) -> Vec<String> {
    assert_eq!(result.undecided, [("a".to_owned(), "answer".to_owned())]);
    let parts = outline(&result.text).expect("readable");
    let undecided = parts.card("a").and_then(|card| card.value("undecided")).expect("undecided");
    let versions = undecided.get("answer").and_then(Value::as_list).expect("versions");
    versions.iter().map(|version| version.get("value").and_then(Value::as_text).expect("a text").to_owned()).collect()
}

#[test]
fn block_scalars_are_kept_line_for_line() {
    let base = BASE.replace("answer: A\n", "answer: |\n      one\n        two # no remark\n\n      three\n");
    both(&base, ("QA", "QA2"), ("      three", "      three\n      four"));
    both(&base, ("answer: |\n", "answer: |2-\n"), ("QB", "QB2"));
    let result = merged(&base, &base.replace("one", "uno"), &base.replace("three", "tre"));
    assert_eq!(versions(&result), ["one\n  two # no remark\n\ntre\n", "uno\n  two # no remark\n\nthree\n"]);
}

#[test]
fn folded_scalars_are_kept_line_for_line() {
    let base = BASE.replace("answer: A\n", "answer: >-\n      one\n      two\n\n      three\n");
    both(&base, ("QA", "QA2"), ("      three", "      three\n      four"));
    both(&base, ("answer: >-", "answer: >"), ("answer: B", "answer: B2"));
    let result = merged(&base, &base.replace("one", "uno"), &base.replace("three", "tre"));
    assert_eq!(versions(&result), ["one two\ntre", "uno two\nthree"]);
}

#[test]
fn flow_collections_merge_by_what_stands_in_them() {
    let base = BASE.replace("answer: A\n", "answer: A\n    accept: [one,\n      \"two, or so\"]\n");
    both(&base, ("QA", "QA2"), ("[one,", "[one, three,"));
    let result = merged(&base, &base.replace("[one,", "[one, four,"), &base.replace("[one,", "[one, three,"));
    let parts = outline(&result.text).expect("readable");
    let accept = parts.card("a").and_then(|card| card.value("accept")).and_then(Value::as_list).expect("a list");
    let accept: std::collections::BTreeSet<String> = accept.iter().map(Value::line).collect();
    assert_eq!(accept, ["four", "one", "three", "two, or so"].map(str::to_owned).into());

    let card = format!("{BASE}  - {{id: c, question: \"QC, {{why}}\", answer: [C, D]}} # in one line\n");
    both(&card, ("QA", "QA2"), ("[C, D]", "[C, E]"));
    let result = merged(&card, &card.replace("QC", "QC2"), &card.replace("[C, D]", "[C, E]"));
    let parts = outline(&result.text).expect("readable");
    let line = |field: &str| parts.card("c").and_then(|card| card.value(field)).map(Value::line);
    assert_eq!(line("question").as_deref(), Some("QC2, {why}"));
    assert_eq!(line("answer").as_deref(), Some("C; E"));
}

#[test]
fn anchors_keep_what_they_stand_for() {
    let base = BASE.replace("answer: A\n", "answer: &same A\n").replace("answer: B\n", "answer: *same\n");
    let (ours, theirs) = (base.replace("QA", "QA2"), base.replace("QB", "QB2").replace("&same A", "&same C"));
    for result in [merged(&base, &ours, &theirs), merged(&base, &theirs, &ours)] {
        assert_eq!(result.undecided, [], "{}", result.text);
        let parts = outline(&result.text).expect("readable");
        let line = |card: &str, field: &str| parts.card(card).and_then(|card| card.value(field)).map(Value::line);
        for (card, question) in [("a", "QA2"), ("b", "QB2")] {
            assert_eq!(line(card, "question").as_deref(), Some(question), "{}", result.text);
            assert_eq!(line(card, "answer").as_deref(), Some("C"), "{}", result.text);
        }
    }
}

#[test]
fn comments_between_fields_and_at_the_ends_are_kept() {
    let base = BASE.replace("    answer: A\n", "    # between\n    answer: A\n    # behind a\n");
    let base = format!("# first of all\n{base}    # behind b\n\n# last of all\n");
    both(&base, ("QA", "QA2"), ("# between", "# in between"));
    both(&base, ("# first of all", "# first"), ("# last of all", "# last"));
    both(&base, ("# behind a", "# behind a\n    # and more"), ("answer: A", "answer: A2"));
    both(&base, ("# behind b", "# after b"), ("QB", "QB2"));
    both(&base, ("# last of all\n", "# last of all\n# ours\n"), ("# behind b\n", ""));
}

#[test]
fn lines_that_end_as_on_windows_stay_so() {
    let base = format!("{BASE}# end\n").replace('\n', "\r\n");
    both(&base, ("QA", "QA2"), ("QB", "QB2"));
    both(&base, ("QA\r\n", "QA\r\n    tier: core\r\n"), ("answer: A", "answer: A2"));
    both(&base, ("# end", "# the end"), ("answer: B", "answer: |\r\n      one\r\n      two"));
}

#[test]
fn a_last_line_without_line_end_stays_so() {
    both(BASE.trim_end(), ("QA", "QA2"), ("answer: B", "answer: B2"));
    both(&format!("{BASE}# end"), ("QA", "QA2"), ("# end", "# the end"));
    let (short, ours, theirs) = (BASE.trim_end(), BASE.replace("QA", "QA2"), BASE.trim_end().replace("QB", "QB2"));
    assert_eq!(merged(short, &ours, &theirs).text, ours.replace("QB", "QB2"));
}

#[test]
fn remarks_at_one_line_s_end_edited_on_both_sides_are_both_kept() {
    let base = BASE.replace("answer: B\n", "answer: B # sic\n");
    let with = |text: &str| base.replace("answer: B # sic", text);
    let (ours, theirs) = (with("answer: B # see the atlas"), with("answer: B # asked in May"));
    let wanted = with("# see the atlas\n    answer: B # asked in May");
    assert_eq!(merged(&base, &ours, &theirs).text, wanted);
    assert_eq!(merged(&base, &theirs, &ours).text, wanted);
    let changed = with("answer: B2 # sic");
    assert_eq!(merged(&base, &changed, &theirs).text, with("answer: B2 # asked in May"));
    assert_eq!(merged(&base, &theirs, &changed).text, with("answer: B2 # asked in May"));
}

#[test]
fn remarks_stay_when_the_answer_is_undecided_or_a_list_is_written_anew() {
    let ours = BASE.replace("answer: A\n", "answer: A2 # measured\n");
    let theirs = BASE.replace("answer: A\n", "answer: A3 # from the atlas\n");
    let result = merged(BASE, &ours, &theirs);
    assert_eq!(versions(&result), ["A2", "A3"]);
    assert!(result.text.contains("    # from the atlas\n    # measured\n    answer: A\n"), "{}", result.text);

    let base = BASE.replace("answer: A\n", "answer: A\n    accept: [one] # old\n");
    let ours = base.replace("[one] # old", "[one, two] # old");
    let theirs = base.replace("[one] # old", "[one, three] # old and new");
    let result = merged(&base, &ours, &theirs);
    assert!(result.text.contains("# old and new") && result.text.contains("two") && result.text.contains("three"));
}

#[test]
fn remarks_on_a_field_that_both_added_are_kept_until_and_after_it_is_settled() {
    let ours = BASE.replace("answer: A\n", "answer: A\n    # mind the tide\n    caution: Hot # really\n");
    let theirs = BASE.replace("answer: A\n", "answer: A\n    caution: Cold # in winter\n");
    for result in [merged(BASE, &ours, &theirs), merged(BASE, &theirs, &ours)] {
        assert_eq!(result.undecided, [("a".to_owned(), "caution".to_owned())]);
        let settled =
            crate::merge::settle(&result.text, "a", "caution", &crate::merge::Choice::Side("ours".to_owned()));
        for text in [&result.text, &settled.expect("settled")] {
            for remark in ["# mind the tide", "# really", "# in winter"] {
                assert_eq!(text.matches(remark).count(), 1, "{remark}: {text}");
            }
        }
    }
}

#[test]
fn settling_a_field_keeps_the_remark_beside_it() {
    let ours = BASE.replace("answer: A\n", "answer: A2 # measured\n");
    let theirs = BASE.replace("answer: A\n", "answer: A3 # from the atlas\n");
    let result = merged(BASE, &ours, &theirs);
    let settled = crate::merge::settle(&result.text, "a", "answer", &crate::merge::Choice::Text("A4".to_owned()));
    let settled = settled.expect("settled");
    assert!(settled.contains("    # from the atlas\n    # measured\n    answer: A4\n"), "{settled}");
    let plain = result.text.replace("answer: A\n", "answer: A # sic\n");
    let settled = crate::merge::settle(&plain, "a", "answer", &crate::merge::Choice::Text("A4".to_owned()));
    assert!(settled.expect("settled").contains("# sic\n    answer: A4\n"));
}

#[test]
fn remarks_beside_anchors_and_in_cards_of_one_line_are_kept() {
    let base = BASE
        .replace("answer: A\n", "# from the atlas\n    answer: &same A # in knots\n")
        .replace("answer: B\n", "answer: *same # as above\n");
    let base = format!("{base}  - {{id: c, question: QC, answer: C}} # short\n");
    let (ours, theirs) = (base.replace("QA", "QA2"), base.replace("&same A", "&same A3"));
    let (ours, theirs) = (ours.replace("QB", "QB2").replace("QC", "QC2"), theirs.replace("answer: C}", "answer: C2}"));
    for result in [merged(&base, &ours, &theirs), merged(&base, &theirs, &ours)] {
        for remark in ["# from the atlas", "# in knots", "# as above", "# short"] {
            assert_eq!(result.text.matches(remark).count(), 1, "{remark}: {}", result.text);
        }
        let parts = outline(&result.text).expect("readable");
        let line = |card: &str, field: &str| parts.card(card).and_then(|card| card.value(field)).map(Value::line);
        assert_eq!(line("a", "answer").as_deref(), Some("A3"), "{}", result.text);
        assert_eq!(line("b", "answer").as_deref(), Some("A3"), "{}", result.text);
        assert_eq!(line("c", "answer").as_deref(), Some("C2"), "{}", result.text);
        assert_eq!(line("c", "question").as_deref(), Some("QC2"), "{}", result.text);
    }
}

#[test]
fn a_card_with_another_id_is_the_same_card_and_links_follow() {
    let base = BASE.replace("answer: A\n", "answer: A # sic\n");
    let ours = base.replace("- id: a\n", "- id: first\n");
    let theirs = base.replace("answer: A #", "answer: A2 #").replace("answer: B\n", "answer: B\n    needs: [a]\n");
    let wanted = ours.replace("answer: A #", "answer: A2 #").replace("answer: B\n", "answer: B\n    needs: [first]\n");
    for result in [merged(&base, &ours, &theirs), merged(&base, &theirs, &ours)] {
        assert_eq!(result.undecided, [], "{}", result.text);
        let values =
            |text: &str| outline(text).expect("readable").cards.iter().map(CardText::values).collect::<Vec<_>>();
        assert_eq!(values(&result.text), values(&wanted), "{}", result.text);
        assert!(result.text.contains("# sic"), "{}", result.text);
    }
    let other = base.replace("- id: a\n", "- id: other\n");
    let result = merged(&base, &ours, &other);
    assert_eq!(result.undecided, [("a".to_owned(), "id".to_owned())], "{}", result.text);
    let gone = base.replace("  - id: a\n    question: QA\n    answer: A # sic\n\n", "");
    let result = merged(&base, &ours, &gone);
    assert_eq!(result.undecided, [("first".to_owned(), "card".to_owned())], "{}", result.text);
}

#[test]
fn who_gives_a_card_the_id_that_another_gave_it_and_words_it_anew_has_the_same_card() {
    let theirs = BASE.replace("- id: a\n", "- id: first\n");
    let ours = theirs.replace("question: QA\n", "question: Another way\n");
    for result in [merged(BASE, &ours, &theirs), merged(BASE, &theirs, &ours)] {
        assert_eq!((result.text.as_str(), &*result.undecided), (ours.as_str(), &[][..]));
    }
    // Where the other still has the card, the two are told apart by what they ask.
    let both = ours.replace("  - id: b\n", "  - id: a\n    question: QA\n    answer: A\n\n  - id: b\n");
    for result in [merged(BASE, &both, &theirs), merged(BASE, &theirs, &both)] {
        let cards = outline(&result.text).expect("readable").cards;
        let ids: Vec<&str> = cards.iter().map(|card| card.id.as_str()).collect();
        assert_eq!(ids.len(), 3, "{}", result.text);
        assert!(ids.iter().all(|id| ["first", "first-2", "a", "b"].contains(id)), "{}", result.text);
    }
}
