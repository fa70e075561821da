//! Facts of any kind for property tests: mostly sensible, now and then absurd.

use crate::scene::JUNE;
use proptest::prelude::*;
use slowstone_curing::predict::*;
use slowstone_curing::units::{AtMs, Celsius, Hours, KmH, Metres, Mpa, Percent};

/// How far from sense facts may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// Odd, but every number could be measured somewhere.
    Odd,
    /// Absurd, and not always numbers.
    Wild,
}

/// Numbers that can be a temperature, a share or a speed; wild ones are of any kind.
fn number(kind: Kind) -> BoxedStrategy<f64> {
    let odd = prop_oneof![3 => -60.0..89.0_f64, 1 => 0.0..5.0_f64, 1 => Just(0.0)];
    match kind {
        Kind::Odd => odd.boxed(),
        Kind::Wild => prop_oneof![
            30 => odd,
            1 => prop::num::f64::ANY,
            1 => prop_oneof![Just(-0.0), Just(1e300), Just(-1e300), Just(1e-300)],
        ]
        .boxed(),
    }
}

fn instant() -> impl Strategy<Value = AtMs> {
    prop_oneof![
        8 => (-48.0..800.0_f64).prop_map(|h| JUNE.plus(Hours(h))),
        1 => any::<i64>().prop_map(AtMs),
        1 => prop_oneof![Just(AtMs(i64::MIN)), Just(AtMs(i64::MAX)), Just(AtMs(0)), Just(JUNE)],
    ]
}

pub fn sky() -> impl Strategy<Value = Option<Sky>> {
    prop::option::of(prop_oneof![
        Just(Sky::Sun),
        Just(Sky::Broken),
        Just(Sky::Overcast),
        Just(Sky::Shade)
    ])
}

fn air(kind: Kind) -> impl Strategy<Value = AirReading> {
    let maybe = || prop::option::of(number(kind));
    (instant(), maybe(), maybe(), maybe(), sky()).prop_map(|(at, temp, rh, wind, sky)| AirReading {
        at,
        temp: temp.map(Celsius),
        rh: rh.map(Percent),
        wind: wind.map(KmH),
        sky,
        ..AirReading::default()
    })
}

fn day(kind: Kind) -> impl Strategy<Value = DayRange> {
    let maybe = || prop::option::of(number(kind));
    (
        instant(),
        number(kind),
        number(kind),
        maybe(),
        maybe(),
        sky(),
    )
        .prop_map(|(day_start, min, max, rh, wind, sky)| DayRange {
            day_start,
            min: Celsius(min),
            max: Celsius(max),
            rh: rh.map(Percent),
            wind: wind.map(KmH),
            sky,
        })
}

fn reading(kind: Kind) -> impl Strategy<Value = ConcreteReading> {
    let place = prop_oneof![
        Just(ConcretePlace::Fresh),
        Just(ConcretePlace::Edge),
        Just(ConcretePlace::Middle),
        Just(ConcretePlace::Top),
        Just(ConcretePlace::Core),
        Just(ConcretePlace::Surface)
    ];
    (instant(), number(kind), place).prop_map(|(at, temp, place)| ConcreteReading {
        at,
        temp: Celsius(temp),
        place,
        confirmed: false,
    })
}

fn seen(kind: Kind) -> impl Strategy<Value = Seen> {
    prop_oneof![
        8 => prop::sample::select(vec![
            Seen::SheenGone,
            Seen::ThumbDeep,
            Seen::ThumbMark,
            Seen::Thumb6mm,
            Seen::ThumbFaint,
            Seen::ScratchDeep,
            Seen::ScratchFaint,
            Seen::ScratchNone,
            Seen::ThumbNone,
            Seen::Textured,
            Seen::StrippedClean,
            Seen::StrippedStuck,
            Seen::EdgeCrumbled,
            Seen::DressedEasily,
            Seen::DressedHard,
            Seen::Wetted,
            Seen::Covered,
            Seen::Uncovered,
            Seen::Shaded,
            Seen::Rain,
            Seen::Frost,
            Seen::Walked,
        ]),
        1 => number(kind).prop_map(|x| Seen::Strength(Mpa(x))),
    ]
}

fn happening(kind: Kind) -> impl Strategy<Value = Happening> {
    (instant(), seen(kind), any::<bool>()).prop_map(|(at, what, confirmed)| Happening {
        at,
        what,
        confirmed,
    })
}

pub fn learned(kind: Kind) -> impl Strategy<Value = Learned> {
    prop_oneof![
        3 => Just(Learned::default()),
        1 => prop::array::uniform6(number(kind)).prop_map(|x| Learned {
            set_ln_mean: x[0],
            set_ln_sd: x[1],
            strength_ln_mean: x[2],
            strength_ln_sd: x[3],
            sheen_ln_mean: x[4],
            sheen_ln_sd: x[5],
            observations: 3,
        }),
    ]
}

/// A number that is mostly what it usually is, above zero unless wild.
fn about(usual: f64, kind: Kind) -> BoxedStrategy<f64> {
    let other = match kind {
        Kind::Odd => (-9.0..9.0_f64)
            .prop_map(move |e| usual.max(0.1) * e.exp())
            .boxed(),
        Kind::Wild => number(kind),
    };
    prop_oneof![8 => Just(usual), 2 => other].boxed()
}

/// What a data sheet and a pigment's bag say.
#[allow(clippy::type_complexity)]
fn sheet(
    kind: Kind,
) -> impl Strategy<
    Value = (
        Option<f64>,
        Option<f64>,
        Option<Stated>,
        Option<f64>,
        Option<PigmentTone>,
    ),
> {
    let rarely = |usual| prop_oneof![3 => Just(None), 1 => about(usual, kind).prop_map(Some)];
    (
        rarely(5.0),
        rarely(11.0),
        prop::sample::select(vec![None, Some(Stated::Minimum), Some(Stated::Mean)]),
        rarely(4.6),
        prop::sample::select(vec![
            None,
            Some(PigmentTone::None),
            Some(PigmentTone::Light),
            Some(PigmentTone::Dark),
        ]),
    )
}

/// The next step, how the surface is worked, and the rule for casting on it.
fn next(kind: Kind) -> impl Strategy<Value = (Option<(f64, f64, f64)>, Surface, NextStepRule)> {
    (
        prop::option::of((about(0.15, kind), about(1.2, kind), about(0.1, kind))),
        prop::sample::select(vec![Surface::Dragged, Surface::Pressed]),
        prop::sample::select(vec![NextStepRule::Load, NextStepRule::Handbook]),
    )
}

pub fn facts(kind: Kind) -> impl Strategy<Value = PourFacts> {
    let shape = (
        about(0.15, kind),
        about(1.2, kind),
        about(0.4, kind),
        prop::sample::select(vec![Base::Gravel, Base::Concrete, Base::Board]),
    );
    let mix = (
        about(27.6, kind),
        prop::option::of(about(17.2, kind)),
        about(300.0, kind),
        (about(2.2, kind), about(3.0, kind)),
        about(4.2, kind),
        any::<bool>(),
    );
    let dose = (
        prop::option::of(about(2.6, kind)),
        about(0.0, kind),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
    );
    let lists = (
        prop::collection::vec(air(kind), 0..12),
        prop::collection::vec(day(kind), 0..6),
        prop::collection::vec(air(kind), 0..12),
        prop::collection::vec(reading(kind), 0..8),
        prop::collection::vec(happening(kind), 0..8),
    );
    let rest = (
        prop_oneof![4 => Just(JUNE), 1 => instant()],
        instant(),
        any::<i32>(),
        prop::option::of((number(kind), number(kind))),
        prop::option::of((about(0.01, kind), any::<bool>())),
        about(0.025, kind),
        any::<bool>(),
        learned(kind),
        sheet(kind),
        next(kind),
    );
    (shape, mix, dose, lists, rest).prop_map(|(shape, mix, dose, lists, rest)| PourFacts {
        started: rest.0,
        finished: rest.1,
        utc_offset_min: rest.2,
        place: rest.3,
        place_from: PlaceSource::default(),
        piece: Piece {
            thickness: Metres(shape.0),
            width: Metres(shape.1),
            depth: Metres(shape.2),
            base: shape.3,
        },
        mix: MixFacts {
            class_28d: Mpa(mix.0),
            class_1d: rest.8.0.map(Mpa),
            class_3d: rest.8.1.map(Mpa),
            class_7d: mix.1.map(Mpa),
            strengths_are: rest.8.2,
            initial_set_h: rest.8.3,
            cement_kg_m3: mix.2,
            water_range_l: mix.3,
            cement_per_bag_kg: mix.4,
            rapid: mix.5,
        },
        dose: DoseFacts {
            water_per_bag_l: dose.0,
            pigment_pct: dose.1,
            pigment_tone: rest.8.4,
            retarder: dose.2,
            accelerator: dose.3,
            improvised: dose.4,
        },
        form: FormFacts {
            material: FormMaterial::Steel,
            thickness: Metres(rest.5),
        },
        liner: rest.4.map(|(relief, undercut)| LinerFacts {
            relief: Metres(relief),
            undercut,
        }),
        air: lists.0,
        days: lists.1,
        hourly: lists.2,
        concrete: lists.3,
        happened: lists.4,
        heavy_wear: rest.6,
        above: rest.9.0.map(|(t, w, o)| Above {
            thickness: Metres(t),
            width: Metres(w),
            overlap: Metres(o),
        }),
        surface: rest.9.1,
        next_step_rule: rest.9.2,
        learned: rest.7,
    })
}
