//! Reminders by electronic mail: plain text through the keeper's own mail server.
//!
//! The line is encrypted (STARTTLS or TLS from the start, the server's certificate checked);
//! unencrypted only to a server on this computer. The Message-ID is the same at every try, so
//! that mail programs show a message once. Settings: [`super::settings`].

use super::journal::Tried;
use lettre::message::header::ContentType;
use lettre::message::{Mailbox, Mailboxes};
use lettre::transport::smtp::authentication::Credentials;
use lettre::transport::smtp::client::{Tls, TlsParameters};
use lettre::{Message, SmtpTransport, Transport};
use serde::{Deserialize, Serialize};
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::{Misfit, MisfitCode};
use std::net::IpAddr;
use std::time::Duration;

/// How long a server may take for one answer.
const PATIENCE: Duration = Duration::from_secs(10);

/// How the line to a mail server is kept from being read.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "lowercase")]
pub enum Security {
    /// Begins plain and changes over before anything is said (usually port 587).
    #[default]
    Starttls,
    /// Encrypted from the start (usually port 465).
    Tls,
    /// Plain: only to this computer itself.
    None,
}

/// A mail server and who writes to whom.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Email {
    /// Name of the server; empty: no mail.
    pub host: String,
    /// Its port.
    pub port: u16,
    /// How the line is secured.
    pub security: Security,
    /// Name to log in with; empty: without.
    pub user: String,
    /// Sender.
    pub from: String,
    /// Receivers, with commas between them.
    pub to: String,
}

impl Default for Email {
    fn default() -> Self {
        Self {
            host: String::new(),
            port: 587,
            security: Security::default(),
            user: String::new(),
            from: String::new(),
            to: String::new(),
        }
    }
}

fn is_here(host: &str) -> bool {
    host == "localhost" || host.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback())
}

/// Who receives and who sends.
///
/// # Errors
/// The field that is no address, or no list of 1 to 20.
fn people(email: &Email) -> Result<(Mailbox, Mailboxes), FieldError> {
    let odd = |field, value: &str| FieldError::new(field, value, MisfitCode::NotAMailAddress);
    let from = email.from.parse();
    let from = from.map_err(|_| odd("email.from", &email.from))?;
    let to = email.to.parse::<Mailboxes>();
    let to = to.map_err(|_| odd("email.to", &email.to))?;
    match to.iter().count() {
        1..=20 => Ok((from, to)),
        n => {
            let why = Misfit::range(1.0, 20.0, "");
            Err(FieldError::new("email.to", &n.to_string(), why))
        }
    }
}

/// Whether mail can go by this server.
///
/// # Errors
/// The field that cannot be.
pub fn check(email: &Email) -> Result<(), FieldError> {
    if email.security == Security::None && !is_here(&email.host) {
        let why = MisfitCode::NotEncrypted;
        return Err(FieldError::new("email.security", &email.host, why));
    }
    people(email).map(|_| ())
}

/// Sends a message once. Blocks.
#[must_use]
pub fn send(email: &Email, password: &str, id: &str, subject: &str, text: String) -> Tried {
    if let Err(no) = check(email) {
        return Tried::Never(format!("{} {}", no.value, no.reason));
    }
    match whole(email, password, id, subject, text) {
        Ok(()) => Tried::Sent,
        Err(why) => Tried::Later(format!("{}: {why}", email.host)),
    }
}

fn whole(
    email: &Email,
    password: &str,
    id: &str,
    subject: &str,
    text: String,
) -> Result<(), String> {
    let (from, to) = people(email).map_err(|no| no.to_string())?;
    let mut message = Message::builder()
        .from(from)
        .message_id(Some(format!("<{id}@slowstone.invalid>")))
        .subject(subject)
        .header(ContentType::TEXT_PLAIN);
    for to in to {
        message = message.to(to);
    }
    let message = message.body(text).map_err(|e| e.to_string())?;
    let tls = || TlsParameters::new(email.host.clone()).map_err(|e| e.to_string());
    let tls = match email.security {
        Security::Starttls => Tls::Required(tls()?),
        Security::Tls => Tls::Wrapper(tls()?),
        Security::None => Tls::None,
    };
    let mut server = SmtpTransport::builder_dangerous(&email.host)
        .port(email.port)
        .tls(tls)
        .timeout(Some(PATIENCE));
    if !email.user.is_empty() {
        server = server.credentials(Credentials::new(email.user.clone(), password.to_owned()));
    }
    server.build().send(&message).map_err(|e| e.to_string())?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_lines_only_to_this_computer() {
        let to = |host: &str, security| Email {
            host: host.into(),
            security,
            from: "site@example.org".into(),
            to: "a@example.org, Jonas <b@example.org>".into(),
            ..Email::default()
        };
        for (host, security, good) in [
            ("localhost", Security::None, true),
            ("127.0.0.1", Security::None, true),
            ("mail.example.org", Security::None, false),
            ("192.168.1.2", Security::None, false),
            ("mail.example.org", Security::Starttls, true),
        ] {
            assert_eq!(check(&to(host, security)).is_ok(), good, "{host}");
        }
        let nobody = Email {
            to: String::new(),
            ..to("localhost", Security::None)
        };
        assert_eq!(check(&nobody).unwrap_err().field, "email.to");
    }
}
