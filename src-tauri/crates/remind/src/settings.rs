//! What people chose about reminders: rules, address of a webhook, mail server, language.
//!
//! Kept as one setting of the store. What must not be read by others (passwords, keys) is
//! not in it but in a file of the hub (`remind/secrets.rs`). Devices that want push messages are settings of their
//! own ([`super::push`]).

use super::email::{self, Email};
use super::rules::Rules;
use serde::{Deserialize, Serialize};
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::{Misfit, MisfitCode};

/// Name of the setting.
pub const KEY: &str = "reminders/settings";

/// All of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
#[schemars(rename = "Reminders")]
pub struct Settings {
    /// Whether anybody is told anything.
    pub on: bool,
    /// When.
    pub rules: Rules,
    /// Language of what goes to no device in particular.
    pub language: String,
    /// Where JSON is posted to; empty for nowhere.
    pub webhook_url: String,
    /// Electronic mail.
    pub email: Email,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            on: true,
            rules: Rules::default(),
            language: "en".to_owned(),
            webhook_url: String::new(),
            email: Email::default(),
        }
    }
}

impl Settings {
    /// Reads what is stored; nothing or something odd counts as nothing chosen.
    #[must_use]
    pub fn read(text: Option<&str>) -> Self {
        text.and_then(|t| serde_json::from_str(t).ok())
            .unwrap_or_default()
    }

    /// Whether all of it can be.
    ///
    /// # Errors
    /// The first field that cannot be as it is.
    pub fn check(&self) -> Result<(), FieldError> {
        let minutes = self.rules.quiet_min.into_iter().flat_map(|(a, b)| [a, b]);
        let mut minutes = minutes.chain(self.rules.curing_min);
        if let Some(odd) = minutes.find(|m| *m >= 24 * 60) {
            let why = MisfitCode::NotATimeOfDay;
            return Err(FieldError::new("rules", &odd.to_string(), why));
        }
        let ahead = self.rules.ahead_min;
        if ahead > 24 * 60 {
            let why = Misfit::range(0.0, 1440.0, "min");
            return Err(FieldError::new("ahead_min", &ahead.to_string(), why));
        }
        if !self.webhook_url.is_empty() {
            super::outward::address(&self.webhook_url)
                .map_err(|why| FieldError::new("webhook_url", &self.webhook_url, why))?;
        }
        if !self.email.host.is_empty() {
            email::check(&self.email)?;
        }
        Ok(())
    }
}
