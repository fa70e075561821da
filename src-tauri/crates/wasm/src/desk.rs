//! The desk on a page: one question, one answer, as `slowstone calc` gives it.
//!
//! Nothing is kept from one question to the next. What is asked otherwise: [`crate::log`].

use crate::ask::{Question, Refused, json};
use slowstone_curing::desk;

/// Answers `topic` with its `input`.
pub(crate) fn calc(mut ask: Question) -> Result<String, Refused> {
    let (topic, input) = (ask.text("topic")?, ask.value("input")?);
    let answer = desk::calc(&topic, &input).map_err(|e| Refused::new("refused", &e))?;
    json(&answer)
}

#[cfg(test)]
mod tests {
    use crate::Log;
    use serde_json::{Value, json};
    use slowstone_curing::desk;
    use slowstone_logbook::zones::Utc;

    fn answer(ask: &str) -> String {
        Log::new(Utc).answer(ask)
    }

    #[test]
    fn every_example_is_answered() {
        for topic in desk::TOPICS {
            let input: Value = serde_json::from_str(topic.example).unwrap();
            let ask = json!({"op": "calc", "topic": topic.name, "input": input});
            let said: Value = serde_json::from_str(&answer(&ask.to_string())).unwrap();
            assert_eq!(
                said["ok"],
                desk::calc(topic.name, &input).unwrap(),
                "{}",
                topic.name
            );
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let code = |ask: &str| {
            let said: Value = serde_json::from_str(&answer(ask)).unwrap();
            said["error"]["code"].as_str().unwrap().to_owned()
        };
        assert_eq!(code(r#"{"op": "site"}"#), "unreadable");
        assert_eq!(code(r#"{"op": "calc", "topic": "bags"}"#), "unreadable");
        assert_eq!(
            code(r#"{"op": "calc", "topic": "moon", "input": {}}"#),
            "refused"
        );
    }
}
