#![no_main]
#![allow(dead_code)]
#[path = "../../scenarios/tests/support/attacks.rs"]
mod attacks;

libfuzzer_sys::fuzz_target!(|data: &[u8]| attacks::quantity(data));
