//! What each method of each address takes, gives and refuses. To describe a new route, add a
//! line here: [`get`] or [`change`], then what differs. Types need `JsonSchema`; an answer
//! that a handler puts together by `json!` is written out as a schema.
//!
//! The document is laid out in [`super`]; the routes are in [`crate::server`].

use super::operation::Carries::{Media, Nothing, Type, Written};
use super::operation::{Carries, Of, Operation, fields, of};
use crate::api::{
    colours, devices, events, handover, hourly, import, lan, me, pair, photos, pictures, plan,
    push, reminders, search, streams, uploads,
};
use crate::flats::Flats;
use crate::forecast;
use crate::search::Found;
use slowstone_logbook::book::SiteCard;
use slowstone_logbook::logger::Preview;
use slowstone_logbook::plan::PlanView;
use slowstone_logbook::plan::checks::ChecksView;
use slowstone_logbook::plan::flight::Proposal;
use slowstone_logbook::plan::schedule::ScheduleView;
use slowstone_logbook::view::colour::ColoursView;
use slowstone_logbook::view::dose::DoseView;
use slowstone_logbook::view::{Advice, BestHours, Change, PhotosView, PourView, SiteView};

const NO_SITE: &[(u16, &str)] = &[(404, "There is no such site, or nothing like it there.")];
const IMAGES: &[&str] = &[
    "image/jpeg",
    "image/png",
    "image/webp",
    "image/tiff",
    "image/heic",
    "image/avif",
    "application/octet-stream",
];
const OK: Carries =
    Written(r#"{"type":"object","required":["ok"],"properties":{"ok":{"const":true}}}"#);

const fn get(path: &'static str, what: &'static str, gives: Carries) -> Operation {
    Operation {
        method: "GET",
        path,
        what,
        query: None,
        takes: Nothing,
        gives,
        refuses: &[],
    }
}

const fn change(
    method: &'static str,
    path: &'static str,
    what: &'static str,
    (takes, gives): (Carries, Carries),
) -> Operation {
    Operation {
        method,
        takes,
        ..get(path, what, gives)
    }
}

impl Operation {
    const fn asks(self, query: Of) -> Self {
        Self {
            query: Some(query),
            ..self
        }
    }

    const fn no(self, refuses: &'static [(u16, &'static str)]) -> Self {
        Self { refuses, ..self }
    }
}

pub(super) const OPERATIONS: &[Operation] = &[
    get("/api/openapi.json", "This document.", Written(r#"{"type":"object","required":["openapi","paths"]}"#)),
    get("/api/health", "Whether the hub is there; with a key also how many entries it has.",
        Written(r#"{"type":"object","required":["ok","version"],"properties":{"ok":{"type":"boolean"},"version":{"type":"string"},"events":{"type":"integer"}}}"#)),
    get("/api/hub", "Which hub this is, which life of its log, and its clock.",
        Written(r#"{"type":"object","required":["hub","epoch","now_ms","version"],"properties":{"hub":{"type":"string"},"epoch":{"type":"string"},"now_ms":{"type":"integer"},"version":{"type":"string"}}}"#)),
    get("/api/me", "Who asks, as the hub sees it.", Type(of::<me::Me>)),
    get("/api/watch", "Server-sent events: `changed` when entries came, `due` when something is.", Media(&["text/event-stream"])),
    change("POST", "/api/events", "Log entries. Sending one again is safe.",
        (Written(r#"{"type":"object","required":["events"],"properties":{"events":{"type":"array","maxItems":5000,"items":{}}}}"#),
         Type(of::<events::Logged>)))
        .no(&[(413, "More than 8 MB at once."), (507, "The disk is full.")]),
    change("POST", "/api/import", "Take in the JSON lines that a phone saved.", (Media(&["application/jsonl", "text/plain"]), Type(of::<import::Imported>)))
        .no(&[(413, "A line is longer than any photo."), (422, "This is no saved copy."), (507, "The disk is full.")]),
    get("/api/streams", "The last record of each stream of a device.",
        Written(r#"{"type":"object","required":["heads"],"properties":{"heads":{"type":"array"}}}"#)).asks(fields::<streams::Whose>),
    change("POST", "/api/streams", "Records of one stream in their order; the receipt tells of gaps and forks.",
        (Written(r#"{"type":"object","required":["stream","from","prev","bodies"],"properties":{"stream":{"type":"object","required":["device","epoch"]},"from":{"type":"integer","minimum":1},"bodies":{"type":"array"}}}"#), Written(r##"{"type":"object","required":["accepted"],"properties":{"accepted":{"type":"integer"},"why":{"$ref":"#/components/schemas/RefusedEntry"}}}"##)))
        .no(&[(413, "More than 8 MB at once."), (507, "The disk is full.")]),
    get("/api/sites", "The sites.", Type(of::<Vec<SiteCard>>)),
    get("/api/sites/{site}", "The first screen of a site.", Type(of::<SiteView>)).no(NO_SITE),
    get("/api/sites/{site}/pours/{pour}", "A pour.", Type(of::<PourView>)).no(NO_SITE),
    get("/api/sites/{site}/pours/{pour}/advice", "How to handle a pour and what protects it.", Type(of::<Advice>)).no(NO_SITE),
    get("/api/sites/{site}/best-hours/{date}", "Hours of a day to pour the next step, best first.", Type(of::<BestHours>)).no(NO_SITE),
    get("/api/sites/{site}/history/{record}", "What became of a record.", Type(of::<Vec<Change>>)).no(NO_SITE),
    get("/api/sites/{site}/plan", "The plan.", Type(of::<PlanView>)).no(NO_SITE),
    get("/api/sites/{site}/plan/list.csv", "The shopping list as a table.", Media(&["text/csv"])).no(NO_SITE),
    get("/api/sites/{site}/plan/schedule", "The order of work, with one step at a time that is tried out.", Type(of::<ScheduleView>))
        .asks(fields::<plan::Tried>).no(&[(404, "There is no such site."), (422, "A time that cannot be.")]),
    get("/api/sites/{site}/plan/drawing/{flight}", "Section and plan of a flight.", Media(&["image/svg+xml"])).no(NO_SITE),
    get("/api/sites/{site}/plan/checks", "The checks before each pour.", Type(of::<ChecksView>)).no(NO_SITE),
    get("/api/sites/{site}/plan/proposals", "Flights that fit a bank.", Type(of::<Vec<Proposal>>)).asks(fields::<plan::AskedBank>)
        .no(&[(404, "There is no such site."), (422, "A measure is out of range.")]),
    get("/api/sites/{site}/events", "Entries of a site in the hub's order.",
        Written(r##"{"type":"object","required":["hub","epoch","events","next","more"],"properties":{"hub":{"type":"string"},"epoch":{"type":"string"},"events":{"type":"array"},"next":{"type":"integer"},"more":{"type":"boolean"}}}"##))
        .asks(fields::<events::After>).no(NO_SITE),
    get("/api/sites/{site}/photos", "Photos by step and stage.", Type(of::<PhotosView>)).no(NO_SITE),
    change("POST", "/api/sites/{site}/photos", "Take a photo in: from the body, or from pieces that were sent before.",
        (Media(IMAGES), Written(r#"{"type":"object","required":["event","photo","place","said","known"],"properties":{"event":{"type":"string"},"photo":{"type":"object"},"place":{"type":"object"},"said":{"type":"string"},"known":{"type":"boolean"}}}"#)))
        .asks(fields::<photos::Upload>)
        .no(&[(404, "There is no such site."), (409, "Not all pieces are here."), (413, "The photo is too large."), (415, "This is no picture."), (422, "Something about it cannot be."), (507, "The disk is full.")]),
    change("POST", "/api/sites/{site}/table", "Say what is in a table of a logger; nothing is kept.", (Media(&["text/csv"]), Type(of::<Preview>)))
        .no(&[(404, "There is no such site."), (413, "The table is too long."), (422, "It cannot be read.")]),
    change("POST", "/api/sites/{site}/hourly", "Take a table of a logger in, by columns that were confirmed.",
        (Media(&["text/csv"]), Written(r#"{"type":"object","required":["air","concrete","read","together_min","odd_count","odd"]}"#)))
        .asks(fields::<hourly::Sent>)
        .no(&[(404, "There is no such site."), (413, "The table is too long."), (422, "It cannot be read."), (507, "The disk is full.")]),
    get("/api/sites/{site}/colours", "Colours that were measured, and how they differ.", Type(of::<ColoursView>))
        .asks(fields::<colours::Against>).no(NO_SITE),
    get("/api/sites/{site}/dose", "Colour by dose.", Type(of::<DoseView>)).asks(fields::<colours::Dosing>).no(NO_SITE),
    change("POST", "/api/sites/{site}/photos/{photo}/colour", "Measure a colour in a photo and enter it.",
        (Type(of::<colours::Marked>), Type(of::<colours::MeasuredNow>)))
        .no(&[(404, "There is no such photo or card."), (413, "The body is larger than 1 MB."), (422, "It cannot be measured or trusted."), (507, "The disk is full.")]),
    get("/api/sites/{site}/photos/{photo}/patches", "Flat places where colour could be measured.", Type(of::<Flats>))
        .no(&[(404, "There is no such photo."), (415, "It gives no pixels.")]),
    get("/api/uploads/{id}", "How many bytes of a photo are here.", Written(BYTES)).no(&[(422, "The name cannot be.")]),
    change("PUT", "/api/uploads/{id}", "A piece of a photo, on the disk when this answers.", (Media(&["application/octet-stream"]), Written(BYTES)))
        .asks(fields::<uploads::At>)
        .no(&[(409, "The part ends elsewhere: at `value`."), (413, "The piece or the photo is too large."), (422, "The name cannot be."), (507, "The disk is full.")]),
    get("/api/photos", "Photos whose files are damaged or missing, as far as the hub has looked.", Type(of::<pictures::DamagedPhotos>)),
    get("/api/photos/{hash}", "A photo as it came, or a small picture of it.", Media(IMAGES)).asks(fields::<pictures::Size>)
        .no(&[(404, "There is no such photo, or it has not arrived, or it is lost."), (415, "No small picture of it can be made."), (422, "This size is not offered."), (500, "Its file is damaged.")]),
    get("/api/devices", "Devices that may come in.", Type(of::<Vec<devices::Shown>>)),
    change("PUT", "/api/devices/{id}", "Another name or role for a device.", (Type(of::<devices::Change>), OK))
        .no(&[(404, "There is no such device."), (409, "It is one's own role."), (413, "The body is larger than 16 KB."), (422, "The name cannot be."), (507, "The disk is full.")]),
    change("DELETE", "/api/devices/{id}", "Take a device off the list.", (Nothing, OK))
        .no(&[(404, "There is no such device."), (409, "It is the one that asks."), (507, "The disk is full.")]),
    get("/api/lan", "How the network door is.", Written(LAN)),
    change("PUT", "/api/lan", "Open or close the network door.", (Type(of::<lan::Chosen>), Written(LAN)))
        .no(&[(413, "The body is larger than 16 KB."), (422, "This is no address."), (507, "The disk is full.")]),
    get("/api/lan/certificate", "The local authority's certificate.", Media(&["application/x-x509-ca-cert"])).no(&[(404, "There is none.")]),
    get("/api/pairing", "How far the pairing is.", Written(r#"{"type":"object","required":["stage"],"properties":{"stage":{"enum":["none","open","asked","done","refused"]}}}"#)),
    change("POST", "/api/pairing", "Open an offer to pair.", (Type(of::<pair::Wanted>), Written(r#"{"type":"object","required":["url","qr","lasts_s"]}"#)))
        .no(&[(409, "The network door is closed."), (413, "The body is larger than 16 KB.")]),
    change("DELETE", "/api/pairing", "End the offer.", (Nothing, OK)),
    change("POST", "/api/pairing/answer", "The keeper's yes (a role) or no (none).", (Type(of::<pair::Said>), OK))
        .no(&[(409, "No phone asks with this code."), (413, "The body is larger than 16 KB."), (507, "The disk is full.")]),
    change("POST", "/api/pair", "A phone asks to be let in.", (Type(of::<pair::Ask>), Written(r#"{"type":"object","required":["claim","nonce","name"]}"#)))
        .no(&[(409, "The code was used."), (410, "There is no offer."), (413, "The body is larger than 16 KB."), (422, "The name or nonce cannot be."), (429, "Too often.")]),
    change("POST", "/api/pair/take", "The answer for a phone; with a yes its key as a cookie.", (Type(of::<pair::Claim>), Written(r#"{"type":"object","required":["waiting"],"properties":{"waiting":{"type":"boolean"},"role":{"type":"string"}}}"#)))
        .no(&[(410, "The keeper said no, or the time is over."), (413, "The body is larger than 16 KB.")]),
    get("/api/search", "Records of every site by their words.", Type(of::<Found>)).asks(fields::<search::Asked>)
        .no(&[(422, "The question is too long.")]),
    get("/api/sites/{site}/handover", "How much there is to hand over.", Type(of::<handover::Sizes>)).no(NO_SITE),
    get("/api/sites/{site}/record.html", "The record of a site as one page.", Media(&["text/html"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/sites/{site}/record.pdf", "The record of a site as PDF.", Media(&["application/pdf"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/sites/{site}/record.csv.zip", "Every table of a site as CSV.", Media(&["application/zip"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/sites/{site}/record.jsonl", "Every entry of a site, a line each.", Media(&["application/jsonl"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/sites/{site}/record.zip", "A copy of a site for another hub.", Media(&["application/zip"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/sites/{site}/photos.zip", "The photos of a site, named by pour and stage.", Media(&["application/zip"])).asks(fields::<handover::Asked>).no(NO_SITE),
    get("/api/push", "The key for push messages, and whether this device has them.",
        Written(r#"{"type":"object","required":["key","endpoint"],"properties":{"key":{"type":"string"},"endpoint":{"type":["string","null"]}}}"#)),
    change("POST", "/api/push", "Push messages for this device.", (Type(of::<push::Asked>), ANY))
        .no(&[(413, "The body is larger than 16 KB."), (422, "This is no subscription."), (507, "The disk is full.")]),
    change("DELETE", "/api/push", "No push messages for this device.", (Nothing, ANY)).no(&[(507, "The disk is full.")]),
    get("/api/settings/reminders", "How people are reminded, and what was sent.", REMINDERS),
    change("PUT", "/api/settings/reminders", "Choose how people are reminded.", (Type(of::<reminders::Chosen>), REMINDERS))
        .no(&[(413, "The body is larger than 16 KB."), (422, "A setting cannot be."), (507, "The disk is full.")]),
    change("POST", "/api/settings/reminders/test", "Send a test to every channel.", (Nothing,
        Written(r#"{"type":"array","items":{"type":"object","required":["channel","ok","why"]}}"#))),
    change("POST", "/api/settings/reminders/calendar", "A new address for the calendar.", (Nothing,
        Written(r#"{"type":"object","required":["path"],"properties":{"path":{"type":"string"}}}"#))).no(&[(507, "The disk is full.")]),
    change("DELETE", "/api/settings/reminders/calendar", "No calendar any more.", (Nothing, ANY)).no(&[(507, "The disk is full.")]),
    get("/api/settings/weather", "The forecast that is fetched.", WEATHER),
    change("PUT", "/api/settings/weather", "Choose which forecast is fetched.", (Type(of::<forecast::Settings>), WEATHER))
        .no(&[(413, "The body is larger than 16 KB."), (422, "A setting cannot be."), (507, "The disk is full.")]),
    change("POST", "/api/settings/weather/fetch", "Fetch it now.", (Nothing, WEATHER)).no(&[(507, "The disk is full.")]),
];

const ANY: Carries = Written(r#"{"type":"object"}"#);
const REMINDERS: Carries = Written(
    r#"{"type":"object","required":["settings","journal","now_ms"],"properties":{"journal":{"type":"array"},"now_ms":{"type":"integer"}}}"#,
);
const WEATHER: Carries = Written(
    r#"{"type":"object","required":["settings","sites","now_ms"],"properties":{"sites":{"type":"array"},"now_ms":{"type":"integer"}}}"#,
);

const BYTES: &str = r#"{"type":"object","required":["bytes"],"properties":{"bytes":{"type":"integer","minimum":0}}}"#;
const LAN: &str = r#"{"type":"object","required":["on","at","guest","open","addresses"],"properties":{"on":{"type":"boolean"},"at":{"type":"string"},"guest":{"type":"boolean"},"open":{"type":"boolean"}}}"#;
