//! What two partners have to send each other, and what a changed hub epoch means.
//!
//! Both sides show their heads; everything else follows from comparing them, so a broken
//! connection, a repeated message or a hub set back to last week needs no special case.
//! The bookmark is only a short cut for reading. How a record is then taken:
//! [`crate::admit()`].

use crate::ident::{HubEpoch, StreamId};
use crate::record::Head;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Records of one stream from a number to its end.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Range {
    /// Which stream.
    pub stream: StreamId,
    /// First number to send.
    pub from_seq: u64,
}

/// What I have to send to a partner, given my heads and theirs; sorted by stream.
///
/// Two different ends with the same number are sent too: the answer will be a fork, and a
/// fork must come to light.
///
/// ```
/// use slowstone_sync::{missing, Chain, Range, StreamId};
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let old = chain.next("{}").unwrap().head();
/// let new = chain.next("{}").unwrap().head();
/// let stream = new.stream.clone();
/// assert_eq!(missing(&[new.clone()], &[old.clone()]), [Range { stream, from_seq: 2 }]);
/// assert_eq!(missing(&[old], &[new]), []);
/// ```
#[must_use]
pub fn missing(mine: &[Head], theirs: &[Head]) -> Vec<Range> {
    let theirs = by_stream(theirs);
    by_stream(mine)
        .into_iter()
        .filter_map(|(stream, my)| {
            let from_seq = match theirs.get(stream) {
                None => 1,
                Some(their) if their.seq < my.seq => their.seq.saturating_add(1),
                Some(their) if their.seq == my.seq && their.hash != my.hash => my.seq,
                Some(_) => return None,
            };
            let stream = stream.clone();
            (my.seq >= from_seq).then_some(Range { stream, from_seq })
        })
        .collect()
}

/// The furthest head of every stream.
fn by_stream(heads: &[Head]) -> BTreeMap<&StreamId, &Head> {
    let mut map: BTreeMap<&StreamId, &Head> = BTreeMap::new();
    for head in heads {
        let best = map.entry(&head.stream).or_insert(head);
        if head.seq > best.seq {
            *best = head;
        }
    }
    map
}

/// How far a client has read the log of a hub.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bookmark {
    /// The hub's epoch at that time.
    pub epoch: HubEpoch,
    /// Position of the last record read; 0 before the first.
    pub position: u64,
}

/// What a hub says of itself when a client comes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HubState {
    /// Its present epoch.
    pub epoch: HubEpoch,
    /// Position of its last record; 0 if it has none.
    pub position: u64,
    /// The heads of all its streams.
    pub heads: Vec<Head>,
}

/// What a client does now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Meeting {
    /// The hub is not the one of last time (restored from a backup, or set up anew): what
    /// was shown as synced is so only for what the hub still has.
    pub renewed: bool,
    /// What the hub lacks, of any device's stream, and is to be sent.
    pub send: Vec<Range>,
    /// What the client lacks, by streams.
    pub fetch: Vec<Range>,
    /// Where to go on reading by position: after this one. 0 when the hub is renewed.
    /// If `fetch` still names something when the end is reached, fetch it by streams.
    pub bookmark: Bookmark,
}

/// Compares a client (its heads and its bookmark, if it was here before) with a hub.
///
/// A hub counts as renewed if its epoch has changed, or if it ends before the bookmark: an
/// old file that was copied back by hand still carries its old epoch. What to send never
/// depends on that, it follows from the heads alone; so a hub set back to an old backup is
/// refilled by the clients, each offering whatever it holds and the hub lacks.
///
/// ```
/// use slowstone_sync::{Bookmark, Chain, HubEpoch, HubState, Range, StreamId, meet};
/// let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
/// let (old, new) = (chain.next("{}").unwrap().head(), chain.next("{}").unwrap().head());
/// let stream = new.stream.clone();
/// // The hub was set back to a backup from before the second record.
/// let last_time = Bookmark { epoch: HubEpoch::new("h1").unwrap(), position: 2 };
/// let hub = HubState { epoch: HubEpoch::new("h2").unwrap(), position: 1, heads: vec![old] };
/// let meeting = meet(&[new], Some(&last_time), &hub);
/// assert!(meeting.renewed);
/// assert_eq!(meeting.send, [Range { stream, from_seq: 2 }]);
/// assert_eq!(meeting.bookmark.position, 0);
/// ```
#[must_use]
pub fn meet(mine: &[Head], bookmark: Option<&Bookmark>, hub: &HubState) -> Meeting {
    let renewed = bookmark.is_some_and(|b| b.epoch != hub.epoch || b.position > hub.position);
    let position = match bookmark {
        Some(b) if !renewed => b.position,
        _ => 0,
    };
    Meeting {
        renewed,
        send: missing(mine, &hub.heads),
        fetch: missing(&hub.heads, mine),
        bookmark: Bookmark {
            epoch: hub.epoch.clone(),
            position,
        },
    }
}
