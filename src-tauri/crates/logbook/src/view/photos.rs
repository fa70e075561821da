//! Photos by step and stage: which there are, which were not taken, which is to be taken
//! now; and where one photo went, for the message after it was taken.
//!
//! Where a photo belongs is decided in [`crate::filing`]; here it is laid out.

use super::types::Rec;
use crate::book::{Book, Folded};
use crate::facts::{Fact, Filing, Flight, Photo, Pour, Site, Step};
use crate::filing::{Stage, Work};
use serde::Serialize;
use slowstone_curing::units::AtMs;

/// Columns of the photos of a step, in the order of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Column {
    /// The base, before there is a form.
    Base,
    /// Form, liner and mesh.
    Form,
    /// Fresh concrete.
    Fresh,
    /// The texture, until the form comes off.
    Texture,
    /// The form is off; it cures.
    FormOff,
    /// Dry and in use.
    Dry,
}

impl Column {
    /// All, in order.
    const ALL: [Self; 6] = [
        Self::Base,
        Self::Form,
        Self::Fresh,
        Self::Texture,
        Self::FormOff,
        Self::Dry,
    ];

    /// Where a stage that the log found stands.
    const fn of(stage: Stage) -> Self {
        match stage {
            Stage::Base => Self::Base,
            Stage::Form | Stage::Mesh => Self::Form,
            Stage::Placing | Stage::Wet => Self::Fresh,
            Stage::Texture | Stage::Set => Self::Texture,
            Stage::Stripped | Stage::Dressed => Self::FormOff,
            Stage::Later => Self::Dry,
        }
    }

    /// Where a stage in the words of an entry stands; none for a word of somebody's own.
    fn named(code: &str) -> Option<Self> {
        Some(match code {
            "base" => Self::Base,
            "form" | "mesh" | "prepare" => Self::Form,
            "fresh" => Self::Fresh,
            "texture" | "setting" => Self::Texture,
            "form_off" | "green" | "curing" => Self::FormOff,
            "usable" | "done" => Self::Dry,
            _ => return None,
        })
    }
}

/// What a place in the grid says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CellState {
    /// There are photos.
    Taken,
    /// There is none, and it can be taken no more.
    Missed,
    /// Still to come.
    Coming,
    /// To be taken now: at most one on a site.
    Now,
}

/// One stage of one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhotoCell {
    /// Which stage.
    pub column: Column,
    /// What it says.
    pub state: CellState,
    /// Its photos, oldest first.
    pub photos: Vec<Rec<Photo>>,
}

/// The photos of one step or sample.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhotoRow {
    /// The flight; none for a sample.
    pub flight: Option<String>,
    /// The step; none for a sample.
    pub step: Option<String>,
    /// Its newest pour, if it is poured.
    pub pour: Option<String>,
    /// Number of the step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// A cell for each column, in order.
    pub cells: Vec<PhotoCell>,
}

/// All photos of a site by step and stage.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhotosView {
    /// The instant that this view is for.
    pub now_ms: AtMs,
    /// Steps in the order of their flights, then samples, the newest last.
    pub rows: Vec<PhotoRow>,
    /// Photos that belong to no step, oldest first.
    pub loose: Vec<Rec<Photo>>,
}

/// Where a photo went.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "ts", derive(ts_rs::TS))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhotoPlace {
    /// The pour, if any.
    pub pour: Option<String>,
    /// The step, if any.
    pub step: Option<String>,
    /// Number of the step.
    pub step_number: Option<u32>,
    /// Name of the step or sample.
    pub name: String,
    /// The stage.
    pub stage: String,
    /// What of it the log found.
    pub filing: Option<Filing>,
}

fn place(sum: &Folded, photo: &Photo) -> PhotoPlace {
    let pour = photo
        .pour
        .as_ref()
        .filter(|p| sum.fact::<Pour>(p).is_some());
    let step = photo.step.as_ref().and_then(|s| sum.fact::<Step>(s));
    let sample = pour
        .and_then(|p| sum.fact::<Pour>(p))
        .map(|p| p.name.clone());
    PhotoPlace {
        pour: pour.cloned(),
        step: step.and(photo.step.clone()),
        step_number: step.map(|s| s.number),
        name: step.map(|s| s.name.clone()).or(sample).unwrap_or_default(),
        stage: photo.stage.clone(),
        filing: photo.filing,
    }
}

impl Book {
    /// Where a photo of the log is; none if there is no such photo.
    pub fn photo_place(&mut self, site: &str, photo: &str) -> Option<PhotoPlace> {
        let sum = self.folded(site);
        Some(place(sum, sum.fact::<Photo>(photo)?))
    }

    /// Where a photo that is not in the log yet will be, by its time and what was said.
    pub fn place_to_be(&mut self, site: &str, mut photo: Photo) -> PhotoPlace {
        let sum = self.folded(site);
        Work::of(sum).fill(&mut photo);
        place(sum, &photo)
    }

    /// All photos of a site by step and stage at `now`; none if there is no such site.
    pub fn photos_view(&mut self, site: &str, now: AtMs) -> Option<PhotosView> {
        let sum = self.folded(site);
        sum.fact::<Site>(site)?;
        let work = Work::of(sum);
        let mut photos = sum.recs::<Photo>();
        photos.sort_by(|a, b| a.fact.taken_ms.cmp(&b.fact.taken_ms).then(a.id.cmp(&b.id)));
        let mut rows = steps(sum, &work);
        rows.extend(samples(sum));
        let mut loose = Vec::new();
        for photo in photos {
            let its = |row: &&mut PhotoRow| match &row.step {
                Some(step) => photo.fact.step.as_ref() == Some(step),
                None => row.pour.is_some() && row.pour == photo.fact.pour,
            };
            let found = column(&work, &photo.fact);
            match (rows.iter_mut().find(its), found) {
                (Some(row), Some(column)) => {
                    if let Some(cell) = row.cells.iter_mut().find(|c| c.column == column) {
                        cell.state = CellState::Taken;
                        cell.photos.push(photo);
                    }
                }
                _ => loose.push(photo),
            }
        }
        states(&work, &mut rows, now.0);
        Some(PhotosView {
            now_ms: now,
            rows,
            loose,
        })
    }
}

/// The column of a photo: by its stage, or by its time where that is a word of one's own.
fn column(work: &Work, photo: &Photo) -> Option<Column> {
    let by_time = || {
        let (pour, step) = (photo.pour.as_deref(), photo.step.as_deref());
        (pour.or(step)).and_then(|_| work.file(pour, step, photo.taken_ms.0))
    };
    Column::named(&photo.stage).or_else(|| Some(Column::of(by_time()?.stage)))
}

fn empty() -> Vec<PhotoCell> {
    let cell = |column| PhotoCell {
        column,
        state: CellState::Coming,
        photos: Vec::new(),
    };
    Column::ALL.map(cell).to_vec()
}

fn steps(sum: &Folded, work: &Work) -> Vec<PhotoRow> {
    let mut rows = Vec::new();
    for flight in sum.recs::<Flight>() {
        let mut steps = sum.recs::<Step>();
        steps.retain(|s| s.fact.flight == flight.id);
        steps.sort_by(|a, b| a.fact.number.cmp(&b.fact.number).then(a.id.cmp(&b.id)));
        rows.extend(steps.into_iter().map(|step| {
            let its = work
                .pours
                .iter()
                .filter(|p| p.step.as_ref() == Some(&step.id));
            let newest = its.max_by(|a, b| (a.started_ms, &a.pour).cmp(&(b.started_ms, &b.pour)));
            PhotoRow {
                flight: Some(flight.id.clone()),
                pour: newest.map(|p| p.pour.clone()),
                step_number: Some(step.fact.number),
                name: step.fact.name,
                step: Some(step.id),
                cells: empty(),
            }
        }));
    }
    rows
}

fn samples(sum: &Folded) -> Vec<PhotoRow> {
    let mut samples: Vec<(AtMs, PhotoRow)> = Vec::new();
    for (id, entry) in sum.entries.iter() {
        let Fact::Pour(pour) = &entry.fact else {
            continue;
        };
        if pour
            .step
            .as_ref()
            .is_some_and(|s| sum.fact::<Step>(s).is_some())
        {
            continue;
        }
        let row = PhotoRow {
            flight: None,
            step: None,
            pour: Some(id.clone()),
            step_number: None,
            name: pour.name.clone(),
            cells: empty(),
        };
        samples.push((pour.started_ms, row));
    }
    samples.sort_by_key(|(at, _)| *at);
    samples.into_iter().map(|(_, row)| row).collect()
}

/// What passed without a photo, and the one that is to be taken now: of the work in hand
/// first, then of the step that is prepared.
fn states(work: &Work, rows: &mut [PhotoRow], now: i64) {
    let mut wanted: Option<(i64, usize, Column)> = None;
    // A step is prepared once the last one has set its form free.
    let open = work.by_time(now).filter(|f| f.pour.is_none());
    let open = open.and_then(|f| f.step);
    for (n, row) in rows.iter_mut().enumerate() {
        let filed = match (&row.pour, &row.step) {
            (Some(pour), _) => work.of_pour(pour, now),
            (None, Some(step)) if open.as_ref() == Some(step) => work.of_step(step, now),
            _ => None,
        };
        let Some(reached) = filed.map(|f| Column::of(f.stage)) else {
            continue;
        };
        for cell in &mut row.cells {
            if cell.photos.is_empty() && cell.column < reached {
                cell.state = CellState::Missed;
            }
        }
        let begun = row.pour.as_ref().and_then(|p| work.begun(p));
        let lacks = |c: &&PhotoCell| c.column == reached && c.photos.is_empty();
        // A dry step can be taken on any day: it is never what must be taken now.
        if row.cells.iter().any(|c| lacks(&c)) && reached != Column::Dry {
            // Concrete in work before a form that waits; the newest first.
            let rank = begun.unwrap_or(i64::MIN);
            if wanted.is_none_or(|(best, ..)| rank > best) {
                wanted = Some((rank, n, reached));
            }
        }
    }
    if let Some((_, n, column)) = wanted
        && let Some(row) = rows.get_mut(n)
        && let Some(cell) = row.cells.iter_mut().find(|c| c.column == column)
    {
        cell.state = CellState::Now;
    }
}
