//! Any bytes against the laws of `fuzz/laws/read.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::read::holds(bytes));
