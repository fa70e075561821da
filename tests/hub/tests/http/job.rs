//! The whole job, from an empty hub to a step with its record.

use crate::client::{
    HOUR, Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event,
};
use crate::picture;
use serde_json::json;
use slowstone_curing::predict::MilestoneKind;
use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::time::Duration;

#[test]
fn from_a_site_to_a_corrected_record() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    assert_eq!(hub.get("/api/sites").json, json!([]));

    hub.must(a_flight_with_two_steps());
    hub.must(json!([
        a_mix(),
        event(
            "ochre-001",
            "additive",
            json!({ "name": "Ochre", "kind": "pigment", "min_pct": 1.0, "max_pct": 6.0 })
        ),
        event(
            "form-0001",
            "form",
            json!({ "name": "Boards", "material": "timber", "board_mm": 28.0 })
        ),
    ]));
    let sites = hub.get("/api/sites").json;
    assert_eq!(
        (&sites[0]["id"], &sites[0]["steps"]),
        (&json!(SITE), &json!(2))
    );
    let view = hub.site();
    assert_eq!(view["steps"].as_array().unwrap().len(), 2);
    assert_eq!(view["steps"][0]["pour"], json!(null));

    hub.must(json!([
        a_pour("pour-0001", 5),
        event(
            "batch-001",
            "batch",
            json!({ "pour": "pour-0001", "bags": 2.0, "water_l": 5.4,
            "additives": [{ "additive": "ochre-001", "amount": 252.0 }] })
        ),
        event(
            "batch-002",
            "batch",
            json!({ "pour": "pour-0001", "bags": 2.0, "water_l": 5.6,
            "additives": [{ "additive": "ochre-001", "amount": 252.0 }] })
        ),
    ]));
    let pour = hub.pour("pour-0001");
    assert_eq!(pour["mixed"]["bags"], json!(4.0));
    // 504 g on 4 bags of 30 kg with 14 % cement: 0.504 / 16.8 = 3 %.
    let pct = pour["mixed"]["doses"][0]["pct_of_cement"].as_f64().unwrap();
    assert!((pct - 3.0).abs() < 1e-9, "{pct}");
    assert_eq!(pour["milestones"].as_array().unwrap().len(), 11, "{pour}");

    // A photo that carries its time: 04:30 in Denver (UTC-6) is half an hour after now's
    // 10:00Z, so take one of 00:30 = 06:30Z, an hour and a half into the pour.
    let photo = picture::with_exif(&picture::jpeg(320, 200, 1), "2026:10:03 00:30:00", None, 1);
    let said = hub.photo("name=step.jpg", &photo);
    assert_eq!(said.status, 200, "{}", said.json);
    assert_eq!(said.json["photo"]["pour"], "pour-0001");
    assert_eq!(said.json["photo"]["time_source"], "exif_site_zone");
    assert_eq!(said.json["photo"]["taken_ms"], json!(NOW - 7 * HOUR / 2));
    assert!(
        said.json["said"]
            .as_str()
            .unwrap()
            .contains("America/Denver"),
        "{}",
        said.json
    );

    hub.must(json!([
        event(
            "read-0001",
            "reading",
            json!({ "at_ms": NOW, "air_c": 9.0, "rh_pct": 80.0 })
        ),
        event(
            "seen-0001",
            "observation",
            json!({ "pour": "pour-0001", "at_ms": NOW - 2 * HOUR, "what": "sheen_gone" })
        ),
        event(
            "fix-00001",
            "correction",
            json!({ "target": "batch-002", "changes": { "water_l": 5.5 } })
        ),
        event(
            "back-0001",
            "retraction",
            json!({ "target": "read-0001", "why": "wrong thermometer" })
        ),
    ]));
    let pour = hub.pour("pour-0001");
    assert_eq!(pour["mixed"]["water_l"], json!(10.9));
    assert_eq!(pour["photos"].as_array().unwrap().len(), 1);
    assert_eq!(pour["observations"][0]["fact"]["what"], "sheen_gone");
    let sheen = &pour["milestones"][0];
    assert_eq!(
        (&sheen["kind"], &sheen["seen"]),
        (&json!("sheen_gone"), &json!(NOW - 2 * HOUR))
    );
    let view = hub.site();
    assert_eq!(view["weather"], json!([]), "the reading was taken back");
    assert_eq!(view["problems"], json!([]));

    let history = hub
        .get(&format!("/api/sites/{SITE}/history/batch-002"))
        .json;
    let what: Vec<&str> = history
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["what"].as_str().unwrap())
        .collect();
    assert_eq!(what, ["created", "corrected"]);
    assert_eq!(history[1]["fields"][0], json!(["water_l", 5.6, 5.5]));
    hub.stop();
}

#[test]
fn a_watcher_hears_of_changes_and_of_what_is_due() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.never_quiet();
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix()]));
    let mut stream = TcpStream::connect(("127.0.0.1", hub.port())).unwrap();
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    let ask = format!(
        "GET /api/watch HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nAuthorization: Bearer {}\r\n\r\n",
        hub.port(),
        hub.token
    );
    stream.write_all(ask.as_bytes()).unwrap();
    let mut lines = BufReader::new(stream).lines().map(Result::unwrap);
    assert!(lines.next().unwrap().contains("200"));
    assert!(lines.any(|l| l.eq_ignore_ascii_case("content-type: text/event-stream")));

    // Ten days at 18 °C: the form may come off.
    hub.must(json!([a_pour("pour-0001", 240)]));
    assert!(lines.any(|l| l == "event: changed"));
    let changed = lines.find(|l| l.starts_with("data: ")).unwrap();
    assert_eq!(
        changed,
        format!("data: {{\"site\":\"{SITE}\",\"events\":6}}")
    );
    let mut due = Vec::new();
    while !due.contains(&"form_off".to_owned()) {
        assert!(lines.any(|l| l == "event: due"));
        let data = lines.find(|l| l.starts_with("data: ")).unwrap();
        let data: serde_json::Value = serde_json::from_str(&data[6..]).unwrap();
        assert_eq!(
            (&data["site"], &data["pour"]),
            (&json!(SITE), &json!("pour-0001"))
        );
        due.push(data["kind"].as_str().unwrap().to_owned());
    }
    assert!(
        hub.site()["due"]
            .as_array()
            .unwrap()
            .iter()
            .any(|d| d["kind"] == "form_off")
    );
    // Stopping sends watchers home: the stream ends and does not hang.
    hub.stop();
    lines.for_each(drop);
}

#[test]
fn what_was_told_is_not_told_again_after_a_restart() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.never_quiet();
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 240)]));
    // What is due is in the journal as soon as it was told.
    until_told(dir.path(), "pour-0001");
    hub.stop();
    let hub = Hub::on(dir.path());
    assert!(
        hub.site()["due"]
            .as_array()
            .unwrap()
            .iter()
            .any(|d| d["kind"] == "form_off")
    );
    // Something else is told after the restart, the first not a second time.
    let mut other = a_pour("pour-0002", 238);
    other["body"]["step"] = json!("step-0002");
    hub.must(json!([other]));
    until_told(dir.path(), "pour-0002");
    assert_eq!(times_told(dir.path(), "pour-0001"), 1);
    hub.stop();
}

/// In how many messages of the stored journal the form of a pour was due.
fn times_told(dir: &std::path::Path, pour: &str) -> usize {
    use slowstone_hub::remind::journal::{Journal, PREFIX};
    use slowstone_hub::remind::rules::Stage;
    use slowstone_store::Settings;
    let log = slowstone_store::SqliteLog::open_read_only(&dir.join("log.sqlite")).unwrap();
    let text = log.get(&format!("{PREFIX}{SITE}")).unwrap();
    let messages = Journal::read(text.as_deref()).messages;
    let due = |m: &slowstone_hub::remind::journal::Message| {
        m.items
            .iter()
            .any(|i| i.pour == pour && i.stage == Stage::Due && i.kind == MilestoneKind::FormOff)
    };
    messages.iter().filter(|m| due(m)).count()
}

fn until_told(dir: &std::path::Path, pour: &str) {
    for _ in 0..300 {
        if times_told(dir, pour) > 0 {
            return;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    panic!("nobody was told of {pour}");
}

#[test]
fn a_table_of_hours_becomes_the_air_of_the_site_once() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix(), a_pour("pour-0001", 5)]));
    let before = hub.site()["events"].as_u64().unwrap();
    let table = "time,concrete temp,temp (C),humidity\n2026-10-03 10:00,19,6.5,80\n2026-10-03 11:00,20,7,81\nlunch,8,8,\n";
    let path = format!("/api/sites/{SITE}/hourly?by=Tuva&name=logger.csv");
    // What is in it is said, and a proposal: the concrete is not the air.
    let seen = hub.post(&format!("/api/sites/{SITE}/table"), table.as_bytes());
    assert_eq!(seen.status, 200, "{}", seen.json);
    let mut columns = seen.json["guess"].clone();
    assert_eq!(columns["values"][0]["measure"], "middle");
    assert_eq!(columns["values"][1]["measure"], "air");
    assert_eq!(hub.site()["events"], json!(before), "nothing is kept");
    // Without a word of what the columns are nothing is taken.
    let unsaid = hub.post(&path, table.as_bytes());
    assert_eq!(
        (unsaid.status, &unsaid.json["error"]["code"]),
        (422, &json!("table_columns"))
    );
    columns["values"].as_array_mut().unwrap().remove(0);
    let escaped = |text: String| -> String { text.bytes().map(|b| format!("%{b:02X}")).collect() };
    let path = format!("{path}&columns={}", escaped(columns.to_string()));
    for _ in 0..2 {
        let said = hub.post(&path, table.as_bytes());
        assert_eq!(said.status, 200, "{}", said.json);
        assert_eq!(
            (
                &said.json["air"],
                &said.json["concrete"],
                &said.json["odd_count"]
            ),
            (&json!(2), &json!(0), &json!(1))
        );
        assert_eq!(said.json["odd"][0]["line"], 4);
        assert_eq!(said.json["odd"][0]["why"], "no_time");
    }
    assert_eq!(hub.site()["events"], json!(before + 1));
    let air = &hub.pour("pour-0001")["basis"]["air"];
    assert!(air.as_array().unwrap().contains(&json!("hourly")), "{air}");
    let odd = hub.post(&path, b"a picture, perhaps");
    assert_eq!(
        (odd.status, &odd.json["error"]["code"]),
        (422, &json!("no_table"))
    );
}
