//! Any bytes against the laws of `fuzz/laws/edit.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::edit::holds(bytes));
