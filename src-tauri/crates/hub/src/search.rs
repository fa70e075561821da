//! Finds sites, pours, notes, mixes, additives, photos and people by their words, whatever
//! their accents and capitals.
//!
//! Goes through what the log adds up to, record by record; a hub holds few enough. Every word
//! that is asked for must be there. The address: [`crate::api::search`].

use crate::handover::names::plain;
use crate::ledger::Ledger;
use serde::Serialize;
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::book::Folded;
use slowstone_logbook::facts::Fact;
use std::collections::BTreeMap;

/// Most hits that are given.
const MOST: usize = 200;

/// Kinds that hold nothing to find, and fields that no person reads.
const SILENT: [&str; 3] = ["hash", "format", "date"];

/// What is asked for.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Words.
    pub words: String,
    /// Only what this person logged.
    pub by: Option<String>,
    /// Only records of this kind.
    pub kind: Option<String>,
    /// Only of this site.
    pub site: Option<String>,
}

/// Something that was found.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Hit {
    /// The site.
    pub site: String,
    /// Its name.
    pub site_name: String,
    /// It was put away.
    pub archived: bool,
    /// The record.
    pub id: String,
    /// Its kind.
    pub kind: String,
    /// The pour that it is or hangs on.
    pub pour: Option<String>,
    /// Number of the step of that pour.
    pub step_number: Option<u32>,
    /// Name of the record, or of its step or sample.
    pub name: String,
    /// What was seen (an observation) or the stage of work (a photo), as a code; else empty.
    pub what: String,
    /// The text that the words stand in.
    pub text: String,
    /// Who logged it.
    pub by: String,
    /// The person whose device it came from, if it names another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entered_by: Option<String>,
    /// When: of a pour when it began, else when it was logged.
    pub at_ms: AtMs,
}

/// What a search gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Found {
    /// Hits, the newest first.
    pub hits: Vec<Hit>,
    /// There are more than these.
    pub more: bool,
    /// Everybody who logged something, with how much of what was found is theirs.
    pub people: Vec<(String, usize)>,
}

/// Searches every site.
pub fn search(ledger: &mut Ledger, query: &Query) -> Found {
    let words: Vec<String> = plain(&query.words)
        .split_whitespace()
        .map(str::to_owned)
        .collect();
    let mut hits = Vec::new();
    for card in ledger.sites() {
        if query.site.as_ref().is_some_and(|s| *s != card.id) {
            continue;
        }
        let place = (card.id.as_str(), card.name.as_str(), card.archived);
        in_site(ledger.folded(&card.id), place, &words, query, &mut hits);
    }
    hits.sort_by(|a, b| b.at_ms.cmp(&a.at_ms).then_with(|| a.id.cmp(&b.id)));
    let mut people: BTreeMap<String, usize> = BTreeMap::new();
    for hit in &hits {
        *people.entry(hit.by.clone()).or_default() += 1;
    }
    if let Some(by) = &query.by {
        hits.retain(|hit| hit.by == *by);
    }
    let more = hits.len() > MOST;
    hits.truncate(MOST);
    Found {
        hits,
        more,
        people: people.into_iter().collect(),
    }
}

fn in_site(
    sum: &Folded,
    (site, site_name, archived): (&str, &str, bool),
    words: &[String],
    query: &Query,
    hits: &mut Vec<Hit>,
) {
    for (id, entry) in sum.entries.iter() {
        let Some((kind, value)) = shown(&entry.fact) else {
            continue;
        };
        if query.kind.as_ref().is_some_and(|k| k != kind) {
            continue;
        }
        let (pour, step_number, name) = place_of(sum, id, &entry.fact);
        let mut texts = Vec::new();
        collect(&value, sum, &mut texts);
        let all = plain(&format!(
            "{name} {} {} {}",
            texts.join(" "),
            entry.by,
            if kind == "site" { "" } else { site_name }
        ));
        // The name of a site finds the site; what is on it must have a word of its own.
        let own = plain(&format!("{name} {} {}", texts.join(" "), entry.by));
        if !words.iter().all(|w| all.contains(w))
            || (!words.is_empty() && !words.iter().any(|w| own.contains(w)))
        {
            continue;
        }
        let fits = texts
            .iter()
            .find(|t| words.iter().any(|w| plain(t).contains(w)));
        let at_ms = match &entry.fact {
            Fact::Pour(p) => p.started_ms,
            Fact::Photo(p) => p.taken_ms,
            Fact::Observation(o) => o.at_ms,
            Fact::Reading(r) => r.at_ms,
            _ => entry.at_ms,
        };
        let code = |field: &str| value.get(field).and_then(Value::as_str);
        let what = match &entry.fact {
            Fact::Observation(_) => code("what"),
            Fact::Photo(_) => code("stage"),
            _ => None,
        };
        hits.push(Hit {
            what: what.unwrap_or_default().to_owned(),
            site: site.to_owned(),
            site_name: site_name.to_owned(),
            archived,
            id: id.clone(),
            kind: kind.to_owned(),
            pour,
            step_number,
            name,
            text: fits
                .map(|t| t.chars().take(200).collect())
                .unwrap_or_default(),
            by: entry.by.clone(),
            entered_by: entry.entered_by.clone(),
            at_ms,
        });
    }
}

/// Kind and fields of what can be found; none of what holds no words.
fn shown(fact: &Fact) -> Option<(&'static str, Value)> {
    let (kind, value) = match fact {
        Fact::Site(x) => ("site", serde_json::to_value(x)),
        Fact::Flight(x) => ("flight", serde_json::to_value(x)),
        Fact::Step(x) => ("step", serde_json::to_value(x)),
        Fact::Mix(x) => ("mix", serde_json::to_value(x)),
        Fact::Additive(x) => ("additive", serde_json::to_value(x)),
        Fact::Form(x) => ("form", serde_json::to_value(x)),
        Fact::Liner(x) => ("liner", serde_json::to_value(x)),
        Fact::Pour(x) => ("pour", serde_json::to_value(x)),
        Fact::Batch(x) if !x.note.is_empty() => ("batch", serde_json::to_value(x)),
        Fact::Reading(x) if !x.note.is_empty() => ("reading", serde_json::to_value(x)),
        Fact::Observation(x) => ("observation", serde_json::to_value(x)),
        Fact::Photo(x) => ("photo", serde_json::to_value(x)),
        _ => return None,
    };
    value.ok().map(|value| (kind, value))
}

/// The pour, the number of its step and a name.
fn place_of(sum: &Folded, id: &str, fact: &Fact) -> (Option<String>, Option<u32>, String) {
    let pour = match fact {
        Fact::Pour(_) => Some(id.to_owned()),
        Fact::Batch(x) => Some(x.pour.clone()),
        Fact::Observation(x) => Some(x.pour.clone()),
        Fact::Reading(x) => x.pour.clone(),
        Fact::Photo(x) => x.pour.clone(),
        _ => None,
    };
    let named = |fact: &Fact| match fact {
        Fact::Site(x) => (None, x.name.clone()),
        Fact::Flight(x) => (None, x.name.clone()),
        Fact::Step(x) => (Some(x.number), x.name.clone()),
        Fact::Mix(x) => (None, x.name.clone()),
        Fact::Additive(x) => (None, x.name.clone()),
        Fact::Form(x) => (None, x.name.clone()),
        Fact::Liner(x) => (None, x.name.clone()),
        _ => (None, String::new()),
    };
    let of = pour
        .as_ref()
        .and_then(|id| match &sum.entries.get(id)?.fact {
            Fact::Pour(p) => Some(p),
            _ => None,
        });
    let (number, name) = match of {
        Some(p) => match p.step.as_ref().and_then(|s| sum.entries.get(s)) {
            Some(step) => named(&step.fact),
            None => (None, p.name.clone()),
        },
        None => named(fact),
    };
    (pour, number, name)
}

/// Every text of a record that a person wrote; ids of other records are none.
fn collect(value: &Value, sum: &Folded, into: &mut Vec<String>) {
    match value {
        Value::String(text) if !text.is_empty() && sum.entries.get(text).is_none() => {
            into.push(text.clone());
        }
        Value::Array(list) => list.iter().for_each(|v| collect(v, sum, into)),
        Value::Object(map) => {
            let read = map
                .iter()
                .filter(|(key, _)| !SILENT.contains(&key.as_str()));
            read.for_each(|(_, v)| collect(v, sum, into));
        }
        _ => {}
    }
}
