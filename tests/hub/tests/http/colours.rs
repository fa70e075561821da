//! Colour over HTTP: measured in a stored photo, refused in words, compared, dosed.
//! Truth: `tests/hub/data/colour-truth` (rendered, see its README).

use crate::client::{HOUR, Hub, SITE, a_mix, empty_dir, event, the_site};
use serde_json::{Value, json};
use slowstone_colour::{Lab, de2000};
use slowstone_hub::demo::Demo;
use std::path::PathBuf;

fn data(name: &str) -> Vec<u8> {
    let dir = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/colour-truth");
    std::fs::read(dir.join(name)).unwrap()
}

fn scene(id: &str) -> Value {
    let truth: Value = serde_json::from_slice(&data("truth.json")).unwrap();
    let scenes = truth["scenes"].as_array().unwrap();
    scenes.iter().find(|s| s["id"] == id).unwrap().clone()
}

fn lab(value: &Value) -> Lab {
    let v = |i: usize| value[i].as_f64().unwrap();
    Lab::new(v(0), v(1), v(2))
}

/// A site with a photo of the scene and its card; the address of the photo.
fn with_photo(hub: &Hub, scene: &Value) -> String {
    hub.must(json!([the_site(), a_mix()]));
    let card = json!({"name": "Card", "lab_d65": scene["references"][0]["lab_d65"]});
    hub.must(json!([event("card-0001", "card", card)]));
    let file = scene["file"].as_str().unwrap();
    let taken = hub.photo("name=a.jpg", &data(file));
    assert_eq!(taken.status, 200, "{}", taken.json);
    let photo = taken.json["event"].as_str().unwrap();
    // Poured 28 days before the photo was taken.
    let started = taken.json["photo"]["taken_ms"].as_i64().unwrap() - 28 * 24 * HOUR;
    let pour = json!({"name": "patch", "mix": "mix-00001", "started_ms": started});
    let filed = json!({"target": photo, "changes": {"pour": "pour-0001"}, "seen": []});
    hub.must(json!([
        event("pour-0001", "pour", pour),
        event("corr-0001", "correction", filed)
    ]));
    format!("/api/sites/{SITE}/photos/{photo}")
}

fn marked(scene: &Value) -> Value {
    json!({"by": "Tuva", "id": "colour-01", "patch": scene["patch_rect"], "state": "dry",
        "references": [{"card": "card-0001", "rect": scene["references"][0]["rect"]}]})
}

fn measure(hub: &Hub, photo: &str, body: &Value) -> (u16, Value) {
    let said = hub.post_json(&format!("{photo}/colour"), body);
    (said.status, said.json)
}

#[test]
fn a_colour_is_measured_entered_once_and_shown() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    // Stored turned, marked as displayed.
    let scene = scene("OT-06");
    let photo = with_photo(&hub, &scene);
    let (status, said) = measure(&hub, &photo, &marked(&scene));
    assert_eq!(status, 200, "{said}");
    let (got, truth) = (lab(&said["colour"]["lab_d65"]), lab(&scene["lab_true"]));
    assert!(de2000(got, truth) < 1.0, "{said}");
    // A phone that did not hear the answer asks again.
    let (status, again) = measure(&hub, &photo, &marked(&scene));
    assert_eq!((status, &again), (200, &said));
    let view = hub.get(&format!("/api/sites/{SITE}/colours")).json;
    let measured = view["pieces"][0]["measured"].as_array().unwrap();
    assert_eq!(measured.len(), 1);
    assert_eq!(measured[0]["state"], "dry");
    let age = measured[0]["age_d"].as_f64().unwrap();
    assert!((age - 28.0).abs() < 0.1, "{age}");
    assert!(measured[0]["swatch"].as_str().unwrap().starts_with('#'));
    hub.stop();
}

#[test]
fn what_cannot_be_trusted_is_refused_in_words_and_not_entered() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let scene = scene("OT-11");
    let photo = with_photo(&hub, &scene);
    let refused = |change: &dyn Fn(&mut Value)| {
        let mut body = marked(&scene);
        change(&mut body);
        let (status, said) = measure(&hub, &photo, &body);
        let error = &said["error"];
        (status, error["code"].clone(), error["text"].to_string())
    };
    let (status, code, text) = refused(&|_| {});
    assert_eq!((status, code), (422, json!("no_colour")));
    assert!(
        text.contains("over-exposed") && text.contains("again, darker"),
        "{text}"
    );
    let (status, code, text) = refused(&|b| b["patch"] = json!([0, 0, 1201, 20]));
    assert_eq!((status, code), (422, json!("outside")));
    assert!(text.contains("1200 x 900"), "{text}");
    let (status, code, _) = refused(&|b| b["references"] = json!([]));
    assert_eq!((status, code), (422, json!("no_colour")));
    let (status, ..) = refused(&|b| b["references"][0]["card"] = json!("card-9999"));
    assert_eq!(status, 404);
    let (status, code, _) = refused(&|b| b["state"] = json!("moist"));
    assert_eq!((status, code), (422, json!("unreadable")));
    let (status, ..) = refused(&|b| b["by"] = json!("x".repeat(2 << 20)));
    assert_eq!(status, 413);
    let view = hub.get(&format!("/api/sites/{SITE}/colours")).json;
    assert_eq!(view["pieces"][0]["measured"], json!([]));
    let nowhere = format!("/api/sites/{SITE}/photos/photo-9999");
    assert_eq!(measure(&hub, &nowhere, &marked(&scene)).0, 404);
    hub.stop();
}

#[test]
fn flat_places_lie_in_the_photo_as_displayed() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    let scene = scene("OT-06");
    let photo = with_photo(&hub, &scene);
    let found = hub.get(&format!("{photo}/patches")).json;
    assert_eq!(
        (&found["width"], &found["height"]),
        (&json!(1200), &json!(900))
    );
    let slab = &scene["slab_rect"];
    let inside = |r: &Value| {
        let v = |of: &Value, i: usize| of[i].as_i64().unwrap();
        v(r, 0) >= v(slab, 0)
            && v(r, 1) >= v(slab, 1)
            && v(r, 2) <= v(slab, 2)
            && v(r, 3) <= v(slab, 3)
    };
    let patches = found["patches"].as_array().unwrap();
    assert!(patches.iter().any(inside), "{found}");
    hub.stop();
}

#[test]
fn a_dose_is_asked_by_additive_and_mix() {
    let dir = empty_dir();
    let hub = Hub::on(dir.path());
    hub.must(json!([the_site(), a_mix()]));
    let red = json!({"name": "Red", "kind": "improvised"});
    hub.must(json!([event("red-00001", "additive", red)]));
    let ask = |query: &str| hub.get(&format!("/api/sites/{SITE}/dose?{query}"));
    let view = ask("additive=red-00001&mix=mix-00001");
    assert_eq!(view.json["no_curve"], "too_few_trials", "{}", view.json);
    assert_eq!(view.json["additives"][0]["improvised"], true);
    assert_eq!(ask("additive=nobody-01").status, 404);
    assert_eq!(ask("mix=mix-00001").status, 400);
    hub.stop();
}

#[test]
fn the_colours_of_the_demonstration_are_those_that_its_photos_give() {
    let dir = empty_dir();
    let hub = Hub::start(dir.path(), Demo::IfNew);
    let site = hub.get("/api/sites").json[0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    let events = hub.get(&format!("/api/sites/{site}/events?after=0")).json;
    let colours = |e: &&Value| e["event"]["kind"] == "colour" || e["kind"] == "colour";
    let entered: Vec<&Value> = events["events"]
        .as_array()
        .unwrap()
        .iter()
        .filter(colours)
        .collect();
    assert_eq!(entered.len(), 4, "{events}");
    for entry in entered {
        let body = entry.get("event").unwrap_or(entry)["body"].clone();
        let photo = body["photo"].as_str().unwrap();
        let marked = json!({"by": "Tuva", "patch": body["patch"], "state": body["state"],
            "references": body["references"].as_array().unwrap().iter()
                .map(|r| json!({"card": r["card"], "rect": r["rect"]})).collect::<Vec<_>>()});
        let path = format!("/api/sites/{site}/photos/{photo}/colour");
        let again = hub.post_json(&path, &marked);
        assert_eq!(again.status, 200, "{}", again.json);
        let (was, is) = (lab(&body["lab_d65"]), lab(&again.json["colour"]["lab_d65"]));
        assert!(de2000(was, is) < 0.01, "{was:?} became {is:?}");
    }
    // More umber is darker, and the club sees it.
    let view = hub.get(&format!("/api/sites/{site}/colours")).json;
    let light: Vec<f64> = view["pieces"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|p| p["measured"][0]["lab"][0].as_f64())
        .collect();
    assert_eq!(light.len(), 4, "{view}");
    assert!(light.windows(2).all(|w| w[0] > w[1]), "{light:?}");
}
