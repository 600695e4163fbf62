//! Plans worked out by hand, and what holds for every plan.

use std::collections::BTreeMap;

use jiff::ToSpan;
use jiff::civil::{Date, date};
use proptest::prelude::*;

use super::*;
use crate::deck::settings::{Holiday, Term};

fn term(name: &str, starts: Date, ends: Date) -> Term {
    Term { name: crate::deck::Text { value: name.into(), ..Default::default() }, starts, ends }
}

fn holiday(starts: Date, ends: Date) -> Holiday {
    Holiday { name: String::new(), starts, ends }
}

/// The year of the invented school.
fn school() -> SchoolDays {
    SchoolDays::new(
        &[
            term("autumn", date(2026, 9, 2), date(2026, 12, 18)),
            term("spring", date(2027, 1, 5), date(2027, 3, 25)),
            term("summer", date(2027, 4, 13), date(2027, 7, 21)),
        ],
        &[holiday(date(2026, 10, 26), date(2026, 10, 30)), holiday(date(2027, 5, 31), date(2027, 6, 4))],
    )
}

fn limits(minutes: usize) -> Limits {
    Limits { minutes, seconds_for_a_question: 30, review_days: vec![1, 7, 21] }
}

fn topic(title: &str, taught_on: Option<Date>, cards: &[usize]) -> Topic {
    let (term, deck) = ("autumn-2026".to_owned(), title.to_lowercase());
    Topic { term, deck, title: title.to_owned(), taught_on, cards: cards.to_vec() }
}

/// Days with topic, number of the check, and part.
fn days(topics: &[Topic], plan: &Plan) -> Vec<(String, String, usize, usize)> {
    let line = |check: &Check| {
        (check.day.strftime("%a %d %b").to_string(), topics[check.topic].title.clone(), check.number, check.part)
    };
    plan.checks.iter().map(line).collect()
}

fn row(day: &str, title: &str, number: usize, part: usize) -> (String, String, usize, usize) {
    (day.to_owned(), title.to_owned(), number, part)
}

/// By a paper calendar. 5 October 2026 is a Monday, and so is the first day of half term, the 26th.
#[test]
fn half_term_and_weekends_are_waited_for() {
    let topics =
        [topic("Rivers", Some(date(2026, 10, 5)), &[1; 10]), topic("Coasts", Some(date(2026, 10, 9)), &[1; 10])];
    let plan = spread(&topics, &school(), &limits(20));
    // Rivers: 6 October; 12 October; 26 October is in half term, and behind it lies a weekend: 2 November.
    // Coasts: the 10th is a Saturday: 12 October; 16 October, a Friday; 30 October is in half term.
    let expected = [
        row("Tue 06 Oct", "Rivers", 1, 1),
        row("Mon 12 Oct", "Coasts", 1, 1),
        row("Mon 12 Oct", "Rivers", 2, 1),
        row("Fri 16 Oct", "Coasts", 2, 1),
        row("Mon 02 Nov", "Rivers", 3, 1),
        row("Mon 02 Nov", "Coasts", 3, 1),
    ];
    assert_eq!(days(&topics, &plan), expected);
    assert!(plan.crowded.is_empty() && plan.unplaced.is_empty());
}

#[test]
fn what_does_not_fit_goes_to_the_next_school_day() {
    let topics =
        [topic("Rivers", Some(date(2026, 10, 5)), &[1; 30]), topic("Coasts", Some(date(2026, 10, 5)), &[1; 20])];
    let plan = spread(&topics, &school(), &limits(20));
    // 50 questions fall due each time, and 40 fit.
    let expected = [
        row("Tue 06 Oct", "Rivers", 1, 1),
        row("Wed 07 Oct", "Coasts", 1, 1),
        row("Mon 12 Oct", "Rivers", 2, 1),
        row("Tue 13 Oct", "Coasts", 2, 1),
        row("Mon 02 Nov", "Rivers", 3, 1),
        row("Tue 03 Nov", "Coasts", 3, 1),
    ];
    assert_eq!(days(&topics, &plan), expected);
    assert_eq!(plan.crowded, [(date(2026, 10, 6), 50), (date(2026, 10, 12), 50), (date(2026, 11, 2), 50)]);
}

#[test]
fn a_long_topic_is_divided() {
    let topics = [topic("Weather", Some(date(2026, 9, 24)), &[1; 41])];
    let plan = spread(&topics, &school(), &limits(20));
    let expected = [
        row("Fri 25 Sep", "Weather", 1, 1),
        row("Mon 28 Sep", "Weather", 1, 2),
        row("Thu 01 Oct", "Weather", 2, 1),
        row("Fri 02 Oct", "Weather", 2, 2),
        row("Thu 15 Oct", "Weather", 3, 1),
        row("Fri 16 Oct", "Weather", 3, 2),
    ];
    assert_eq!(days(&topics, &plan), expected);
    assert_eq!((plan.checks[0].cards.clone(), plan.checks[1].cards.clone()), (0..21, 21..41));
    assert_eq!(plan.crowded.len(), 3);
}

#[test]
fn the_end_of_a_term_leads_into_the_next_and_the_end_of_the_year_nowhere() {
    let topics = [
        topic("Storms", Some(date(2026, 12, 16)), &[1; 4]),
        topic("Towns", Some(date(2027, 7, 14)), &[1; 4]),
        topic("Soils", None, &[1]),
    ];
    let plan = spread(&topics, &school(), &limits(20));
    // Storms: the 23rd is in no term, so it is the first day of the next; 6 January is a school day.
    let expected = [
        row("Thu 17 Dec", "Storms", 1, 1),
        row("Tue 05 Jan", "Storms", 2, 1),
        row("Wed 06 Jan", "Storms", 3, 1),
        row("Thu 15 Jul", "Towns", 1, 1),
        row("Wed 21 Jul", "Towns", 2, 1),
    ];
    assert_eq!(days(&topics, &plan), expected);
    assert_eq!((plan.unplaced.clone(), plan.undated.clone()), (vec![(1, 3)], vec![2]));
}

#[test]
fn a_topic_comes_back_once_a_day() {
    // Both checks fall on the weekend.
    let topics = [topic("Rivers", Some(date(2026, 10, 9)), &[1])];
    let limits = Limits { review_days: vec![2, 1, 2], ..limits(20) };
    let plan = spread(&topics, &school(), &limits);
    assert_eq!(days(&topics, &plan), [row("Mon 12 Oct", "Rivers", 1, 1), row("Tue 13 Oct", "Rivers", 2, 1)]);
}

#[test]
fn a_card_longer_than_a_session_has_a_day_for_itself() {
    let topics = [topic("Rivers", Some(date(2026, 10, 5)), &[1, 5, 1])];
    let limits = Limits { review_days: vec![1], ..limits(2) };
    let plan = spread(&topics, &school(), &limits);
    assert_eq!(plan.checks.iter().map(|check| check.questions).collect::<Vec<_>>(), [1, 5, 1]);
    assert_eq!(plan.too_long, [(0, 1)]);
}

#[test]
fn calendars_that_leave_no_day_end() {
    let never =
        SchoolDays::new(&[term("t", date(2026, 9, 1), date(2026, 9, 30))], &[holiday(date(2026, 1, 1), Date::MAX)]);
    assert_eq!(never.from(date(2026, 9, 1)), None);
    let always = SchoolDays::new(&[], &[]);
    assert_eq!(always.from(date(2026, 8, 1)), Some(date(2026, 8, 3)));
    assert_eq!(always.from(Date::MAX).and_then(|day| always.after(day)), None);
    let weekend = SchoolDays::new(&[term("t", date(2026, 9, 5), date(2026, 9, 6))], &[]);
    assert_eq!(weekend.from(date(2026, 9, 1)), None);
    assert!(school().is_school_day(date(2026, 10, 23)) && !school().is_school_day(date(2026, 10, 26)));
}

fn some_topics() -> impl Strategy<Value = Vec<Topic>> {
    let cards = prop::collection::vec(1..4usize, 0..30);
    let one = (prop::option::weighted(0.9, -40..330i32), cards)
        .prop_map(|(day, cards)| topic("T", day.map(|day| date(2026, 9, 2).checked_add(day.days()).unwrap()), &cards));
    prop::collection::vec(one, 0..8)
}

fn some_days() -> impl Strategy<Value = SchoolDays> {
    let span = |longest: i32| {
        (0..320i32, 0..longest).prop_map(|(from, len)| {
            let starts = date(2026, 9, 2).checked_add(from.days()).unwrap();
            (starts, starts.checked_add(len.days()).unwrap())
        })
    };
    (prop::collection::vec(span(120), 0..4), prop::collection::vec(span(20), 0..6)).prop_map(|(terms, holidays)| {
        let terms: Vec<Term> = terms.into_iter().map(|(starts, ends)| term("t", starts, ends)).collect();
        let holidays: Vec<Holiday> = holidays.into_iter().map(|(starts, ends)| holiday(starts, ends)).collect();
        SchoolDays::new(&terms, &holidays)
    })
}

fn some_limits() -> impl Strategy<Value = Limits> {
    (1..25usize, 1..200usize, prop::collection::vec(1..40u16, 0..5)).prop_map(
        |(minutes, seconds_for_a_question, review_days)| Limits { minutes, seconds_for_a_question, review_days },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_holds_for_every_plan(topics in some_topics(), days in some_days(), limits in some_limits()) {
        let plan = spread(&topics, &days, &limits);
        prop_assert_eq!(&spread(&topics, &days, &limits), &plan);
        let mut asked: BTreeMap<Date, Vec<usize>> = BTreeMap::new();
        for check in &plan.checks {
            prop_assert!(days.is_school_day(check.day) && check.day >= check.due);
            let taught = topics[check.topic].taught_on.unwrap();
            prop_assert_eq!(taught.checked_add(i32::from(check.after).days()).unwrap(), check.due);
            prop_assert_eq!(check.questions, topics[check.topic].cards[check.cards.clone()].iter().sum::<usize>());
            asked.entry(check.day).or_default().push(check.questions);
            if check.questions > limits.questions() {
                prop_assert_eq!(check.cards.len(), 1);
            }
        }
        for (day, asked) in &asked {
            prop_assert!(asked.iter().sum::<usize>() <= limits.questions() || asked.len() == 1, "{day}: {asked:?}");
        }
        let reviews = limits.review_days.iter().collect::<std::collections::BTreeSet<_>>().len();
        for (at, topic) in topics.iter().enumerate() {
            let own: Vec<&Check> = plan.checks.iter().filter(|check| check.topic == at).collect();
            // In order of checks and parts, each later than the one before, nothing left out.
            prop_assert!(own.windows(2).all(|two| two[0].day < two[1].day && (two[0].number, two[0].part) < (two[1].number, two[1].part)));
            let placed = match plan.unplaced.iter().find(|(topic, _)| *topic == at) {
                Some((_, lost)) => lost - 1,
                None if topic.taught_on.is_none() || topic.cards.is_empty() => 0,
                None => reviews,
            };
            for number in 1..=placed {
                let parts: Vec<_> = own.iter().filter(|check| check.number == number).collect();
                let cards: Vec<usize> = parts.iter().flat_map(|check| check.cards.clone()).collect();
                prop_assert_eq!(cards, (0..topic.cards.len()).collect::<Vec<_>>());
            }
            prop_assert!(own.iter().all(|check| check.number <= placed));
        }
    }

    #[test]
    fn the_first_school_day_is_the_first(days in some_days(), from in -40..330i32) {
        let from = date(2026, 9, 2).checked_add(from.days()).unwrap();
        let found = days.from(from);
        let mut day = from;
        while day < found.unwrap_or(date(2028, 3, 1)) {
            prop_assert!(!days.is_school_day(day), "{day}");
            day = day.tomorrow().unwrap();
        }
        prop_assert!(found.is_none_or(|found| days.is_school_day(found)));
    }
}
