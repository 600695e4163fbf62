//! Any bytes against the laws of `fuzz/laws/verify.rs`.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| laws::verify::holds(bytes));
