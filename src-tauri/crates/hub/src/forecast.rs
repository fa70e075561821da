//! The hourly forecast, fetched from an open service that the keeper names; off at first.
//!
//! Nothing is sent before it is switched on; then each place is asked for every six hours,
//! with its latitude and longitude rounded to a hundredth of a degree (about 1 km) and
//! nothing else. The answer has the common free form `{"hourly": {"time": [...],
//! "temperature_2m": [...], ...}, "hourly_units": {...}}` with times in UTC; it is stored as
//! hourly entries, like a table that somebody loads ([`crate::api::hourly`]). Thermometer readings
//! stay above it, and without it what was typed counts.

use crate::firm;
use crate::remind::outward;
use crate::state::Hub;
use crate::trust::{Door, Role, Who};
use chrono::{DateTime, NaiveDateTime};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use slowstone_curing::units::AtMs;
use slowstone_logbook::facts::HourlyRow;
use slowstone_logbook::limits::FieldError;
use slowstone_logbook::misfit::{Misfit, MisfitCode};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

/// Setting: what is chosen.
pub const KEY: &str = "weather/settings";
/// Beginning of the settings that say how the last fetch went; the site's id follows.
pub const STATUS: &str = "weather/site/";
/// How often the clock is looked at.
const LOOK: Duration = Duration::from_secs(60);
/// A forecast is fetched anew after this, ms.
pub const EVERY: i64 = 6 * 3_600_000;
/// After a failure it is tried again after this, ms.
const AGAIN: i64 = 15 * 60_000;
/// Bytes of an answer at most.
const MOST: u64 = 1 << 20;
/// Hours of an answer that are taken at most: a week.
const HOURS: usize = 24 * 7;

/// What is chosen.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
#[schemars(rename = "ForecastChoice")]
pub struct Settings {
    /// Whether anything is asked for.
    pub on: bool,
    /// Address with `{lat}` and `{lon}` in it.
    pub address: String,
    /// Places by the ids of their sites: latitude and longitude, degrees.
    pub places: BTreeMap<String, (f64, f64)>,
}

/// How the last fetch for a site went.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[schemars(rename = "ForecastStatus")]
pub struct Status {
    /// When it was tried last.
    pub tried_ms: i64,
    /// When a forecast came last; 0 for never.
    pub came_ms: i64,
    /// Hours of it.
    pub hours: usize,
    /// Why none came at the last try; empty if one did.
    pub why: String,
}

impl Settings {
    /// Reads what is stored.
    #[must_use]
    pub fn read(text: Option<&str>) -> Self {
        text.and_then(|t| serde_json::from_str(t).ok())
            .unwrap_or_default()
    }

    /// Whether all of it can be.
    ///
    /// # Errors
    /// The first field that cannot be as it is.
    pub fn check(&self) -> Result<(), FieldError> {
        for (lat, lon) in self.places.values() {
            for (field, value, most) in [("lat", *lat, 90.0), ("lon", *lon, 180.0)] {
                if !(-most..=most).contains(&value) {
                    let why = Misfit::range(-most, most, "°");
                    return Err(FieldError::new(field, &value.to_string(), why));
                }
            }
        }
        if self.address.is_empty() && !self.on {
            return Ok(());
        }
        if !self.address.contains("{lat}") || !self.address.contains("{lon}") {
            let why = MisfitCode::PlaceMissing;
            return Err(FieldError::new("address", &self.address, why));
        }
        let asked = filled(&self.address, (0.0, 0.0));
        match outward::address(&asked) {
            Ok(_) => Ok(()),
            Err(why) => Err(FieldError::new("address", &self.address, why)),
        }
    }
}

/// The address for a place.
fn filled(address: &str, (lat, lon): (f64, f64)) -> String {
    let short = |x: f64| format!("{x:.2}");
    address
        .replace("{lat}", &short(lat))
        .replace("{lon}", &short(lon))
}

/// The hours of an answer.
#[derive(Debug, Default)]
pub struct Table {
    /// By time, one to an instant.
    pub rows: Vec<HourlyRow>,
    /// Hours without a time or a temperature.
    pub odd_rows: usize,
}

/// Reads an answer.
///
/// # Errors
/// What it lacks, in words.
pub fn read(bytes: &[u8]) -> Result<Table, String> {
    let odd = || "its answer is no hourly forecast in the common form".to_owned();
    let all: Value = serde_json::from_slice(bytes).map_err(|_| odd())?;
    let hourly = all.get("hourly").ok_or_else(odd)?;
    let column = |name: &str| hourly.get(name).and_then(Value::as_array);
    let unit = |name: &str| {
        all.pointer(&format!("/hourly_units/{name}"))
            .and_then(Value::as_str)
            .unwrap_or_default()
    };
    let times = column("time").ok_or_else(odd)?;
    let temps = column("temperature_2m").ok_or("its answer has no temperature_2m")?;
    let offset = all
        .get("utc_offset_seconds")
        .and_then(Value::as_i64)
        .unwrap_or(0);
    let value = |c: Option<&Vec<Value>>, i: usize| c.and_then(|c| c.get(i)?.as_f64());
    let (humidity, wind) = (column("relative_humidity_2m"), column("wind_speed_10m"));
    let fahrenheit = unit("temperature_2m").contains('F');
    let to_kmh = match unit("wind_speed_10m") {
        "m/s" | "ms" => 3.6,
        "mp/h" | "mph" => 1.609_344,
        "kn" => 1.852,
        _ => 1.0,
    };
    let mut table = Table::default();
    for (i, time) in times.iter().enumerate().take(HOURS) {
        let (Some(at_ms), Some(temp)) = (instant(time, offset), value(Some(temps), i)) else {
            table.odd_rows += 1;
            continue;
        };
        table.rows.push(HourlyRow {
            air_c: Some(if fahrenheit {
                (temp - 32.0) / 1.8
            } else {
                temp
            }),
            rh_pct: value(humidity, i),
            wind_kmh: value(wind, i).map(|w| w * to_kmh),
            ..HourlyRow::at(at_ms)
        });
    }
    table.rows.sort_by_key(|r| r.at_ms);
    table.rows.dedup_by_key(|r| r.at_ms);
    match table.rows.is_empty() {
        true => Err(odd()),
        false => Ok(table),
    }
}

fn instant(time: &Value, offset_s: i64) -> Option<AtMs> {
    if let Some(seconds) = time.as_i64() {
        return seconds.checked_mul(1000).map(AtMs);
    }
    let text = time.as_str()?;
    if let Ok(t) = DateTime::parse_from_rfc3339(text) {
        return Some(AtMs(t.timestamp_millis()));
    }
    let local = NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M").ok()?;
    Some(AtMs(local.and_utc().timestamp_millis() - offset_s * 1000))
}

/// Fetches for one site and stores it; says how it went.
pub async fn fetch(hub: &Arc<Hub>, site: &str, address: &str, place: (f64, f64)) -> Status {
    let now = hub.now().0;
    let key = format!("{STATUS}{site}");
    let before = hub.with_ledger({
        let key = key.clone();
        move |l| l.setting(&key).ok().flatten()
    });
    let before: Status = before
        .await
        .flatten()
        .and_then(|t| serde_json::from_str(&t).ok())
        .unwrap_or_default();
    let asked = filled(address, place);
    let got = async {
        let uri =
            outward::address(&asked).map_err(|why| format!("the address {}", Misfit::from(why)))?;
        let source = uri.host().unwrap_or_default().to_owned();
        let bytes = tokio::task::spawn_blocking(move || outward::fetch(uri, MOST));
        let bytes = bytes.await.map_err(|e| e.to_string())??;
        let table = read(&bytes)?;
        let fetched = DateTime::from_timestamp_millis(now).unwrap_or_default();
        let source = format!("{source}, {}", fetched.format("%Y-%m-%d %H:%M UTC"));
        let who = Who {
            device: String::new(),
            name: String::new(),
            role: Role::Helper,
            via: Door::Here,
        };
        let hours = table.rows.len();
        let stored =
            crate::api::hourly::store_rows(hub, &who, site, "Slowstone", &source, &table.rows);
        stored.await.map_err(|refusal| refusal.text().to_owned())?;
        Ok::<usize, String>(hours)
    };
    let status = match got.await {
        Ok(hours) => Status {
            tried_ms: now,
            came_ms: now,
            hours,
            why: String::new(),
        },
        Err(why) => Status {
            tried_ms: now,
            why,
            ..before
        },
    };
    let noted = status.clone();
    let kept = hub.with_ledger(move |l| l.remember_as(&key, &noted)).await;
    if let Some(Err(e)) = kept {
        tracing::warn!("how a forecast went cannot be kept: {e}");
    }
    status
}

/// Runs until the hub stops.
pub async fn run(hub: Arc<Hub>) {
    let mut stopping = hub.stopping.clone();
    loop {
        let work = async {
            let now = hub.now().0;
            let due = hub.with_ledger(move |ledger| {
                // On a shared log one hub fetches for all.
                if !firm::my_turn(ledger, AtMs(now)).unwrap_or(false) {
                    return Vec::new();
                }
                let settings = Settings::read(ledger.setting(KEY).ok().flatten().as_deref());
                let mut due = Vec::new();
                for (site, place) in settings.places.iter().filter(|_| settings.on) {
                    let text = ledger.setting(&format!("{STATUS}{site}")).ok().flatten();
                    let last: Status = text
                        .and_then(|t| serde_json::from_str(&t).ok())
                        .unwrap_or_default();
                    let wait = if last.why.is_empty() { EVERY } else { AGAIN };
                    if now - last.tried_ms >= wait {
                        due.push((site.clone(), settings.address.clone(), *place));
                    }
                }
                due
            });
            for (site, address, place) in due.await.unwrap_or_default() {
                fetch(&hub, &site, &address, place).await;
            }
            tokio::time::sleep(LOOK).await;
        };
        tokio::select! {
            () = work => {}
            _ = stopping.wait_for(|stop| *stop) => return,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_in_the_common_form() {
        let table = read(br#"{"utc_offset_seconds":7200,"hourly_units":{"temperature_2m":"\u00b0F","wind_speed_10m":"m/s"},
            "hourly":{"time":["2026-10-03T12:00","2026-10-03T13:00","soon"],"temperature_2m":[50.0,null,1],
            "relative_humidity_2m":[80,81,82],"wind_speed_10m":[2.5,3,4]}}"#).unwrap();
        assert_eq!((table.rows.len(), table.odd_rows), (1, 2));
        let row = &table.rows[0];
        // 12:00 two hours ahead of UTC is 10:00 UTC: `date -u -d 2026-10-03T10:00Z +%s`.
        assert_eq!(
            (row.at_ms, row.rh_pct, row.wind_kmh),
            (AtMs(1_791_021_600_000), Some(80.0), Some(9.0))
        );
        assert!((row.air_c.unwrap() - 10.0).abs() < 1e-9);
        for bad in [
            &b"<html>"[..],
            b"{}",
            br#"{"hourly":{"time":[]}}"#,
            br#"{"hourly":{"time":[],"temperature_2m":[]}}"#,
        ] {
            assert!(read(bad).is_err());
        }
    }

    #[test]
    fn the_place_is_rounded_before_it_is_sent() {
        let a = filled(
            "https://example.org/?a={lat}&b={lon}",
            (59.913_868, -10.752_245),
        );
        assert_eq!(a, "https://example.org/?a=59.91&b=-10.75");
        let with = |address: &str| Settings {
            on: true,
            address: address.into(),
            ..Settings::default()
        };
        assert!(with("https://example.org/").check().is_err());
        assert!(with("https://example.org/{lat}/{lon}").check().is_ok());
        assert!(Settings::default().check().is_ok());
    }
}
