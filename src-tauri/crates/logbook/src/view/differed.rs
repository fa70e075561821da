//! What differed between two pours besides their colour.
//!
//! Only what was logged for both can differ. The order is that of likely causes: pigment
//! first, then what makes the paste lighter or darker (water, warmth), then the skin
//! (liner, form, cure), then what people noted.

use super::colour::Differed;
use super::inputs;
use super::pour::mixed;
use crate::book::Folded;
use crate::facts::{Fact, Observed, Pour};

/// Litres per bag, °C and % of cement that count as a difference. Our judgement: what a
/// bucket, a thermometer and a kitchen scale can tell apart.
const WATER_L: f64 = 0.05;
const PLACED_C: f64 = 2.0;
const DOSE_PCT: f64 = 0.05;

/// What is seen on the surface while it cures.
const CURE: [Observed; 7] = [
    Observed::Wetted,
    Observed::Covered,
    Observed::Uncovered,
    Observed::Shaded,
    Observed::Rain,
    Observed::Frost,
    Observed::Sealed,
];

/// What differed, the likeliest cause first.
pub(super) fn between(sum: &Folded, a: (&str, &Pour), b: (&str, &Pour)) -> Vec<Differed> {
    let (of_a, of_b) = (inputs::mix_of(sum, a.1).0, inputs::mix_of(sum, b.1).0);
    let (went_a, went_b) = (mixed(sum, a.0, &of_a), mixed(sum, b.0, &of_b));
    let mut all = Vec::new();

    let mut additives: Vec<(&str, &str)> = Vec::new();
    for dose in went_a.doses.iter().chain(&went_b.doses) {
        if !additives.iter().any(|(id, _)| *id == dose.additive) {
            additives.push((&dose.additive, &dose.name));
        }
    }
    for (id, name) in additives {
        let of = |went: &super::Mixed| {
            let dose = went.doses.iter().find(|d| d.additive == id);
            went.cement_kg?;
            Some(dose.and_then(|d| d.pct_of_cement).unwrap_or(0.0))
        };
        if let Some(pct) = of(&went_a).zip(of(&went_b))
            && (pct.0 - pct.1).abs() >= DOSE_PCT
        {
            let name = name.to_owned();
            all.push(Differed::Dose { name, pct });
        }
    }
    if a.1.mix != b.1.mix && a.1.mix.is_some() && b.1.mix.is_some() {
        let names = (of_a.name, of_b.name);
        all.push(Differed::Mix { names });
    }
    if let Some(litres) = went_a.water_per_bag_l.zip(went_b.water_per_bag_l)
        && (litres.0 - litres.1).abs() >= WATER_L
    {
        all.push(Differed::Water { litres });
    }
    // Like with like: concrete with concrete, or else air with air.
    let placed = a.1.concrete_c.zip(b.1.concrete_c);
    if let Some(temps_c) = placed.or(a.1.air_c.zip(b.1.air_c))
        && (temps_c.0 - temps_c.1).abs() >= PLACED_C
    {
        all.push(Differed::Placed { temps_c });
    }
    if a.1.liner != b.1.liner || a.1.liner_side != b.1.liner_side {
        let names = (liner(sum, a.1), liner(sum, b.1));
        all.push(Differed::Liner { names });
    }
    if a.1.form != b.1.form && a.1.form.is_some() && b.1.form.is_some() {
        let names = (name(sum, a.1.form.as_ref()), name(sum, b.1.form.as_ref()));
        all.push(Differed::Form { names });
    }
    let seen = (cure(sum, a.0), cure(sum, b.0));
    if seen.0 != seen.1 {
        all.push(Differed::Cure { seen });
    }
    let count = |pour: &str| u32::try_from(sum.batches(pour).count()).unwrap_or(u32::MAX);
    let counts = (count(a.0), count(b.0));
    if counts.0 != counts.1 && counts.0 > 0 && counts.1 > 0 {
        all.push(Differed::Batches { counts });
    }
    let texts = (notes(sum, a), notes(sum, b));
    if texts.0 != texts.1 {
        all.push(Differed::Note { texts });
    }
    all
}

fn name(sum: &Folded, id: Option<&String>) -> String {
    match id.and_then(|id| sum.entries.get(id)).map(|e| &e.fact) {
        Some(Fact::Liner(l)) => l.name.clone(),
        Some(Fact::Form(f)) => f.name.clone(),
        _ => String::new(),
    }
}

/// The liner and its side, as far as they are known.
fn liner(sum: &Folded, pour: &Pour) -> String {
    let mut text = name(sum, pour.liner.as_ref());
    if !text.is_empty() && !pour.liner_side.is_empty() {
        text.push_str(", ");
    }
    text.push_str(&pour.liner_side);
    text
}

fn cure(sum: &Folded, pour: &str) -> Vec<Observed> {
    let seen = |what: &Observed| sum.observations(pour).any(|o| o.what == *what);
    CURE.into_iter().filter(seen).collect()
}

/// Notes of the pour and its batches.
fn notes(sum: &Folded, (id, pour): (&str, &Pour)) -> String {
    let batches = sum.batches(id).map(|b| b.note.trim());
    let mut texts: Vec<&str> = core::iter::once(pour.note.trim()).chain(batches).collect();
    texts.retain(|t| !t.is_empty());
    texts.dedup();
    texts.join("; ")
}
