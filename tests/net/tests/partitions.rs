//! Phones and a hub on a network that is cut, slow, out of order and doubled, while both
//! crash, clocks jump, a phone is copied and the hub is set back to a backup.
//!
//! The hub's part is its own: `api::streams::take` on a `Ledger` on a real SQLite file,
//! behind axum on simulated sockets. The phones are `sync::Outbox` with a few lines of HTTP.
//! Network and time are `turmoil`'s, by a seed, which is printed. `SLOWSTONE_SEED` runs one
//! seed, `SLOWSTONE_SEEDS` that many.

#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod world;

use std::time::Duration;
use turmoil::{Builder, Result};
use world::{Dice, PHONES, World, name, phone, serve};

/// Seeds that are always run.
const SEEDS: [u64; 6] = [1, 2, 3, 5, 8, 13];

/// Troubles in one run, and how much simulated time lies between them.
const TROUBLES: u32 = 40;
const BETWEEN: Duration = Duration::from_millis(700);

/// Simulated time after the last trouble in which everything must have come through.
const CALM: Duration = Duration::from_secs(120);

/// One run; what [`World::tally`] counted.
fn run(seed: u64) -> Result<[u32; 5]> {
    println!("SLOWSTONE_SEED={seed}");
    let world = World::new(seed);
    let mut dice = Dice(seed ^ 0xABCD);
    let mut sim = Builder::new()
        .rng_seed(seed)
        .tick_duration(Duration::from_millis(5))
        .simulation_duration(Duration::from_secs(3600))
        .max_message_latency(Duration::from_millis(300))
        .build();
    let hub = world.clone();
    sim.host("hub", move || serve(hub.clone()));
    for n in 0..PHONES {
        let world = world.clone();
        sim.host(name(n), move || phone(world.clone(), n));
    }
    let mut hub_up = true;
    let mut seen = [0_u32; 8];
    for _ in 0..TROUBLES {
        let end = sim.elapsed() + BETWEEN;
        while sim.elapsed() < end {
            sim.step()?;
        }
        let n = dice.below(PHONES as u64) as usize;
        let trouble = dice.below(8) as usize;
        seen[trouble] += 1;
        match trouble {
            0 => sim.partition(name(n), "hub"),
            1 => sim.partition_oneway("hub", name(n)),
            2 => sim.hold(name(n), "hub"),
            3 => {
                sim.repair(name(n), "hub");
                sim.release(name(n), "hub");
            }
            4 => {
                sim.crash(name(n));
                sim.bounce(name(n));
            }
            5 => {
                if hub_up {
                    sim.crash("hub");
                    world.check_acknowledged();
                    if dice.below(3) == 0 {
                        world.restore();
                    }
                } else {
                    sim.bounce("hub");
                }
                hub_up = !hub_up;
            }
            6 => {
                world.jump_clock(&mut dice);
                world.backup();
            }
            _ => world.copy_a_phone(),
        }
    }
    // The signal is back for good.
    world.finish();
    for n in 0..PHONES {
        sim.repair(name(n), "hub");
        sim.release(name(n), "hub");
    }
    sim.crash("hub");
    sim.bounce("hub");
    let end = sim.elapsed() + CALM;
    while sim.elapsed() < end && !world.is_settled() {
        sim.step()?;
    }
    sim.crash("hub");
    drop(sim);
    world.check_all(seed);
    let tally = world.tally();
    println!("troubles {seen:?}; answers, lost, forks, gaps, restored: {tally:?}");
    Ok(tally)
}

#[test]
fn nothing_is_lost_whatever_the_network_does() {
    let asked = |name: &str| std::env::var(name).ok().and_then(|s| s.parse::<u64>().ok());
    let seeds: Vec<u64> = match (asked("SLOWSTONE_SEED"), asked("SLOWSTONE_SEEDS")) {
        (Some(seed), _) => vec![seed],
        (None, Some(many)) => (1..=many).collect(),
        (None, None) => SEEDS.to_vec(),
    };
    let mut sum = [0; 5];
    for seed in &seeds {
        let tally = run(*seed).unwrap();
        sum = std::array::from_fn(|n| sum[n] + tally[n]);
    }
    // One run may be without a fork; all of them together are not.
    assert!(
        seeds.len() < SEEDS.len() || sum.iter().all(|n| *n > 0),
        "{sum:?}"
    );
}
