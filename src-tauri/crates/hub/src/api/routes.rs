//! Every address of the interface, in one list: method, path, whom it is for, what it carries
//! and refuses, and what answers it. The router ([`crate::server`]), the rights that the guard
//! asks ([`crate::guard`]), the OpenAPI document and the types of the web app
//! ([`crate::openapi`]) are all made from it; a new address is one more [`Route`] here.

use super::{
    self as api, Done, colours, devices, events, forecast, handover, hourly, import, lan, me, pair,
    photos, pictures, plan, push, reminders, search, sites, streams, uploads, watch,
};
use crate::caller::Need::{At, Nobody};
use crate::caller::Role::{Helper, Keeper, Viewer};
use crate::flats::Flats;
use crate::openapi;
use crate::route::Carries::{Media, Type};
use crate::route::Method::{Delete, Get, Post, Put};
use crate::route::{Doc, PLAIN, Route, fields, of};
use crate::search::Found;
use axum::Json;
use axum::routing::on;
use serde_json::Value;
use slowstone_logbook::book::SiteCard;
use slowstone_logbook::logger::Preview;
use slowstone_logbook::plan::PlanView;
use slowstone_logbook::plan::checks::ChecksView;
use slowstone_logbook::plan::flight::Proposal;
use slowstone_logbook::plan::schedule::ScheduleView;
use slowstone_logbook::view::colour::ColoursView;
use slowstone_logbook::view::dose::DoseView;
use slowstone_logbook::view::{Advice, BestHours, Change, PhotosView, PourView, SiteView};
use slowstone_sync::Batch;
use std::future::{Ready, ready};

/// Media types of photos.
const IMAGES: &[&str] = &[
    "image/jpeg",
    "image/png",
    "image/webp",
    "image/tiff",
    "image/heic",
    "image/avif",
    "application/octet-stream",
];

/// `GET /api/openapi.json`: this interface, described.
fn described() -> Ready<Json<Value>> {
    ready(Json(openapi::document(ROUTES)))
}

/// All of them.
pub const ROUTES: &[Route] = &[
    Route {
        method: Get,
        path: "/api/openapi.json",
        role: At(Viewer),
        doc: Doc {
            what: "This document.",
            gives: Type(of::<Value>),
            ..PLAIN
        },
        handler: |method| on(method, described),
    },
    Route {
        method: Get,
        path: "/api/health",
        role: Nobody,
        doc: Doc {
            what: "Whether the hub is there; with a key also how many entries it has.",
            gives: Type(of::<api::Health>),
            ..PLAIN
        },
        handler: |method| on(method, api::health),
    },
    Route {
        method: Get,
        path: "/api/hub",
        role: At(Viewer),
        doc: Doc {
            what: "Which hub this is, which life of its log, and its clock.",
            gives: Type(of::<events::HubNow>),
            ..PLAIN
        },
        handler: |method| on(method, events::hub),
    },
    Route {
        method: Get,
        path: "/api/me",
        role: At(Viewer),
        doc: Doc {
            what: "Who asks, as the hub sees it.",
            gives: Type(of::<me::Me>),
            ..PLAIN
        },
        handler: |method| on(method, me::me),
    },
    Route {
        method: Get,
        path: "/api/watch",
        role: At(Viewer),
        doc: Doc {
            what: "Server-sent events: `changed` when entries came, `due` when something is.",
            gives: Media(&["text/event-stream"]),
            ..PLAIN
        },
        handler: |method| on(method, watch::watch),
    },
    Route {
        method: Post,
        path: "/api/events",
        role: At(Helper),
        doc: Doc {
            what: "Log entries. Sending one again is safe.",
            takes: Type(of::<events::Sent>),
            gives: Type(of::<events::Logged>),
            refuses: &[(413, "More than 8 MB at once.")],
            ..PLAIN
        },
        handler: |method| on(method, events::post),
    },
    Route {
        method: Post,
        path: "/api/import",
        role: At(Helper),
        doc: Doc {
            what: "Take in the JSON lines that a phone saved.",
            takes: Media(&["application/jsonl", "text/plain"]),
            gives: Type(of::<import::Imported>),
            refuses: &[
                (413, "A line is longer than any photo."),
                (422, "This is no saved copy."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, import::post),
    },
    Route {
        method: Get,
        path: "/api/streams",
        role: At(Viewer),
        doc: Doc {
            what: "The last record of each stream of a device.",
            query: Some(fields::<streams::Whose>),
            gives: Type(of::<streams::Heads>),
            ..PLAIN
        },
        handler: |method| on(method, streams::heads),
    },
    Route {
        method: Post,
        path: "/api/streams",
        role: At(Helper),
        doc: Doc {
            what: "Records of one stream in their order; the receipt tells of gaps and forks.",
            takes: Type(of::<Batch>),
            gives: Type(of::<streams::Received>),
            refuses: &[(413, "More than 8 MB at once.")],
            ..PLAIN
        },
        handler: |method| on(method, streams::post),
    },
    Route {
        method: Get,
        path: "/api/sites",
        role: At(Viewer),
        doc: Doc {
            what: "The sites.",
            gives: Type(of::<Vec<SiteCard>>),
            ..PLAIN
        },
        handler: |method| on(method, sites::list),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}",
        role: At(Viewer),
        doc: Doc {
            what: "The first screen of a site.",
            gives: Type(of::<SiteView>),
            ..PLAIN
        },
        handler: |method| on(method, sites::one),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/pours/{pour}",
        role: At(Viewer),
        doc: Doc {
            what: "A pour.",
            gives: Type(of::<PourView>),
            ..PLAIN
        },
        handler: |method| on(method, sites::pour),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/pours/{pour}/advice",
        role: At(Viewer),
        doc: Doc {
            what: "How to handle a pour and what protects it.",
            gives: Type(of::<Advice>),
            ..PLAIN
        },
        handler: |method| on(method, sites::advice),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/best-hours/{date}",
        role: At(Viewer),
        doc: Doc {
            what: "Hours of a day to pour the next step, best first.",
            gives: Type(of::<BestHours>),
            ..PLAIN
        },
        handler: |method| on(method, sites::best_hours),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/history/{record}",
        role: At(Viewer),
        doc: Doc {
            what: "What became of a record.",
            gives: Type(of::<Vec<Change>>),
            ..PLAIN
        },
        handler: |method| on(method, sites::history),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan",
        role: At(Viewer),
        doc: Doc {
            what: "The plan.",
            gives: Type(of::<PlanView>),
            ..PLAIN
        },
        handler: |method| on(method, plan::one),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan/list.csv",
        role: At(Viewer),
        doc: Doc {
            what: "The shopping list as a table.",
            gives: Media(&["text/csv"]),
            ..PLAIN
        },
        handler: |method| on(method, plan::csv),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan/schedule",
        role: At(Viewer),
        doc: Doc {
            what: "The order of work, with one step at a time that is tried out.",
            query: Some(fields::<plan::Tried>),
            gives: Type(of::<ScheduleView>),
            refuses: &[(422, "A time that cannot be.")],
            ..PLAIN
        },
        handler: |method| on(method, plan::schedule),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan/drawing/{flight}",
        role: At(Viewer),
        doc: Doc {
            what: "Section and plan of a flight.",
            gives: Media(&["image/svg+xml"]),
            ..PLAIN
        },
        handler: |method| on(method, plan::drawing),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan/checks",
        role: At(Viewer),
        doc: Doc {
            what: "The checks before each pour.",
            gives: Type(of::<ChecksView>),
            ..PLAIN
        },
        handler: |method| on(method, plan::checks),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/plan/proposals",
        role: At(Viewer),
        doc: Doc {
            what: "Flights that fit a bank.",
            query: Some(fields::<plan::AskedBank>),
            gives: Type(of::<Vec<Proposal>>),
            refuses: &[(422, "A measure is out of range.")],
            ..PLAIN
        },
        handler: |method| on(method, plan::proposals),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/events",
        role: At(Viewer),
        doc: Doc {
            what: "Entries of a site in the hub's order.",
            query: Some(fields::<events::After>),
            gives: Type(of::<events::Page>),
            ..PLAIN
        },
        handler: |method| on(method, events::after),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/photos",
        role: At(Viewer),
        doc: Doc {
            what: "Photos by step and stage.",
            gives: Type(of::<PhotosView>),
            ..PLAIN
        },
        handler: |method| on(method, sites::photos),
    },
    Route {
        method: Post,
        path: "/api/sites/{site}/photos",
        role: At(Helper),
        doc: Doc {
            what: "Take a photo in: from the body, or from pieces that were sent before.",
            query: Some(fields::<photos::Upload>),
            takes: Media(IMAGES),
            gives: Type(of::<photos::PhotoTaken>),
            refuses: &[
                (409, "Not all pieces are here."),
                (413, "The photo is too large."),
                (415, "This is no picture."),
                (422, "Something about it cannot be."),
            ],
        },
        handler: |method| on(method, photos::post),
    },
    Route {
        method: Post,
        path: "/api/sites/{site}/table",
        role: At(Helper),
        doc: Doc {
            what: "Say what is in a table of a logger; nothing is kept.",
            takes: Media(&["text/csv"]),
            gives: Type(of::<Preview>),
            refuses: &[(413, "The table is too long."), (422, "It cannot be read.")],
            ..PLAIN
        },
        handler: |method| on(method, hourly::look),
    },
    Route {
        method: Post,
        path: "/api/sites/{site}/hourly",
        role: At(Helper),
        doc: Doc {
            what: "Take a table of a logger in, by columns that were confirmed.",
            query: Some(fields::<hourly::Sent>),
            takes: Media(&["text/csv"]),
            gives: Type(of::<hourly::TableTaken>),
            refuses: &[(413, "The table is too long."), (422, "It cannot be read.")],
        },
        handler: |method| on(method, hourly::post),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/colours",
        role: At(Viewer),
        doc: Doc {
            what: "Colours that were measured, and how they differ.",
            query: Some(fields::<colours::Against>),
            gives: Type(of::<ColoursView>),
            ..PLAIN
        },
        handler: |method| on(method, colours::one),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/dose",
        role: At(Viewer),
        doc: Doc {
            what: "Colour by dose.",
            query: Some(fields::<colours::Dosing>),
            gives: Type(of::<DoseView>),
            ..PLAIN
        },
        handler: |method| on(method, colours::dose),
    },
    Route {
        method: Post,
        path: "/api/sites/{site}/photos/{photo}/colour",
        role: At(Helper),
        doc: Doc {
            what: "Measure a colour in a photo and enter it.",
            takes: Type(of::<colours::Marked>),
            gives: Type(of::<colours::MeasuredNow>),
            refuses: &[
                (404, "There is no such photo or card."),
                (413, "The body is larger than 1 MB."),
                (422, "It cannot be measured or trusted."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, colours::measure),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/photos/{photo}/patches",
        role: At(Viewer),
        doc: Doc {
            what: "Flat places where colour could be measured.",
            gives: Type(of::<Flats>),
            refuses: &[
                (404, "There is no such photo."),
                (415, "It gives no pixels."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, colours::patches),
    },
    Route {
        method: Get,
        path: "/api/uploads/{id}",
        role: At(Helper),
        doc: Doc {
            what: "How many bytes of a photo are here.",
            gives: Type(of::<uploads::Arrived>),
            refuses: &[(422, "The name cannot be.")],
            ..PLAIN
        },
        handler: |method| on(method, uploads::have),
    },
    Route {
        method: Put,
        path: "/api/uploads/{id}",
        role: At(Helper),
        doc: Doc {
            what: "A piece of a photo, on the disk when this answers.",
            query: Some(fields::<uploads::At>),
            takes: Media(&["application/octet-stream"]),
            gives: Type(of::<uploads::Arrived>),
            refuses: &[
                (409, "The part ends elsewhere: at `value`."),
                (413, "The piece or the photo is too large."),
                (422, "The name cannot be."),
            ],
        },
        handler: |method| on(method, uploads::put),
    },
    Route {
        method: Get,
        path: "/api/photos",
        role: At(Viewer),
        doc: Doc {
            what: "Photos whose files are damaged or missing, as far as the hub has looked.",
            gives: Type(of::<pictures::DamagedPhotos>),
            ..PLAIN
        },
        handler: |method| on(method, pictures::list),
    },
    Route {
        method: Get,
        path: "/api/photos/{hash}",
        role: At(Viewer),
        doc: Doc {
            what: "A photo as it came, or a small picture of it.",
            query: Some(fields::<pictures::Size>),
            gives: Media(IMAGES),
            refuses: &[
                (
                    404,
                    "There is no such photo, or it has not arrived, or it is lost.",
                ),
                (415, "No small picture of it can be made."),
                (422, "This size is not offered."),
                (500, "Its file is damaged."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, pictures::one),
    },
    Route {
        method: Get,
        path: "/api/devices",
        role: At(Keeper),
        doc: Doc {
            what: "Devices that may come in.",
            gives: Type(of::<Vec<devices::Shown>>),
            ..PLAIN
        },
        handler: |method| on(method, devices::list),
    },
    Route {
        method: Put,
        path: "/api/devices/{id}",
        role: At(Keeper),
        doc: Doc {
            what: "Another name or role for a device.",
            takes: Type(of::<devices::Change>),
            gives: Type(of::<Done>),
            refuses: &[
                (404, "There is no such device."),
                (409, "It is one's own role."),
                (413, "The body is larger than 16 KB."),
                (422, "The name cannot be."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, devices::change),
    },
    Route {
        method: Delete,
        path: "/api/devices/{id}",
        role: At(Keeper),
        doc: Doc {
            what: "Take a device off the list.",
            gives: Type(of::<Done>),
            refuses: &[
                (404, "There is no such device."),
                (409, "It is the one that asks."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, devices::revoke),
    },
    Route {
        method: Get,
        path: "/api/lan",
        role: At(Keeper),
        doc: Doc {
            what: "How the network door is.",
            gives: Type(of::<lan::Lan>),
            ..PLAIN
        },
        handler: |method| on(method, lan::get),
    },
    Route {
        method: Put,
        path: "/api/lan",
        role: At(Keeper),
        doc: Doc {
            what: "Open or close the network door.",
            takes: Type(of::<lan::Chosen>),
            gives: Type(of::<lan::Lan>),
            refuses: &[
                (413, "The body is larger than 16 KB."),
                (422, "This is no address."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, lan::put),
    },
    Route {
        method: Get,
        path: "/api/lan/certificate",
        role: At(Keeper),
        doc: Doc {
            what: "The local authority's certificate.",
            gives: Media(&["application/x-x509-ca-cert"]),
            refuses: &[(404, "There is none.")],
            ..PLAIN
        },
        handler: |method| on(method, lan::certificate),
    },
    Route {
        method: Get,
        path: "/api/pairing",
        role: At(Keeper),
        doc: Doc {
            what: "How far the pairing is.",
            gives: Type(of::<pair::Progress>),
            ..PLAIN
        },
        handler: |method| on(method, pair::stage),
    },
    Route {
        method: Post,
        path: "/api/pairing",
        role: At(Keeper),
        doc: Doc {
            what: "Open an offer to pair.",
            takes: Type(of::<pair::Wanted>),
            gives: Type(of::<pair::Offer>),
            refuses: &[
                (409, "The network door is closed."),
                (413, "The body is larger than 16 KB."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, pair::open),
    },
    Route {
        method: Delete,
        path: "/api/pairing",
        role: At(Keeper),
        doc: Doc {
            what: "End the offer.",
            gives: Type(of::<Done>),
            ..PLAIN
        },
        handler: |method| on(method, pair::close),
    },
    Route {
        method: Post,
        path: "/api/pairing/answer",
        role: At(Keeper),
        doc: Doc {
            what: "The keeper's yes (a role) or no (none).",
            takes: Type(of::<pair::Said>),
            gives: Type(of::<Done>),
            refuses: &[
                (409, "No phone asks with this code."),
                (413, "The body is larger than 16 KB."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, pair::answer),
    },
    Route {
        method: Post,
        path: "/api/pair",
        role: Nobody,
        doc: Doc {
            what: "A phone asks to be let in.",
            takes: Type(of::<pair::Ask>),
            gives: Type(of::<pair::Ticket>),
            refuses: &[
                (409, "The code was used."),
                (410, "There is no offer."),
                (413, "The body is larger than 16 KB."),
                (422, "The name or nonce cannot be."),
                (429, "Too often."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, pair::ask),
    },
    Route {
        method: Post,
        path: "/api/pair/take",
        role: Nobody,
        doc: Doc {
            what: "The answer for a phone; with a yes its key as a cookie.",
            takes: Type(of::<pair::Claim>),
            gives: Type(of::<pair::Verdict>),
            refuses: &[
                (410, "The keeper said no, or the time is over."),
                (413, "The body is larger than 16 KB."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, pair::take),
    },
    Route {
        method: Get,
        path: "/api/search",
        role: At(Viewer),
        doc: Doc {
            what: "Records of every site by their words.",
            query: Some(fields::<search::Asked>),
            gives: Type(of::<Found>),
            refuses: &[(422, "The question is too long.")],
            ..PLAIN
        },
        handler: |method| on(method, search::search),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/handover",
        role: At(Viewer),
        doc: Doc {
            what: "How much there is to hand over.",
            gives: Type(of::<handover::Sizes>),
            ..PLAIN
        },
        handler: |method| on(method, handover::sizes),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/record.html",
        role: At(Viewer),
        doc: Doc {
            what: "The record of a site as one page.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["text/html"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::html),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/record.pdf",
        role: At(Viewer),
        doc: Doc {
            what: "The record of a site as PDF.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["application/pdf"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::pdf),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/record.csv.zip",
        role: At(Viewer),
        doc: Doc {
            what: "Every table of a site as CSV.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["application/zip"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::csv),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/record.jsonl",
        role: At(Viewer),
        doc: Doc {
            what: "Every entry of a site, a line each.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["application/jsonl"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::jsonl),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/record.zip",
        role: At(Viewer),
        doc: Doc {
            what: "A copy of a site for another hub.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["application/zip"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::copy),
    },
    Route {
        method: Get,
        path: "/api/sites/{site}/photos.zip",
        role: At(Viewer),
        doc: Doc {
            what: "The photos of a site, named by pour and stage.",
            query: Some(fields::<handover::Asked>),
            gives: Media(&["application/zip"]),
            ..PLAIN
        },
        handler: |method| on(method, handover::photos),
    },
    Route {
        method: Get,
        path: "/api/push",
        role: At(Helper),
        doc: Doc {
            what: "The key for push messages, and whether this device has them.",
            gives: Type(of::<push::Subscribed>),
            ..PLAIN
        },
        handler: |method| on(method, push::key),
    },
    Route {
        method: Post,
        path: "/api/push",
        role: At(Helper),
        doc: Doc {
            what: "Push messages for this device.",
            takes: Type(of::<push::Asked>),
            gives: Type(of::<Done>),
            refuses: &[
                (413, "The body is larger than 16 KB."),
                (422, "This is no subscription."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, push::post),
    },
    Route {
        method: Delete,
        path: "/api/push",
        role: At(Helper),
        doc: Doc {
            what: "No push messages for this device.",
            gives: Type(of::<Done>),
            ..PLAIN
        },
        handler: |method| on(method, push::delete),
    },
    Route {
        method: Get,
        path: "/api/settings/reminders",
        role: At(Keeper),
        doc: Doc {
            what: "How people are reminded, and what was sent.",
            gives: Type(of::<reminders::ReminderSettings>),
            ..PLAIN
        },
        handler: |method| on(method, reminders::get),
    },
    Route {
        method: Put,
        path: "/api/settings/reminders",
        role: At(Keeper),
        doc: Doc {
            what: "Choose how people are reminded.",
            takes: Type(of::<reminders::Chosen>),
            gives: Type(of::<reminders::ReminderSettings>),
            refuses: &[
                (413, "The body is larger than 16 KB."),
                (422, "A setting cannot be."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, reminders::put),
    },
    Route {
        method: Post,
        path: "/api/settings/reminders/test",
        role: At(Keeper),
        doc: Doc {
            what: "Send a test to every channel.",
            gives: Type(of::<Vec<reminders::Tested>>),
            ..PLAIN
        },
        handler: |method| on(method, reminders::test),
    },
    Route {
        method: Post,
        path: "/api/settings/reminders/calendar",
        role: At(Keeper),
        doc: Doc {
            what: "A new address for the calendar.",
            gives: Type(of::<reminders::CalendarAddress>),
            ..PLAIN
        },
        handler: |method| on(method, reminders::renew_calendar),
    },
    Route {
        method: Delete,
        path: "/api/settings/reminders/calendar",
        role: At(Keeper),
        doc: Doc {
            what: "No calendar any more.",
            gives: Type(of::<Done>),
            ..PLAIN
        },
        handler: |method| on(method, reminders::end_calendar),
    },
    Route {
        method: Get,
        path: "/api/settings/weather",
        role: At(Keeper),
        doc: Doc {
            what: "The forecast that is fetched.",
            gives: Type(of::<forecast::WeatherSettings>),
            ..PLAIN
        },
        handler: |method| on(method, forecast::get),
    },
    Route {
        method: Put,
        path: "/api/settings/weather",
        role: At(Keeper),
        doc: Doc {
            what: "Choose which forecast is fetched.",
            takes: Type(of::<crate::forecast::Settings>),
            gives: Type(of::<forecast::WeatherSettings>),
            refuses: &[
                (413, "The body is larger than 16 KB."),
                (422, "A setting cannot be."),
            ],
            ..PLAIN
        },
        handler: |method| on(method, forecast::put),
    },
    Route {
        method: Post,
        path: "/api/settings/weather/fetch",
        role: At(Keeper),
        doc: Doc {
            what: "Fetch it now.",
            gives: Type(of::<forecast::WeatherSettings>),
            ..PLAIN
        },
        handler: |method| on(method, forecast::fetch),
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_address_stands_twice_with_one_method() {
        let all: BTreeSet<_> = ROUTES.iter().map(|r| (r.method.name(), r.path)).collect();
        assert_eq!(all.len(), ROUTES.len());
        assert!(ROUTES.iter().all(|r| r.path.starts_with("/api/")));
    }

    #[test]
    fn who_reads_writes_nothing() {
        for route in ROUTES.iter().filter(|r| r.role == At(Viewer)) {
            assert_eq!(route.method, Get, "{}", route.path);
        }
        let open = ROUTES.iter().filter(|r| r.role == Nobody);
        let open: Vec<&str> = open.map(|r| r.path).collect();
        assert_eq!(open, ["/api/health", "/api/pair", "/api/pair/take"]);
    }
}
