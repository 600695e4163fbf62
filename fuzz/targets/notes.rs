//! Any bytes against the laws of `fuzz/laws/notes.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::notes::holds(bytes));
