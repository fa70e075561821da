//! The plan over HTTP: view, proposals, table, order of work, drawing, checks.

use crate::client::{
    HOUR, Hub, NOW, SITE, a_flight_with_two_steps, a_mix, a_pour, empty_dir, event,
};
use serde_json::json;

fn planned(hub: &Hub) -> String {
    hub.must(a_flight_with_two_steps());
    hub.must(json!([a_mix()]));
    format!("/api/sites/{SITE}/plan")
}

#[test]
fn the_plan_is_there_and_follows_its_settings() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let plan = planned(&hub);
    let view = hub.get(&plan).json;
    assert!(view["now_ms"].as_i64().unwrap() >= NOW);
    assert_eq!(view["needs"].as_array().unwrap().len(), 2);
    assert_eq!(view["materials"]["id"], json!(null));
    // 81.6 L with 5 % of waste: 6.12 bags of 14.0 L.
    assert_eq!(view["needs"][0]["bags"], json!(7));
    let material = json!({ "waste_pct": 0.0, "mixer_l": 60.0, "mesh_gap_mm": 25.0,
        "rubber_mm": 15.0, "rubber_kg_l": 1.1, "rubber_waste_pct": 10.0 });
    hub.must(json!([event("material1", "materials", material)]));
    let view = hub.get(&plan).json;
    assert_eq!(
        (&view["needs"][0]["bags"], &view["recipe"]["batch_bags"]),
        (&json!(6), &json!(4.0))
    );
    let csv = hub.get(&format!("{plan}/list.csv"));
    let text = String::from_utf8(csv.bytes).unwrap();
    assert!(
        csv.headers["content-type"]
            .to_str()
            .unwrap()
            .starts_with("text/csv")
    );
    assert!(
        text.contains("\r\n\"Bags\",\"Bag\",12,\"bags\",11.66,"),
        "{text}"
    );
    for part in [
        "",
        "/list.csv",
        "/checks",
        "/schedule",
        "/drawing/flight-01.svg",
    ] {
        assert_eq!(
            hub.get(&format!("/api/sites/nowhere-1/plan{part}")).status,
            404,
            "{part}"
        );
    }
    hub.stop();
}

#[test]
fn a_bank_that_cannot_be_is_refused_by_its_field() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let plan = planned(&hub);
    let ask = |rise: &str| {
        hub.get(&format!(
            "{plan}/proposals?bank_rise_m={rise}&bank_run_m=2.52&overlap_m=0.165&fall_pct=1.5"
        ))
    };
    let good = ask("1.575");
    let best = good
        .json
        .as_array()
        .unwrap()
        .iter()
        .find(|p| p["best"] == json!(true));
    assert_eq!(best.unwrap()["steps"], json!(9), "{}", good.json);
    for odd in ["0", "-1", "1e9", "NaN", "inf"] {
        let said = ask(odd);
        assert_eq!(
            (said.status, &said.json["error"]["field"]),
            (422, &json!("bank_rise_m")),
            "{odd}"
        );
    }
    assert_eq!(ask("high").status, 400);
    assert_eq!(hub.get(&format!("{plan}/proposals")).status, 400);
    hub.stop();
}

#[test]
fn the_order_of_work_and_the_drawing() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let plan = planned(&hub);
    // No temperature, no times.
    let bare = hub.get(&format!("{plan}/schedule")).json;
    assert_eq!(
        (&bare["slots"], &bare["no_times"]),
        (&json!([]), &json!("no_temperature"))
    );
    hub.must(json!([a_pour("pour-0001", 5)]));
    let view = hub.get(&format!("{plan}/schedule")).json;
    assert_eq!(view["slots"][0]["pour"], json!("pour-0001"));
    let start = view["slots"][1]["start_ms"].as_i64().unwrap();
    assert!(start >= view["slots"][0]["next_step"]["late"].as_i64().unwrap());
    let at = start + 72 * HOUR;
    let tried = hub
        .get(&format!("{plan}/schedule?step=step-0002&at_ms={at}"))
        .json;
    assert_eq!(tried["slots"][1]["start_ms"], json!(at));
    // Trying leaves nothing behind.
    let after = hub.get(&format!("{plan}/schedule")).json;
    assert_eq!(after["slots"], view["slots"]);
    assert_eq!(hub.get(&format!("{plan}/schedule?at_ms=soon")).status, 400);

    let svg = hub.get(&format!("{plan}/drawing/flight-01.svg"));
    assert_eq!(
        svg.headers["content-type"].to_str().unwrap(),
        "image/svg+xml"
    );
    let text = String::from_utf8(svg.bytes).unwrap();
    // A site in Denver is drawn in inches: 1.2 m across are 47 1/4.
    assert!(
        text.starts_with("<svg ") && text.contains("47 1/4&quot;"),
        "{text}"
    );
    assert_eq!(
        hub.get(&format!("{plan}/drawing/flight-99.svg")).status,
        404
    );
    hub.stop();
}

#[test]
fn a_tick_is_seen_in_the_checks() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let plan = planned(&hub);
    let before = hub.get(&format!("{plan}/checks")).json;
    let open = before["steps"][0]["open"].as_u64().unwrap();
    let tick = json!({ "step": "step-0001", "point": "gaps_closed", "done": true });
    hub.must(json!([event("ticked-01", "ticked", tick)]));
    let after = hub.get(&format!("{plan}/checks")).json;
    assert_eq!(after["steps"][0]["open"].as_u64(), Some(open - 1));
    assert_eq!(after["steps"][1]["open"].as_u64(), Some(open));
    hub.stop();
}
