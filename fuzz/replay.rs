//! Every target is built and run over its own corpus, as the fuzzer runs it.

use std::path::Path;
use std::process::Command;

#[test]
fn every_target_runs_over_its_corpus() {
    let targets = [
        ("edit", env!("CARGO_BIN_EXE_edit")),
        ("merge", env!("CARGO_BIN_EXE_merge")),
        ("notes", env!("CARGO_BIN_EXE_notes")),
        ("read", env!("CARGO_BIN_EXE_read")),
        ("supports", env!("CARGO_BIN_EXE_supports")),
        ("verify", env!("CARGO_BIN_EXE_verify")),
    ];
    for (name, program) in targets {
        let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("corpus").join(name);
        let inputs: Vec<_> =
            std::fs::read_dir(corpus).expect("a corpus").map(|entry| entry.expect("readable").path()).collect();
        assert!(inputs.len() >= 5, "{name}: {inputs:?}");
        let folder = tempfile::tempdir().expect("a folder");
        let output = Command::new(program).args(&inputs).current_dir(folder.path()).output().expect("it runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{name}: {said}");
        assert_eq!(said.matches("Executed ").count(), inputs.len(), "{name}: {said}");
    }
}
