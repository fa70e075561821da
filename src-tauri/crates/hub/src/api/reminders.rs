//! Settings of the reminders, for keepers: rules, webhook, mail, calendar, and the journal of
//! what was sent and what failed. Devices subscribe at [`super::push`].
//!
//! Passwords and keys go in and do not come out again, but for the webhook's key, which its
//! receiver needs. What happens with all of it: [`crate::remind`].

use super::devices::read;
use super::{Answer, Done, Refusal, Shared};
use crate::chance;
use crate::leaves::Leaves;
use crate::ledger::Ledger;
use crate::remind::journal::{self, Channel, Delivery, Journal, Message, Tried};
use crate::remind::rules::{Item, Stage};
use crate::remind::secrets::{NoSecret, Secrets};
use crate::remind::send::Task;
use crate::remind::settings::{KEY, Settings};
use crate::remind::subscriptions::subscription;
use crate::remind::{self, calendar, channels, deliver, say};
use crate::state::Hub;
use crate::words::Words;
use axum::extract::{Path, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::AtMs;
use slowstone_store::StoreError;
use std::sync::Arc;

/// Messages of the journal that are shown.
const SHOWN: usize = 40;

impl From<NoSecret> for Refusal {
    fn from(e: NoSecret) -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "store", e.to_string())
    }
}

/// What is chosen about reminders, and what was sent.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReminderSettings {
    settings: Settings,
    /// With which the receiver of the webhook checks what comes; empty without a webhook.
    webhook_key: String,
    /// Whether a password for the mail server is there.
    has_password: bool,
    /// How many devices have push messages.
    push_devices: usize,
    /// Whether the calendar has an address.
    calendar: bool,
    /// What was sent last, the newest first.
    journal: Vec<SentReminder>,
    now_ms: AtMs,
}

/// A message of the journal, in words.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SentReminder {
    id: String,
    site: String,
    at_ms: AtMs,
    title: String,
    /// One line for each thing.
    lines: Vec<String>,
    /// What became of it at each channel.
    to: Vec<Delivery>,
}

/// How a test went at one channel.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "ReminderTested")]
pub struct Tested {
    channel: Channel,
    ok: bool,
    /// Why it did not go out; empty if it did.
    why: String,
}

/// A new address for the calendar.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CalendarAddress {
    /// Behind the address of the hub.
    path: String,
}

/// The journal of all sites, the newest first.
fn told(ledger: &mut Ledger) -> Result<Vec<SentReminder>, StoreError> {
    let mut all: Vec<(String, Message)> = Vec::new();
    for (key, text) in ledger.settings(journal::PREFIX)? {
        let site = key.strip_prefix(journal::PREFIX).unwrap_or_default();
        let messages = Journal::read(Some(&text)).messages;
        all.extend(messages.into_iter().map(|m| (site.to_owned(), m)));
    }
    all.sort_by_key(|(_, m)| std::cmp::Reverse(m.at_ms));
    all.truncate(SHOWN);
    let settings = Settings::read(ledger.setting(KEY)?.as_deref());
    let words = Words::of(&settings.language);
    let shown = all.into_iter().map(|(site, m)| {
        let (name, tz) = crate::remind::site_of(ledger, &site);
        let said = say::say(&words, &m, &name, &tz);
        SentReminder {
            id: m.id,
            site,
            at_ms: m.at_ms,
            title: said.title,
            lines: said.lines,
            to: m.to,
        }
    });
    Ok(shown.collect())
}

async fn seen(hub: &Arc<Hub>) -> Answer<Json<ReminderSettings>> {
    let work = |ledger: &mut Ledger| -> Result<_, StoreError> {
        let settings = Settings::read(ledger.setting(KEY)?.as_deref());
        let push = ledger.settings(crate::remind::push::PREFIX)?.len();
        let calendar = ledger.setting(calendar::KEY)?.is_some();
        Ok((settings, push, calendar, told(ledger)?))
    };
    let (settings, devices, calendar, journal) =
        hub.with_ledger(work).await.ok_or_else(Refusal::fault)??;
    let webhook_key = match settings.webhook_url.as_str() {
        "" => String::new(),
        _ => hub.with_secrets(Secrets::webhook).await?,
    };
    Ok(Json(ReminderSettings {
        settings,
        webhook_key,
        has_password: !hub.secrets.email().is_empty(),
        push_devices: devices,
        calendar,
        journal,
        now_ms: hub.now(),
    }))
}

/// `GET /api/settings/reminders`: what is chosen, and what was sent.
///
/// # Errors
/// What the store says.
pub async fn get(State(hub): Shared) -> Answer<Json<ReminderSettings>> {
    seen(&hub).await
}

/// What is chosen anew.
#[derive(Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "RemindersChosen")]
pub struct Chosen {
    settings: Settings,
    /// Another password for the mail server.
    password: Option<String>,
    /// Another key for the webhook is wanted.
    #[serde(default)]
    renew_webhook_key: bool,
}

/// `PUT /api/settings/reminders`.
///
/// # Errors
/// 422 for what cannot be, with the field; what the store says.
pub async fn put(State(hub): Shared, request: Request) -> Answer<Json<ReminderSettings>> {
    let chosen: Chosen = read(request).await?;
    let settings = chosen.settings;
    settings
        .check()
        .map_err(|no| Refusal::misfit("setting", no))?;
    hub.with_secrets(move |secrets| {
        if let Some(password) = chosen.password {
            secrets.set_email(&password)?;
        }
        if chosen.renew_webhook_key {
            secrets.renew_webhook()?;
        }
        Ok(())
    })
    .await?;
    let kept = hub
        .with_ledger(move |l| l.remember_as(KEY, &settings))
        .await;
    kept.ok_or_else(Refusal::fault)??;
    hub.nudge.notify_one();
    seen(&hub).await
}

/// `POST /api/settings/reminders/test`: sends a test to every channel at once and says how it
/// went. It is not in the journal.
///
/// # Errors
/// What the store says.
pub async fn test(State(hub): Shared) -> Answer<Json<Vec<Tested>>> {
    let now = hub.now();
    let id = chance::id(now)?;
    let work = move |ledger: &mut Ledger| -> Result<Vec<Task>, StoreError> {
        let settings = Settings::read(ledger.setting(KEY)?.as_deref());
        let words = Words::of(&settings.language);
        let item = Item {
            pour: String::new(),
            step_number: None,
            name: words.say("remind-test", &[]),
            kind: MilestoneKind::FormOff,
            stage: Stage::Due,
            from_ms: now,
            until_ms: None,
            again: None,
            test: None,
        };
        let message = Message {
            id,
            at_ms: now,
            items: vec![item],
            to: Vec::new(),
        };
        let mut tasks = Vec::new();
        for channel in channels(ledger, &settings)?
            .into_iter()
            .filter(|c| *c != Channel::Screen)
        {
            let subscription = match &channel {
                Channel::Push(device) => subscription(ledger, device)?,
                _ => None,
            };
            tasks.push(Task {
                site: String::new(),
                site_name: "Slowstone".to_owned(),
                tz: "UTC".to_owned(),
                message: message.clone(),
                channel,
                settings: settings.clone(),
                subscription,
            });
        }
        Ok(tasks)
    };
    let tasks = hub.with_ledger(work).await.ok_or_else(Refusal::fault)??;
    let each = tasks.into_iter().map(|task| async {
        let channel = task.channel.clone();
        let (ok, why) = match deliver::send(&hub, task).await {
            Tried::Sent => (true, String::new()),
            Tried::Later(why) | Tried::Never(why) => (false, why),
        };
        Tested { channel, ok, why }
    });
    Ok(Json(futures_util::future::join_all(each).await))
}

/// `POST /api/settings/reminders/calendar`: a new address for the calendar; the one before
/// holds no longer. It is shown this once.
///
/// # Errors
/// What the store says.
pub async fn renew_calendar(State(hub): Shared) -> Answer<Json<CalendarAddress>> {
    let secret = chance::word(32)?;
    let hash = blake3::hash(secret.as_bytes()).to_hex().to_string();
    let kept = hub
        .with_ledger(move |l| l.remember(calendar::KEY, &hash))
        .await;
    kept.ok_or_else(Refusal::fault)??;
    Ok(Json(CalendarAddress {
        path: format!("/calendar/{secret}.ics"),
    }))
}

/// `DELETE /api/settings/reminders/calendar`: no calendar any more.
///
/// # Errors
/// What the store says.
pub async fn end_calendar(State(hub): Shared) -> Answer<Json<Done>> {
    let gone = hub.with_ledger(move |l| l.forget(calendar::KEY)).await;
    gone.ok_or_else(Refusal::fault)??;
    Ok(Done::json())
}

/// `GET /calendar/{secret}.ics`: the calendar, for whoever knows its address.
///
/// # Errors
/// 404 for every other address; what the store says.
pub async fn ics(State(hub): Shared, Path(file): Path<String>) -> Answer<Response> {
    let missing = || {
        Refusal::new(
            StatusCode::NOT_FOUND,
            "missing",
            "There is no calendar at this address. Its address may have been renewed: copy the new one from Settings, Reminders.",
        )
    };
    let secret = file.strip_suffix(".ics").unwrap_or_default().to_owned();
    let now = hub.now();
    let work = move |ledger: &mut Ledger| -> Result<bool, StoreError> {
        let hash = ledger.setting(calendar::KEY)?;
        Ok(hash.is_some_and(|hash| calendar::is_secret(&secret, &hash)))
    };
    let known = hub.with_ledger(work).await.ok_or_else(Refusal::fault)??;
    if !known {
        return Err(missing());
    }
    let text = remind::dates(&hub, now).await?;
    let text = text.ok_or_else(Refusal::fault)?;
    let headers = [
        (
            header::CONTENT_TYPE,
            HeaderValue::from_static("text/calendar; charset=utf-8"),
        ),
        (
            header::CACHE_CONTROL,
            HeaderValue::from_static("private, no-cache"),
        ),
    ];
    // Times and names, and never a position.
    Ok((Extension(Leaves::MadeWithout), headers, text).into_response())
}
