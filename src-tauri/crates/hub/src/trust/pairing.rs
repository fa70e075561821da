//! How a phone becomes one that may come in: an offer, a question, an answer.
//!
//! The keeper opens an offer; its secret reaches the phone in a QR code, lasts some minutes
//! and is used once. The phone asks with it; both sides reckon the same short code from the
//! secret, from what both threw in by chance, from the phone's name and from the fingerprint of
//! the certificate. When the keeper has said that the codes are the same, the phone gets its
//! key. No HTTP here: see [`crate::api::pair`]; the phone's half is `ui/src/lib/pair.ts`.

use crate::caller::Role;
use crate::chance::{self, NoChance};
use ring::digest::{SHA256, digest};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use subtle::ConstantTimeEq;

/// Wrong secrets after which the offer is closed.
const WRONG: u32 = 5;

/// How long a key can be fetched again.
const AGAIN: Duration = Duration::from_secs(30);

/// Why a phone may not ask.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoOffer {
    /// None is open, or it has run out.
    Closed,
    /// Another phone has used it already.
    Used,
    /// The secret is not the one of the offer.
    Wrong,
}

/// What the hub's screen shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stage {
    /// No offer.
    None,
    /// Nobody has asked yet.
    Open,
    /// A phone asks: its name and the code.
    Asked {
        /// What the phone calls itself.
        name: String,
        /// Six digits.
        code: String,
    },
    /// The phone was let in.
    Done {
        /// What the phone calls itself.
        name: String,
    },
    /// The keeper said no.
    Refused,
}

/// What the phone hears.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Heard {
    /// The keeper has not answered yet.
    Waiting,
    /// It is let in with this key.
    In {
        /// The key.
        key: String,
        /// What it may do.
        role: Role,
    },
    /// The keeper said no, or the offer is over.
    Out,
}

#[derive(Debug)]
struct Asked {
    claim: String,
    name: String,
    code: String,
    answer: Option<Option<(String, Role)>>,
}

#[derive(Debug)]
struct Offer {
    secret: String,
    until: Instant,
    wrong: u32,
    asked: Option<Asked>,
}

/// What a phone that asked gets at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticket {
    /// With it the phone asks for the answer.
    pub claim: String,
    /// What the hub threw in.
    pub nonce: String,
}

/// The pairing that goes on, if any: one at a time.
#[derive(Debug)]
pub struct Pairing {
    offer: Mutex<Option<Offer>>,
    lasts: Duration,
}

/// The code that both screens show. `print` is the fingerprint of the certificate as the QR
/// code carries it.
#[must_use]
pub fn code(secret: &str, hub: &str, phone: &str, print: &str, name: &str) -> String {
    let text = ["slowstone pairing 1", secret, hub, phone, print, name].join("\n");
    let hash = digest(&SHA256, text.as_bytes());
    let number = hash.as_ref().iter().take(4);
    let number = number.fold(0u32, |sum, byte| (sum << 8) | u32::from(*byte));
    format!("{:06}", number % 1_000_000)
}

impl Pairing {
    /// Nothing goes on; an offer will last so long.
    #[must_use]
    pub fn new(lasts: Duration) -> Self {
        Self {
            offer: Mutex::new(None),
            lasts,
        }
    }

    /// The offer, unless it has run out.
    fn lock(&self, now: Instant) -> MutexGuard<'_, Option<Offer>> {
        let mut offer = self.offer.lock().unwrap_or_else(PoisonError::into_inner);
        if offer.as_ref().is_some_and(|o| now >= o.until) {
            *offer = None;
        }
        offer
    }

    /// Opens an offer in place of an older one and gives its secret.
    ///
    /// # Errors
    /// If the system has no randomness.
    pub fn open(&self, now: Instant) -> Result<String, NoChance> {
        let secret = chance::word(26)?;
        *self.lock(now) = Some(Offer {
            secret: secret.clone(),
            until: now + self.lasts,
            wrong: 0,
            asked: None,
        });
        Ok(secret)
    }

    /// Ends the offer.
    pub fn close(&self) {
        *self.lock(Instant::now()) = None;
    }

    /// How long the offer stands; `None` if there is none.
    #[must_use]
    pub fn left(&self, now: Instant) -> Option<Duration> {
        let offer = self.lock(now);
        Some(offer.as_ref()?.until.saturating_duration_since(now))
    }

    /// A phone asks with `secret`; `print` is the fingerprint of this hub's certificate.
    ///
    /// # Errors
    /// [`NoOffer`] in `Ok(Err)`; else if the system has no randomness.
    pub fn ask(
        &self,
        (secret, name, phone): (&str, &str, &str),
        print: &str,
        now: Instant,
    ) -> Result<Result<Ticket, NoOffer>, NoChance> {
        let (claim, nonce) = (chance::word(32)?, chance::word(26)?);
        let mut slot = self.lock(now);
        let Some(offer) = slot.as_mut() else {
            return Ok(Err(NoOffer::Closed));
        };
        if !is_same(secret, &offer.secret) {
            offer.wrong += 1;
            if offer.wrong >= WRONG {
                tracing::warn!("pairing was closed: too many wrong codes");
                *slot = None;
            }
            return Ok(Err(NoOffer::Wrong));
        }
        if offer.asked.is_some() {
            return Ok(Err(NoOffer::Used));
        }
        offer.asked = Some(Asked {
            claim: claim.clone(),
            name: name.to_owned(),
            code: code(&offer.secret, &nonce, phone, print, name),
            answer: None,
        });
        Ok(Ok(Ticket { claim, nonce }))
    }

    /// What the hub's screen shows.
    #[must_use]
    pub fn stage(&self, now: Instant) -> Stage {
        let offer = self.lock(now);
        let Some(offer) = offer.as_ref() else {
            return Stage::None;
        };
        match &offer.asked {
            None => Stage::Open,
            Some(asked) => match &asked.answer {
                None => Stage::Asked {
                    name: asked.name.clone(),
                    code: asked.code.clone(),
                },
                Some(None) => Stage::Refused,
                Some(Some(_)) => Stage::Done {
                    name: asked.name.clone(),
                },
            },
        }
    }

    /// The name of the phone that asks and whose code is `code`; `None` if none does.
    #[must_use]
    pub fn asking(&self, code: &str, now: Instant) -> Option<String> {
        match self.stage(now) {
            Stage::Asked { name, code: shown } if shown == code => Some(name),
            _ => None,
        }
    }

    /// The keeper's answer to the phone whose code is `code`: its key and role, or no. Says
    /// whether there was such a phone.
    pub fn answer(&self, code: &str, answer: Option<(String, Role)>, now: Instant) -> bool {
        let mut offer = self.lock(now);
        let asked = offer.as_mut().and_then(|o| o.asked.as_mut());
        let Some(asked) = asked.filter(|a| a.answer.is_none() && a.code == code) else {
            return false;
        };
        asked.answer = Some(answer);
        true
    }

    /// What the phone with this claim hears. The key can be fetched again for a moment: an
    /// answer may get lost on the way.
    #[must_use]
    pub fn hear(&self, claim: &str, now: Instant) -> Heard {
        let mut offer = self.lock(now);
        let Some(offer) = offer.as_mut() else {
            return Heard::Out;
        };
        match offer.asked.as_ref().filter(|a| is_same(&a.claim, claim)) {
            None => Heard::Out,
            Some(asked) => match &asked.answer {
                None => Heard::Waiting,
                Some(None) => Heard::Out,
                Some(Some((key, role))) => {
                    offer.until = offer.until.min(now + AGAIN);
                    Heard::In {
                        key: key.clone(),
                        role: *role,
                    }
                }
            },
        }
    }
}

/// Compares in a time that does not depend on where the two differ.
fn is_same(a: &str, b: &str) -> bool {
    a.as_bytes().ct_eq(b.as_bytes()).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MIN: Duration = Duration::from_secs(60);

    fn asked(pairing: &Pairing, secret: &str, now: Instant) -> Result<Ticket, NoOffer> {
        pairing.ask((secret, "Tuva", "pp"), "print", now).unwrap()
    }

    #[test]
    fn a_secret_is_used_once_and_runs_out() {
        let pairing = Pairing::new(10 * MIN);
        let now = Instant::now();
        assert_eq!(asked(&pairing, "", now), Err(NoOffer::Closed));
        let secret = pairing.open(now).unwrap();
        assert_eq!(pairing.stage(now), Stage::Open);
        let ticket = asked(&pairing, &secret, now).unwrap();
        assert_eq!(asked(&pairing, &secret, now), Err(NoOffer::Used));
        let Stage::Asked { name, code: shown } = pairing.stage(now) else {
            panic!("nobody asks");
        };
        assert_eq!(name, "Tuva");
        assert_eq!(shown, code(&secret, &ticket.nonce, "pp", "print", "Tuva"));
        assert_eq!(pairing.hear(&ticket.claim, now), Heard::Waiting);
        assert!(!pairing.answer("no", Some(("key".into(), Role::Helper)), now));
        assert!(pairing.answer(&shown, Some(("key".into(), Role::Helper)), now));
        assert!(!pairing.answer(&shown, None, now), "an answer stands");
        let key = Heard::In {
            key: "key".into(),
            role: Role::Helper,
        };
        assert_eq!(pairing.hear(&ticket.claim, now), key);
        assert_eq!(pairing.hear("other", now), Heard::Out);
        let late = now + AGAIN;
        assert_eq!(pairing.hear(&ticket.claim, late), Heard::Out);
        assert_eq!(asked(&pairing, &secret, late), Err(NoOffer::Closed));
    }

    #[test]
    fn five_wrong_secrets_close_the_offer() {
        let pairing = Pairing::new(10 * MIN);
        let now = Instant::now();
        let secret = pairing.open(now).unwrap();
        for _ in 0..WRONG {
            assert_eq!(asked(&pairing, "wrong", now), Err(NoOffer::Wrong));
        }
        assert_eq!(asked(&pairing, &secret, now), Err(NoOffer::Closed));
    }

    #[test]
    fn the_code_hangs_on_everything() {
        // Reckoned with coreutils: printf 'slowstone pairing 1\ns\nh\np\nf\nn' | sha256sum.
        let right = code("s", "h", "p", "f", "n");
        assert_eq!(right, "176980");
        for other in [
            code("S", "h", "p", "f", "n"),
            code("s", "H", "p", "f", "n"),
            code("s", "h", "P", "f", "n"),
            code("s", "h", "p", "F", "n"),
            code("s", "h", "p", "f", "N"),
        ] {
            assert_ne!(other, right);
        }
    }
}
