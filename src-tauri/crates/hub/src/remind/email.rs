//! Reminders by electronic mail: plain text through the keeper's own mail server.
//!
//! The line is encrypted (STARTTLS or TLS from the start, the server's certificate checked);
//! unencrypted only to a server on this computer. The Message-ID is the same at every try, so
//! that mail programs show a message once. Settings: [`super::settings`].

use super::journal::Tried;
use super::settings::{Email, Security};
use lettre::message::header::ContentType;
use lettre::message::{Mailbox, Mailboxes};
use lettre::transport::smtp::authentication::Credentials;
use lettre::transport::smtp::client::{Tls, TlsParameters};
use lettre::{Message, SmtpTransport, Transport};
use std::net::IpAddr;
use std::time::Duration;

/// How long a server may take for one answer.
const PATIENCE: Duration = Duration::from_secs(10);

fn is_here(host: &str) -> bool {
    host == "localhost" || host.parse::<IpAddr>().is_ok_and(|ip| ip.is_loopback())
}

fn receivers(to: &str) -> Result<Mailboxes, String> {
    to.parse::<Mailboxes>().map_err(|_| {
        format!("{to:?} is no list of addresses. Write them like a@example.org, b@example.org.")
    })
}

fn sender(from: &str) -> Result<Mailbox, String> {
    from.parse()
        .map_err(|_| format!("{from:?} is no address. Write it like site@example.org."))
}

/// What cannot be about a mail server.
///
/// # Errors
/// The field and why.
pub fn check(email: &Email) -> Result<(), (&'static str, String)> {
    if email.security == Security::None && !is_here(&email.host) {
        let why = "Without encryption the password and the mail could be read on the way. That is only possible to a server on this computer (localhost); choose STARTTLS or TLS.";
        return Err(("email.security", why.to_owned()));
    }
    sender(&email.from).map_err(|why| ("email.from", why))?;
    let all = receivers(&email.to).map_err(|why| ("email.to", why))?;
    match all.iter().count() {
        1..=20 => Ok(()),
        n => Err(("email.to", format!("From 1 to 20 receivers, not {n}."))),
    }
}

/// Sends a message once. Blocks.
#[must_use]
pub fn send(email: &Email, password: &str, id: &str, subject: &str, text: String) -> Tried {
    if let Err((_, why)) = check(email) {
        return Tried::Never(why);
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
    let mut message = Message::builder()
        .from(sender(&email.from)?)
        .message_id(Some(format!("<{id}@slowstone.invalid>")))
        .subject(subject)
        .header(ContentType::TEXT_PLAIN);
    for to in receivers(&email.to)?.iter() {
        message = message.to(to.clone());
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
        assert_eq!(check(&nobody).unwrap_err().0, "email.to");
    }
}
