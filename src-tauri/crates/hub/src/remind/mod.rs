//! Reminders: what becomes due is told once, to everybody who asked, whatever happens to the
//! hub in between.
//!
//! What there is to tell is reckoned by the logbook (`Book::to_remind`); [`rules`] say what
//! of it is told now, [`journal`] keeps what was told and what became of it, [`say`] puts it
//! into words, and [`deliver`] brings it to a channel: open pages and the window, or by
//! [`send`] a way out. The calendar ([`calendar`]) is asked for by programs outside.
//! Choices are in [`settings`], keys in [`secrets`].

pub mod deliver;
pub mod secrets;
pub mod subscriptions;

use crate::firm;
use crate::ledger::Ledger;
use crate::state::Hub;
use crate::zones::Iana;
use calendar::{GivenOut, SiteDates};
use journal::{Channel, Journal, Tried};
use send::Task;
use settings::Settings;
use slowstone_curing::units::AtMs;
use slowstone_logbook::book::SiteCard;
use slowstone_logbook::view::ToRemind;
use slowstone_logbook::{Book, Zones};
pub use slowstone_remind::{calendar, journal, outward, push, rules, say, send, settings};
use slowstone_store::StoreError;
use std::sync::Arc;
use std::time::Duration;

/// How often the clock is looked at.
const EVERY: Duration = Duration::from_secs(15);
/// The shortest sleep between two looks, ms.
const LEAST_MS: i64 = 200;

/// Runs until the hub stops.
pub async fn run(hub: Arc<Hub>) {
    let mut stopping = hub.stopping.clone();
    loop {
        let work = async {
            turn(&hub).await;
            let now = hub.now();
            let next = hub.with_ledger(next_try).await.flatten();
            let until = next.map(|t| t.0.saturating_sub(now.0).max(LEAST_MS));
            until
                .and_then(|ms| u64::try_from(ms).ok())
                .map_or(EVERY, |ms| Duration::from_millis(ms).min(EVERY))
        };
        let sleep = tokio::select! {
            sleep = work => sleep,
            _ = stopping.wait_for(|stop| *stop) => return,
        };
        tokio::select! {
            () = tokio::time::sleep(sleep) => {}
            () = hub.nudge.notified() => {}
            _ = stopping.wait_for(|stop| *stop) => return,
        }
    }
}

/// Looks once, and tries what is to be tried.
async fn turn(hub: &Arc<Hub>) {
    let now = hub.now();
    let ready = match due(hub, now).await {
        Ok(ready) => ready,
        Err(e) => return tracing::warn!("reminders wait: {e}"),
    };
    let each = ready.into_iter().map(|task| attempt(hub, task));
    futures_util::future::join_all(each).await;
}

/// What is to be tried now, of all sites.
async fn due(hub: &Arc<Hub>, now: AtMs) -> Result<Vec<Task>, StoreError> {
    let begun = hub.with_ledger(move |ledger| begin(ledger, now)).await;
    let Some((settings, sites)) = begun.transpose()?.flatten() else {
        return Ok(Vec::new());
    };
    let mut tasks = Vec::new();
    for site in sites {
        let settings = settings.clone();
        let seen = match settings.on {
            true => {
                let id = site.clone();
                let look = move |book: &mut Book| book.to_remind(&id, now);
                let Some(seen) = hub.with_site(&site, look).await else {
                    continue;
                };
                Some(seen)
            }
            false => None,
        };
        let look = move |ledger: &mut Ledger| look(ledger, &site, seen, settings, now);
        tasks.extend(
            hub.with_ledger(look)
                .await
                .transpose()?
                .into_iter()
                .flatten(),
        );
    }
    Ok(tasks)
}

async fn attempt(hub: &Arc<Hub>, task: Task) {
    let (site, id, channel) = (
        task.site.clone(),
        task.message.id.clone(),
        task.channel.clone(),
    );
    let tried = deliver::send(hub, task).await;
    if let Tried::Later(why) | Tried::Never(why) = &tried {
        tracing::info!(%id, ?channel, "a reminder was not taken: {why}");
    }
    let now = hub.now();
    let noted = hub
        .with_ledger(move |ledger| note(ledger, &site, &id, &channel, tried, now))
        .await;
    if let Some(Err(e)) = noted {
        tracing::warn!("what became of a reminder cannot be kept: {e}");
    }
}

fn note(
    ledger: &mut Ledger,
    site: &str,
    id: &str,
    channel: &Channel,
    tried: Tried,
    now: AtMs,
) -> Result<(), StoreError> {
    if let (Channel::Push(device), Tried::Never(_)) = (channel, &tried) {
        subscriptions::forget(ledger, device)?;
    }
    let key = format!("{}{site}", journal::PREFIX);
    let mut journal = Journal::read(ledger.setting(&key)?.as_deref());
    journal.note(id, channel, tried, now);
    ledger.remember_as(&key, &journal)
}

/// Everywhere that a message goes now.
///
/// # Errors
/// If the store cannot be read.
pub fn channels(ledger: &Ledger, settings: &Settings) -> Result<Vec<Channel>, StoreError> {
    let mut to = vec![Channel::Screen];
    for (key, _) in ledger.settings(push::PREFIX)? {
        to.extend(
            key.strip_prefix(push::PREFIX)
                .map(|d| Channel::Push(d.to_owned())),
        );
    }
    if !settings.webhook_url.is_empty() {
        to.push(Channel::Webhook);
    }
    if !settings.email.host.is_empty() {
        to.push(Channel::Email);
    }
    Ok(to)
}

/// What people chose, and the sites, if it is this hub that reminds.
fn begin(ledger: &mut Ledger, now: AtMs) -> Result<Option<(Settings, Vec<String>)>, StoreError> {
    if !firm::my_turn(ledger, now)? {
        return Ok(None);
    }
    let settings = Settings::read(ledger.setting(settings::KEY)?.as_deref());
    let sites = ledger.sites().into_iter().map(|card| card.id);
    Ok(Some((settings, sites.collect())))
}

/// Tells what of what was seen has become due on a site (it is in the journal when this
/// returns), and gives what is to be tried now.
fn look(
    ledger: &mut Ledger,
    site: &str,
    seen: Option<ToRemind>,
    settings: Settings,
    now: AtMs,
) -> Result<Vec<Task>, StoreError> {
    let key = format!("{}{site}", journal::PREFIX);
    let before = Journal::read(ledger.setting(&key)?.as_deref());
    let mut journal = before.clone();
    let (name, tz) = site_of(ledger, site);
    if let Some(seen) = seen {
        let offset = |at: AtMs| Iana.offset_min(&tz, at).unwrap_or(0);
        let (items, told) = rules::tell(&seen, &settings.rules, &journal.told, &offset, now);
        journal.told = told;
        if !items.is_empty() {
            // Without randomness nothing is lost: it is told at the next look.
            let Ok(id) = crate::chance::id(now) else {
                return Ok(Vec::new());
            };
            let channels = channels(ledger, &settings)?;
            journal.add(id, items, &channels, now);
        }
        if journal != before {
            ledger.remember_as(&key, &journal)?;
        }
    }
    let mut tasks = Vec::new();
    for (message, channel) in journal.ready(now) {
        let subscription = match &channel {
            Channel::Push(device) => subscriptions::subscription(ledger, device)?,
            _ => None,
        };
        tasks.push(Task {
            site: site.to_owned(),
            site_name: name.clone(),
            tz: tz.clone(),
            message,
            channel,
            settings: settings.clone(),
            subscription,
        });
    }
    Ok(tasks)
}

/// The calendar of all sites at `now`; what is given out is remembered. None if there is a
/// fault.
///
/// # Errors
/// If the store cannot be read or written.
pub async fn dates(hub: &Arc<Hub>, now: AtMs) -> Result<Option<String>, StoreError> {
    let Some(cards) = hub.with_ledger(Ledger::sites).await else {
        return Ok(None);
    };
    let mut all = Vec::new();
    for card in cards {
        let id = card.id.clone();
        let look = move |book: &mut Book| book.to_remind(&id, now);
        if let Some(seen) = hub.with_site(&card.id, look).await {
            all.push((card, seen));
        }
    }
    let given = hub.with_ledger(move |ledger| give_out(ledger, all, now));
    given.await.transpose()
}

/// Writes the calendar and remembers what is given out.
fn give_out(
    ledger: &mut Ledger,
    all: Vec<(SiteCard, ToRemind)>,
    now: AtMs,
) -> Result<String, StoreError> {
    let settings = Settings::read(ledger.setting(settings::KEY)?.as_deref());
    let (mut sites, mut befores) = (Vec::new(), Vec::new());
    for (card, seen) in all {
        let before = ledger.setting(&format!("{}{}", calendar::GIVEN, card.id))?;
        let before: GivenOut = before
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default();
        befores.push(before.clone());
        sites.push(SiteDates {
            site: card.id,
            name: card.name,
            seen,
            before,
        });
    }
    let (text, given) = calendar::calendar(&settings, sites, now);
    for ((site, given), before) in given.into_iter().zip(befores) {
        if given != before {
            ledger.remember_as(&format!("{}{site}", calendar::GIVEN), &given)?;
        }
    }
    Ok(text)
}

/// Name and time zone of a site.
pub(crate) fn site_of(ledger: &mut Ledger, site: &str) -> (String, String) {
    let event = ledger.folded(site).entries.get(site);
    match event.map(|e| &e.fact) {
        Some(slowstone_logbook::facts::Fact::Site(s)) => (s.name.clone(), s.tz.clone()),
        _ => (String::new(), "UTC".to_owned()),
    }
}

fn next_try(ledger: &mut Ledger) -> Option<AtMs> {
    let all = ledger.settings(journal::PREFIX).ok()?;
    let each = all
        .iter()
        .filter_map(|(_, text)| Journal::read(Some(text)).next_try());
    each.min()
}
