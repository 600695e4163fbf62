//! Any bytes against the laws of `fuzz/laws/merge.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::merge::holds(bytes));
