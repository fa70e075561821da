//! Web Push: an encrypted message to a device's push service, signed by this hub.
//!
//! Encryption is RFC 8291, by the crate `web-push-native`; the signature is VAPID (RFC 8292),
//! a token that names the push service and the hub's key (kept by the hub, in `remind/secrets.rs`). A push service
//! sees when and to whom, not what. A device that the service no longer knows is forgotten.
//! One setting for each device holds its subscription.

use super::journal::Tried;
use super::outward::{Reach, address, send};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use ring::rand::SystemRandom;
use ring::signature::{EcdsaKeyPair, KeyPair};
use serde::{Deserialize, Serialize};
use slowstone_curing::units::AtMs;
use slowstone_logbook::misfit::Misfit;
use ureq::http::{Request, Uri};
use web_push_native::p256::PublicKey;
use web_push_native::{Auth, encrypt};

/// Beginning of the settings that hold subscriptions; the device's id follows.
pub const PREFIX: &str = "reminders/push/";
/// Stands for the id of a browser that shows the token of this launch.
pub const HERE: &str = "here";
/// How long a push service keeps a message for a device that is off, seconds.
const KEPT_S: u32 = 12 * 3600;
/// How long a token holds, seconds; RFC 8292, 2 allows a day.
const TOKEN_S: i64 = 12 * 3600;
/// Whom a push service may write to about this hub; RFC 8292, 2.1.
const CONTACT: &str = "mailto:keeper@slowstone.invalid";

/// What a browser gave for one device.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Subscription {
    /// Address at the push service.
    pub endpoint: String,
    /// Public key of the device, Base64 for URLs.
    pub p256dh: String,
    /// Its secret, likewise.
    pub auth: String,
    /// Language of the device.
    pub language: String,
    /// Name of its person, who answers from the notification.
    pub by: String,
    /// Whether a keeper asked for it, who may name any address.
    #[serde(default)]
    pub keeper: bool,
}

impl Subscription {
    fn keys(&self) -> Result<(Uri, PublicKey, Auth), String> {
        let uri = address(&self.endpoint)
            .map_err(|why| format!("The address of the push service {}.", Misfit::from(why)))?;
        let odd = || {
            "The browser's keys cannot be read. Switch reminders off and on again on this device."
                .to_owned()
        };
        let bytes = |text: &str| {
            URL_SAFE_NO_PAD
                .decode(text.trim_end_matches('='))
                .map_err(|_| odd())
        };
        let key = PublicKey::from_sec1_bytes(&bytes(&self.p256dh)?).map_err(|_| odd())?;
        let auth = bytes(&self.auth)?;
        if auth.len() != 16 {
            return Err(odd());
        }
        Ok((uri, key, Auth::clone_from_slice(&auth)))
    }

    /// Checks what a browser gave.
    ///
    /// # Errors
    /// What cannot be.
    pub fn check(&self) -> Result<(), String> {
        let (uri, _, _) = self.keys()?;
        if !self.keeper && uri.scheme_str() != Some("https") {
            return Err("A push service has an address that begins with https.".to_owned());
        }
        Ok(())
    }
}

/// The public half of the hub's key as browsers want it.
#[must_use]
pub fn public_key(key: &EcdsaKeyPair) -> String {
    URL_SAFE_NO_PAD.encode(key.public_key().as_ref())
}

/// The header that shows a push service who sends; RFC 8292, 3.
fn authorization(key: &EcdsaKeyPair, uri: &Uri, now: AtMs) -> Result<String, String> {
    let authority = uri.authority().map_or("", |a| a.as_str());
    let audience = format!("{}://{authority}", uri.scheme_str().unwrap_or("https"));
    let claims = serde_json::json!({
        "aud": audience,
        "exp": now.0.div_euclid(1000) + TOKEN_S,
        "sub": CONTACT,
    });
    let head = URL_SAFE_NO_PAD.encode(br#"{"typ":"JWT","alg":"ES256"}"#);
    let signed = format!("{head}.{}", URL_SAFE_NO_PAD.encode(claims.to_string()));
    let signature = key
        .sign(&SystemRandom::new(), signed.as_bytes())
        .map_err(|_| "the hub's key cannot sign".to_owned())?;
    let token = format!("{signed}.{}", URL_SAFE_NO_PAD.encode(signature));
    Ok(format!("vapid t={token}, k={}", public_key(key)))
}

/// Sends a message once; `now` is the true time, which push services check. Blocks.
#[must_use]
pub fn push(to: &Subscription, key: &EcdsaKeyPair, id: &str, body: Vec<u8>, now: AtMs) -> Tried {
    let request = || {
        let (uri, device, auth) = to.keys()?;
        let sealed = encrypt(body, &device, &auth).map_err(|e| e.to_string())?;
        Request::post(uri.clone())
            .header("authorization", authorization(key, &uri, now)?)
            .header("content-encoding", "aes128gcm")
            .header("content-type", "application/octet-stream")
            .header("ttl", KEPT_S.to_string())
            .header("urgency", "high")
            // A newer try of the same message takes the place of an older one: RFC 8030, 5.4.
            .header("topic", id)
            .body(sealed)
            .map_err(|e| e.to_string())
    };
    let request = match request() {
        Ok(request) => request,
        Err(why) => return Tried::Never(why),
    };
    let reach = if to.keeper { Reach::Any } else { Reach::Public };
    match send(request, reach) {
        Ok(200..=299) => Tried::Sent,
        // RFC 8030, 7.3 and common practice: such a subscription has ended.
        Ok(404 | 410) => Tried::Never(GONE.to_owned()),
        Ok(status) => Tried::Later(format!("the push service answered with status {status}")),
        Err(why) => Tried::Later(format!("the push service: {why}")),
    }
}

/// Why nothing goes to a device any more.
pub const GONE: &str = "this device no longer takes push messages; switch them on there again";
