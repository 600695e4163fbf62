//! Any bytes against the laws of `fuzz/laws/supports.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::supports::holds(bytes));
