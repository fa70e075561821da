//! What a running hub does by itself now and then: counts on the ages of photos that are on
//! their way, and reads every photo again to see whether it is whole.
//!
//! Both go by how long the hub has been running, never by a clock. What a damaged photo means:
//! [`crate::damage`]; parts of photos: [`crate::uploads`].

use crate::damage::Lack;
use crate::state::Hub;
use crate::uploads::HOUR;
use slowstone_store::{Hash32, StoreError};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// How often every photo is read again.
const DAY: Duration = Duration::from_secs(24 * 3600);

/// How long others have the disk between two photos.
const BETWEEN: Duration = Duration::from_millis(10);

/// Does it until the hub stops.
pub async fn run(hub: Arc<Hub>) {
    let mut stopping = hub.stopping.clone();
    tokio::select! {
        _ = stopping.wait_for(|stop| *stop) => {}
        () = count_ages(&hub) => {}
        () = read_photos(&hub) => {}
    }
}

async fn count_ages(hub: &Arc<Hub>) {
    loop {
        tokio::time::sleep(HOUR).await;
        let hub = Arc::clone(hub);
        let counted = tokio::task::spawn_blocking(move || hub.parts.hour_is_over(Instant::now()));
        if let Ok(Err(e)) = counted.await {
            tracing::warn!("the ages of photos on their way are not kept: {e}");
        }
    }
}

async fn read_photos(hub: &Arc<Hub>) {
    loop {
        let named = hub.with_ledger(|ledger| ledger.named_photos()).await;
        match named {
            Some(Ok(named)) => {
                for (hash, photo) in named {
                    look(hub, hash, photo.came_with_it).await;
                    tokio::time::sleep(BETWEEN).await;
                }
            }
            Some(Err(e)) => tracing::warn!("the photos are not looked at: {e}"),
            None => {}
        }
        tokio::time::sleep(DAY).await;
    }
}

/// Reads one photo; one that a phone has named but not sent yet lacks nothing.
async fn look(hub: &Arc<Hub>, hash: Hash32, came_with_it: bool) {
    let shared = Arc::clone(hub);
    let read = tokio::task::spawn_blocking(move || shared.blobs.verify(&hash)).await;
    let lack = match read {
        Ok(Ok(true)) => None,
        Ok(Ok(false)) => came_with_it.then_some(Lack::Missing),
        Ok(Err(StoreError::Altered { .. })) => Some(Lack::Damaged),
        // The disk or the storage is in trouble: nothing is known of the photo.
        Ok(Err(e)) => return tracing::warn!("{e}"),
        Err(_) => return,
    };
    hub.damage.note(hash, lack);
}
