//! The webhook: a message as JSON, posted to an address that the keeper named.
//!
//! Headers: `Slowstone-Id` (the same at every try of one message), `Slowstone-Timestamp`
//! (seconds since 1970 of this try) and `Slowstone-Signature: v1=HEX`, where HEX is
//! HMAC-SHA256 (RFC 2104) by the key that the settings show, over the timestamp, a full stop
//! and the body as it was sent. A receiver compares it in constant time, refuses timestamps
//! older than five minutes and ids that it has seen. Any status from 200 to 299 means taken;
//! anything else is tried again. Where it may go: [`super::outward`].

use super::journal::Tried;
use super::outward::{Reach, address, send};
use ring::hmac;
use slowstone_curing::units::AtMs;
use slowstone_logbook::misfit::Misfit;
use ureq::http::Request;

/// The signature of a body at a time.
#[must_use]
pub fn signature(secret: &str, seconds: i64, body: &[u8]) -> String {
    let key = hmac::Key::new(hmac::HMAC_SHA256, secret.as_bytes());
    let mut context = hmac::Context::with_key(&key);
    context.update(format!("{seconds}.").as_bytes());
    context.update(body);
    let hex: String = context
        .sign()
        .as_ref()
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    format!("v1={hex}")
}

/// Posts a message once. Blocks.
#[must_use]
pub fn post(url: &str, secret: &str, id: &str, body: Vec<u8>, now: AtMs) -> Tried {
    let uri = match address(url) {
        Ok(uri) => uri,
        Err(why) => return Tried::Never(format!("{url} {}", Misfit::from(why))),
    };
    let seconds = now.0.div_euclid(1000);
    let request = Request::post(uri)
        .header("content-type", "application/json")
        .header("slowstone-id", id)
        .header("slowstone-timestamp", seconds.to_string())
        .header("slowstone-signature", signature(secret, seconds, &body))
        .body(body);
    let sent = request
        .map_err(|e| e.to_string())
        .and_then(|r| send(r, Reach::Any));
    match sent {
        Ok(200..=299) => Tried::Sent,
        Ok(status) => Tried::Later(format!("{url} answered with status {status}")),
        Err(why) => Tried::Later(format!("{url}: {why}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signed_as_published() {
        // RFC 4231, test case 2: key "Jefe", data "what do ya want for nothing?".
        let key = hmac::Key::new(hmac::HMAC_SHA256, b"Jefe");
        let tag = hmac::sign(&key, b"what do ya want for nothing?");
        let hex: String = tag.as_ref().iter().map(|b| format!("{b:02x}")).collect();
        assert_eq!(
            hex,
            "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
        );
        // `printf '1791021600.{}' | openssl dgst -sha256 -hmac key`
        assert_eq!(
            signature("key", 1_791_021_600, b"{}"),
            "v1=485088b159806d47ae400ae291c78d402fd8c521c5fb96753b2cdf4543b9a030"
        );
    }
}
