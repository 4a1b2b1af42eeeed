//! The fuzz target: the bytes of a request to evaluate.

#![no_main]

use headproof_fuzz::{check, cross, mutate};
use libfuzzer_sys::{Corpus, fuzz_crossover, fuzz_mutator, fuzz_target, fuzzer_mutate};

fuzz_target!(|bytes: &[u8]| -> Corpus { if check(bytes) { Corpus::Keep } else { Corpus::Reject } });

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    match mutate(&data[..size], max_size, seed) {
        Some(changed) => put(data, &changed),
        None => fuzzer_mutate(data, size, max_size),
    }
});

fuzz_crossover!(|one: &[u8], other: &[u8], out: &mut [u8], seed: u32| {
    cross(one, other, out.len(), seed).map_or(0, |changed| put(out, &changed))
});

fn put(into: &mut [u8], bytes: &[u8]) -> usize {
    into[..bytes.len()].copy_from_slice(bytes);
    bytes.len()
}
