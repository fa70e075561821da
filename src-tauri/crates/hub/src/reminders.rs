//! Telling watchers once when something becomes due, with or without a page open.
//!
//! What is due is reckoned by the logbook. Here it is only remembered what was told, in
//! the store, so that a restart neither repeats nor forgets; who had no page open finds
//! it under `due` in the site's view. What is no longer due is forgotten, so that it is
//! told again if a later reading makes it due once more.

use crate::ledger::Ledger;
use crate::state::{Hub, Signal};
use serde::{Deserialize, Serialize};
use slowstone_curing::predict::MilestoneKind;
use slowstone_curing::units::AtMs;
use slowstone_logbook::view::Reminder;
use slowstone_store::StoreError;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

/// How often the clock is looked at.
const EVERY: Duration = Duration::from_secs(15);

/// One reminder that was told. After a snooze it is another one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
struct Told {
    pour: String,
    kind: MilestoneKind,
    snoozed: Option<AtMs>,
}

impl Told {
    fn of(reminder: &Reminder) -> Self {
        Self {
            pour: reminder.pour.clone(),
            kind: reminder.kind,
            snoozed: reminder.snoozed.then_some(reminder.from_ms),
        }
    }
}

/// Runs until the hub stops.
pub async fn run(hub: Arc<Hub>) {
    let mut stopping = hub.stopping.clone();
    loop {
        let now = hub.now();
        match hub.with_ledger(move |ledger| look(ledger, now)).await {
            Some(Ok(due)) => {
                for signal in due {
                    let _ = hub.signals.send(signal);
                }
            }
            Some(Err(e)) => tracing::warn!("reminders wait: {e}"),
            None => {}
        }
        tokio::select! {
            () = tokio::time::sleep(EVERY) => {}
            () = hub.nudge.notified() => {}
            _ = stopping.wait_for(|stop| *stop) => return,
        }
    }
}

/// What became due and was not told yet; it counts as told from here on.
fn look(ledger: &mut Ledger, now: AtMs) -> Result<Vec<Signal>, StoreError> {
    let mut fresh = Vec::new();
    for card in ledger.book().sites() {
        let Some(view) = ledger.book().site_view(&card.id, now) else {
            continue;
        };
        let key = format!("told/{}", card.id);
        let before: BTreeSet<Told> = ledger
            .setting(&key)?
            .and_then(|text| serde_json::from_str(&text).ok())
            .unwrap_or_default();
        let due: BTreeSet<Told> = view.due.iter().map(Told::of).collect();
        if due != before {
            let text = serde_json::to_string(&due).unwrap_or_default();
            ledger.remember(&key, &text)?;
        }
        let news = view
            .due
            .into_iter()
            .filter(|r| !before.contains(&Told::of(r)));
        fresh.extend(news.map(|reminder| Signal::Due {
            site: card.id.clone(),
            reminder,
        }));
    }
    Ok(fresh)
}
