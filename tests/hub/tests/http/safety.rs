//! What must survive: restarts, a second hub, and data that are not its own.

use crate::client::{Hub, a_flight_with_two_steps, a_mix, a_pour, config, empty_dir, event};
use crate::picture::jpeg;
use serde_json::json;
use slowstone_hub::{Demo, HubError, start};
use slowstone_store::{EventLog, HubEpoch, OpenOptions, SqliteLog, StreamId, verify};
use slowstone_sync::Chain;

#[test]
fn a_restart_keeps_everything() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 30)]));
    let photo = hub.photo("name=a.jpg", &jpeg(64, 48, 0)).json;
    let strip = |hub: &Hub| {
        let mut view = hub.site();
        // The clocks of the two runs differ a little.
        view["now_ms"] = json!(0);
        view["steps"][0]["pour"]["now_mpa"] = json!(0);
        view["steps"][0]["pour"]["share"] = json!(0);
        view
    };
    let before = strip(&hub);
    let token = hub.token.clone();
    hub.stop();
    let hub = Hub::on(dir.path());
    assert_ne!(hub.token, token, "every start has its own token");
    assert_eq!(strip(&hub), before);
    let hash = photo["photo"]["hash"].as_str().unwrap();
    assert_eq!(
        hub.get(&format!("/api/photos/{hash}")).bytes,
        jpeg(64, 48, 0)
    );
    // It goes on in the same stream.
    hub.must(json!([event(
        "read-0001",
        "reading",
        json!({ "at_ms": crate::client::NOW, "air_c": 9.0 })
    )]));
    hub.stop();
    let log = SqliteLog::open_read_only(&dir.path().join("log.sqlite")).unwrap();
    let report = verify(&log).unwrap();
    assert!(report.is_clean(), "{report:?}");
    assert_eq!((report.streams, report.records), (1, 8));
}

#[test]
fn a_second_hub_on_the_same_data_is_refused() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let runtime = tokio::runtime::Runtime::new().unwrap();
    match runtime.block_on(start(config(dir.path(), Demo::Empty))) {
        Err(HubError::AlreadyRunning(which)) => assert_eq!(which, dir.path()),
        other => panic!("{other:?}"),
    }
    hub.must(a_flight_with_two_steps());
    hub.stop();
    Hub::on(dir.path()).stop();
}

#[test]
fn entries_that_this_version_cannot_read_do_no_harm_and_stay() {
    let dir = empty_dir();
    Hub::on(dir.path()).stop();
    let file = dir.path().join("log.sqlite");
    let options = OpenOptions::new(HubEpoch::new("unused").unwrap());
    let mut log = SqliteLog::open(&file, &options).unwrap();
    let mut chain = Chain::start(StreamId::new("phone1", "k3v9").unwrap());
    let bodies = ["not JSON at all", "{\"id\": 7}", "{\"future\": true}"];
    let records = bodies.map(|body| chain.next(body).unwrap());
    log.append(&records, 0).unwrap();
    drop(log);
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.stop();
    let log = SqliteLog::open_read_only(&file).unwrap();
    assert_eq!(log.len().unwrap(), 7);
    assert_eq!(log.read_stream(&records[0].stream, 1, 9).unwrap(), records);
}

#[test]
fn a_damaged_log_is_said_and_not_touched() {
    let dir = empty_dir();
    let file = dir.path().join("log.sqlite");
    std::fs::write(&file, b"this is no log of anything, sorry").unwrap();
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let said = runtime
        .block_on(start(config(dir.path(), Demo::IfNew)))
        .unwrap_err();
    assert!(said.to_string().contains("log.sqlite"), "{said}");
    assert_eq!(
        std::fs::read(&file).unwrap(),
        b"this is no log of anything, sorry"
    );
}

#[test]
fn the_demonstration_site_comes_once_and_only_into_new_data() {
    let dir = empty_dir();
    let hub = Hub::start(dir.path(), Demo::IfNew);
    let sites = hub.get("/api/sites").json;
    assert_eq!(sites.as_array().unwrap().len(), 1);
    let site = sites[0]["id"].as_str().unwrap().to_owned();
    let view = hub.get(&format!("/api/sites/{site}")).json;
    assert_eq!(
        (&view["problems"], &view["conflicts"], &view["loose_photos"]),
        (&json!([]), &json!([]), &json!([]))
    );
    let steps = view["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 9);
    for step in &steps[..5] {
        let card = &step["pour"];
        assert!(card["photos"].as_u64().unwrap() > 0, "{card}");
        let pour = hub.get(&format!(
            "/api/sites/{site}/pours/{}",
            card["id"].as_str().unwrap()
        ));
        assert_eq!(pour.status, 200);
        assert_eq!(pour.json["mixed"]["bags"], json!(6.0));
        for photo in pour.json["photos"].as_array().unwrap() {
            assert_eq!(photo["fact"]["time_source"], "exif_site_zone");
            assert_eq!(photo["fact"]["problems"], json!([]));
            let hash = photo["fact"]["hash"].as_str().unwrap();
            assert_eq!(hub.get(&format!("/api/photos/{hash}?size=512")).status, 200);
        }
    }
    assert!(steps[6..].iter().all(|s| s["pour"].is_null()));
    hub.stop();
    // A second start adds nothing; data begun without it stay without it.
    let hub = Hub::start(dir.path(), Demo::IfNew);
    assert_eq!(hub.get("/api/sites").json.as_array().unwrap().len(), 1);
    hub.stop();
    let bare = empty_dir();
    Hub::start(bare.path(), Demo::Empty).stop();
    let hub = Hub::start(bare.path(), Demo::IfNew);
    assert_eq!(hub.get("/api/sites").json, json!([]));
    hub.stop();
}
