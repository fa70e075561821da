//! Conservation of energy, stability of any step, and the edge against closed forms. The
//! outside cases are in `tests/reference/tests/thermal.rs`.

use super::hydration::{Hydration, PORTLAND_J_KG};
use super::slab::{Drive, Flows, Layer, Sides, Slab, Underside};

fn concrete(temp_c: f64) -> Layer {
    Layer {
        thickness_m: 0.15,
        k_w_mk: 2.0,
        capacity_j_m3k: 2.35e6,
        heat_j_m3: 305.0 * PORTLAND_J_KG,
        temp_c,
        age_h: 0.0,
        cells: 10,
        growth: 1.0,
    }
}

fn gravel(temp_c: f64) -> Layer {
    Layer {
        thickness_m: 0.5,
        k_w_mk: 1.2,
        capacity_j_m3k: 1.62e6,
        heat_j_m3: 0.0,
        temp_c,
        age_h: 0.0,
        cells: 5,
        growth: 1.8,
    }
}

fn drive(dt_h: f64, air: f64) -> Drive {
    Drive {
        dt_s: dt_h * 3600.0,
        air_c: (air, air + 1.0),
        sun_w_m2: (100.0, 300.0),
        h_top: 14.0,
        under: Underside::Held { temp_c: 9.0 },
    }
}

/// Conservation of energy, the first law: what is held changes by what came in and what
/// the cement gave off, to rounding, for short and long steps alike.
#[test]
fn no_energy_appears_or_vanishes() {
    let mix = Hydration::portland(0.55);
    let mut slab = Slab::new(&[concrete(18.0), gravel(9.0)], &mix);
    let core_then: Vec<f64> = slab.temps().collect();
    let mut sum = Flows::default();
    let start = slab.heat_held();
    for i in 0..400 {
        let dt = [0.1, 0.5, 2.0, 11.0][i % 4];
        let sides = Sides {
            width_m: 0.05,
            u_air: 4.0,
            sun_w_m2: 20.0,
            u_core: 13.0,
            core: (&core_then, &core_then),
        };
        let f = slab.step(&mix, &drive(dt, 5.0), (i % 2 == 0).then_some(&sides));
        sum.top += f.top;
        sum.under += f.under;
        sum.sides += f.sides;
        sum.hydration += f.hydration;
    }
    let gained = slab.heat_held() - start;
    let came = sum.top + sum.under + sum.sides + sum.hydration;
    let scale = sum.hydration + sum.top.abs() + sum.under.abs() + sum.sides.abs();
    assert!((gained - came).abs() < 1e-9 * scale, "{gained} {came}");
    assert!(sum.hydration > 1e6);
}

/// Cement that gives off all its heat and loses none: c H alpha_u / (rho cp), the
/// adiabatic limit of reference values 8.3 (48.61 K for 305 kg/m³ at w/c 0.55, rho cp of
/// 2300 and 1000).
#[test]
fn the_adiabatic_limit_is_reached_and_not_passed() {
    let mix = Hydration::portland(0.55);
    let layer = Layer {
        capacity_j_m3k: 2.3e6,
        ..concrete(20.0)
    };
    let mut slab = Slab::new(&[layer], &mix);
    let closed = Drive {
        dt_s: 3600.0 * 24.0,
        air_c: (0.0, 0.0),
        sun_w_m2: (0.0, 0.0),
        h_top: 0.0,
        under: Underside::Insulated,
    };
    for _ in 0..200_000 {
        slab.step(&mix, &closed, None);
    }
    let rise = slab.temps().next().unwrap() - 20.0;
    assert!(rise < 48.61 && rise > 48.3, "{rise}");
}

/// Newman's product rule (Carslaw and Jaeger, 1.15): in a bar cooled on two faces that
/// meet in an edge, the edge's excess over the air is the product of the two slabs'.
#[test]
fn the_edge_column_agrees_with_the_product_rule() {
    let inert = Layer {
        heat_j_m3: 0.0,
        temp_c: 20.0,
        ..concrete(20.0)
    };
    let mix = Hydration::portland(0.55);
    let mut core = Slab::new(&[inert], &mix);
    let mut edge = Slab::new(&[inert], &mix);
    let mut slab_face = Slab::new(&[inert], &mix);
    let d = |dt: f64| Drive {
        dt_s: dt,
        air_c: (0.0, 0.0),
        sun_w_m2: (0.0, 0.0),
        h_top: 15.0,
        under: Underside::Insulated,
    };
    for step in 1..=96 {
        let before: Vec<f64> = core.temps().collect();
        core.step(&mix, &d(900.0), None);
        slab_face.step(&mix, &d(900.0), None);
        let after: Vec<f64> = core.temps().collect();
        let sides = Sides {
            width_m: crate::heat::surface::EDGE_WIDTH_M,
            u_air: 15.0,
            sun_w_m2: 0.0,
            u_core: crate::heat::surface::edge_to_core(2.0, 0.15),
            core: (&before, &after),
        };
        edge.step(&mix, &d(900.0), Some(&sides));
        if step % 16 == 0 {
            // The face of a slab of the same thickness stands for the depth from the side.
            let mid = 5;
            let across = slab_face.temps().next().unwrap() / 20.0;
            let exact = core.temps().nth(mid).unwrap() * across;
            let ours = edge.temps().nth(mid).unwrap();
            assert!((ours - exact).abs() < 2.0, "step {step}: {ours} {exact}");
        }
    }
}

/// A strip of the body that loses nothing through its sides is the body: it must meet the
/// ground below through the same half cell. (Two half cells in series, by hand.)
#[test]
fn a_column_alone_on_the_ground_of_another_goes_as_that_one() {
    let mix = Hydration::portland(0.55);
    let mut body = Slab::new(&[concrete(18.0), gravel(6.0)], &mix);
    // Five cells, each 1.8 times as thick as the one above it.
    let first_m = 0.5 / (1.0 + 1.8 + 1.8 * 1.8 + 1.8 * 1.8 * 1.8 + 1.8 * 1.8 * 1.8 * 1.8);
    let u = body.half_w_m2k(10);
    assert!((u - 2.0 * 1.2 / first_m).abs() < 1e-9, "{u}");
    assert_eq!(body.half_w_m2k(15), 0.0);
    let mut strip = Slab::new(&[concrete(18.0)], &mix);
    for _ in 0..96 {
        body.step(&mix, &drive(0.25, 5.0), None);
        let below = body.temps().nth(10).unwrap();
        let on_it = Drive {
            under: Underside::Meets {
                u_w_m2k: u,
                temp_c: below,
            },
            ..drive(0.25, 5.0)
        };
        strip.step(&mix, &on_it, None);
    }
    for (a, b) in body.temps().zip(strip.temps()) {
        assert!((a - b).abs() < 0.05, "{a} {b}");
    }
}

proptest::proptest! {
    /// Any length of step: nothing leaves the range that physics allows by more than the
    /// step's own ripple, and nothing is not a number.
    #[test]
    fn any_step_is_stable(dts in proptest::collection::vec(1e-6..1e7f64, 1..60), air in -40.0..50.0f64, start in 0.0..40.0f64, h in 0.0..100.0f64) {
        let mix = Hydration::portland(0.6);
        let mut slab = Slab::new(&[concrete(start), gravel(start)], &mix);
        for dt in dts {
            slab.step(&mix, &Drive {
                dt_s: dt,
                air_c: (air, air),
                sun_w_m2: (0.0, 0.0),
                h_top: h,
                under: Underside::Held { temp_c: start },
            }, None);
            for t in slab.temps() {
                let (low, high) = (air.min(start), air.max(start) + 55.0);
                let ripple = 0.35 * (high - low);
                proptest::prop_assert!(t > low - ripple && t < high + ripple, "{t}");
            }
        }
    }
}
