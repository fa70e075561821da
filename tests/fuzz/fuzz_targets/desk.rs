//! The desk: every topic with any JSON gives an answer or says what is wrong with it, and
//! no answer holds a number that JSON cannot write.
#![no_main]

use libfuzzer_sys::fuzz_target;
use slowstone_curing::desk;

fuzz_target!(|data: &[u8]| {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let topics = desk::TOPICS;
    let topic = &topics[usize::from(*first) % topics.len()];
    let _ = desk::calc_text(topic.name, &String::from_utf8_lossy(rest));
});
