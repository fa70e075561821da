//! The desk on a page: one question, one answer, as `slowstone calc` gives it.
//!
//! Nothing is kept from one question to the next. The log is a module of its own,
//! because a page that only shows steps should not load the desk.

use crate::ask::{Question, Refused, json, reply};
use slowstone_curing::desk;

/// Answers `{"op": "calc", "topic", "input"}`: `{"ok": ...}`, or `{"error": {"code",
/// "text"}}`.
///
/// ```
/// let ask = r#"{"op": "calc", "topic": "lift", "input": {}}"#;
/// assert!(slowstone_wasm::desk::answer(ask).starts_with(r#"{"error":{"code":"refused""#));
/// ```
#[must_use]
pub fn answer(question: &str) -> String {
    reply(Question::read(question).and_then(calc))
}

fn calc(mut ask: Question) -> Result<String, Refused> {
    let op = ask.text("op")?;
    if op != "calc" {
        return Err(Refused::new(
            "unreadable",
            &format_args!("op {op} is not known"),
        ));
    }
    let (topic, input) = (ask.text("topic")?, ask.value("input")?);
    let answer = desk::calc(&topic, &input).map_err(|e| Refused::new("refused", &e))?;
    json(&answer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

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
        assert_eq!(code(r#"{"op": "sites"}"#), "unreadable");
        assert_eq!(code(r#"{"op": "calc", "topic": "bags"}"#), "unreadable");
        assert_eq!(
            code(r#"{"op": "calc", "topic": "moon", "input": {}}"#),
            "refused"
        );
    }
}
