//! The way in for JavaScript: three functions over the module's memory, and one way out.
//!
//! The page asks for room with `core_alloc(len)`, writes a question there as UTF-8, and
//! calls `core_call(at, len)`, which takes that room over and gives back where the answer
//! lies: its address in the upper and its length in the lower 32 bits. The page copies the
//! answer and gives it back with `core_free(at, len)`. The log asks the page for the time
//! zones: `zone_offset_min(at, len, at_ms)` reads a name from memory and answers minutes
//! ahead of UTC, or NaN if it knows no such zone. All unsafe code stands in this file.

#![allow(
    unsafe_code,
    reason = "raw memory is all that crosses the border to JavaScript"
)]

use crate::Log;
use slowstone_curing::units::AtMs;
use slowstone_logbook::Zones;
use std::cell::RefCell;

#[link(wasm_import_module = "page")]
unsafe extern "C" {
    fn zone_offset_min(at: *const u8, len: usize, at_ms: f64) -> f64;
}

/// The time zones that the page knows (`Intl`).
#[derive(Debug)]
struct OfPage;

impl Zones for OfPage {
    fn offset_min(&self, tz: &str, at: AtMs) -> Option<i32> {
        // SAFETY: the page only reads these bytes, and only until it answers.
        let minutes = unsafe { zone_offset_min(tz.as_ptr(), tz.len(), at.0 as f64) };
        minutes.is_finite().then_some(minutes as i32)
    }
}

thread_local! {
    /// The log of the page.
    static LOG: RefCell<Log> = RefCell::new(Log::new(OfPage));
}

/// Room for `len` bytes; its address.
#[unsafe(no_mangle)]
pub extern "C" fn core_alloc(len: usize) -> *mut u8 {
    Box::into_raw(vec![0_u8; len].into_boxed_slice()).cast()
}

/// Gives back `len` bytes at `at`, as they came from [`core_alloc`] or [`core_call`].
///
/// # Safety
/// `at` and `len` belong together, and nobody uses the bytes any more.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn core_free(at: *mut u8, len: usize) {
    // SAFETY: the caller promises that this very box was leaked by `core_alloc` or
    // `core_call` and is not used any more.
    drop(unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, len)) });
}

/// Answers the question of `len` bytes at `at`, which is freed.
///
/// # Safety
/// As for [`core_free`].
#[unsafe(no_mangle)]
pub unsafe extern "C" fn core_call(at: *mut u8, len: usize) -> u64 {
    // SAFETY: as above; the box takes the bytes over.
    let question = unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, len)) };
    // What is not UTF-8 is no question; the core says so.
    let question = str::from_utf8(&question).unwrap_or_default();
    let answer = LOG.with_borrow_mut(|log| log.answer(question));
    let answer = answer.into_bytes().into_boxed_slice();
    let len = answer.len() as u64;
    ((Box::into_raw(answer).cast::<u8>() as u64) << 32) | len
}
