//! Messages of a running hub: on standard error, a line each, for a person or for a
//! program. Keeping, rotating and searching them is left to the system (the journal of
//! systemd, or whatever reads standard error).

use std::io::IsTerminal;
use tracing_subscriber::EnvFilter;

/// The variable that says which messages are written.
const LEVEL: &str = "SLOWSTONE_LOG";

/// Without it.
const USUAL: &str = "warn";

/// How messages are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Form {
    /// A line for people.
    #[default]
    Text,
    /// A line of JSON: `timestamp`, `level`, `target`, `message` and what belongs to it.
    Json,
}

/// From here on messages are written. Call it once.
pub fn begin(form: Form) {
    let asked = std::env::var(LEVEL).unwrap_or_default();
    let (filter, odd) = match EnvFilter::builder().parse(&asked) {
        Ok(filter) if !asked.trim().is_empty() => (filter, None),
        Ok(_) => (EnvFilter::new(USUAL), None),
        Err(e) => (EnvFilter::new(USUAL), Some(e)),
    };
    let writer = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    match form {
        Form::Text => writer
            .compact()
            .with_ansi(std::io::stderr().is_terminal())
            .init(),
        Form::Json => writer.json().flatten_event(true).init(),
    }
    if let Some(e) = odd {
        tracing::warn!(
            "{LEVEL}={asked:?} says no level ({e}); {USUAL} is used. Write error, warn, info or debug"
        );
    }
}
