//! Sets that were written before they were measured, about the facts of many school subjects and with
//! kinds of edit that the benchmark does not have. What is asked of them is what they came to, so
//! that nothing gets worse unseen.

use super::{measured, own, prose};

#[test]
fn held_out_sets_are_judged_as_well_as_they_were() {
    let one = include_str!("../../../tests/data/drift/held-out-1.txt");
    let two = include_str!("../../../tests/data/drift/held-out-2.txt");
    let three = include_str!("../../../tests/data/drift/held-out-3.txt");
    let four = include_str!("../../../tests/data/drift/held-out-4.txt");
    let mut fallen = Vec::new();
    for (name, text, recall, false_alarms) in [
        ("held-out set 1", one, 0.97, 0.03),
        ("held-out set 2", two, 0.97, 0.1),
        ("held-out set 3", three, 0.98, 0.08),
        ("held-out set 4", four, 0.95, 0.15),
    ] {
        let tally = measured(&prose::read(text), own);
        tally.report(name);
        if tally.recall() < recall || tally.false_alarms() > false_alarms {
            fallen.push(format!("{name}: recall {}, false alarms {}", tally.recall(), tally.false_alarms()));
        }
    }
    assert!(fallen.is_empty(), "{fallen:?}");
}
