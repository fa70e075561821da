//! Questions to the core as the browser asks them: any text has an answer, which is JSON.
#![no_main]

use libfuzzer_sys::fuzz_target;
use slowstone_logbook::zones::Utc;
use slowstone_wasm::Log;

fuzz_target!(|data: &[u8]| {
    let mut log = Log::new(Utc);
    for line in String::from_utf8_lossy(data).lines() {
        let answer = log.answer(line);
        serde_json::from_str::<serde_json::Value>(&answer).expect("JSON");
    }
});
