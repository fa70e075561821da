//! One guess at a pour, solved and weighed; all of them together are the ensemble.
//!
//! Each member takes its unknowns from [`super::draw`], goes through its own
//! temperatures and then draws its set, sheen and strength from what is believed of them
//! after this pour's own observations. Members that foresaw the observations and the
//! concrete readings badly weigh less. What is read off them is in [`super::moments`].

use super::aged::Aged;
use super::belief::Belief;
use super::course::{self, Course};
use super::draw::Draw;
use super::evidence::{self, Likelihood, Sign};
use super::mix::{MOST_STRENGTH, Mix, unsaid_sd};
use super::readings::{self, Counts};
use super::sheen;
use super::weather::{Weather, finished_h};
use crate::air::AirHistory;
use crate::facts::PourFacts;
use crate::heat::hydration::{Hydration, TABLE_C, Table, Tabled};
use crate::maturity;
use crate::prediction::{NotYet, Odd};
use crate::setting;
use crate::units::Celsius;

/// Members of an ordinary prediction.
pub const MEMBERS: usize = 64;
/// From pour to pour of the same mix, set, sheen and strength differ by these standard
/// deviations of the logarithm: the batch, the day, and how well the weather at the piece
/// is known (judgement, checked with invented sites in `tests/sim`).
const POUR_SD: (f64, f64, f64) = (0.17, 0.27, 0.06);
/// The pace of ageing at known weather may be off by this, as a logarithm (the same).
const PACE_SD: f64 = 0.05;

/// One guess, solved.
#[derive(Clone, Debug)]
pub(crate) struct Member {
    pub mix: Mix,
    pub course: Course,
    pub aged: Aged,
    /// Logarithm of the factor on set times.
    pub set: f64,
    /// Logarithm of the factor on strength.
    pub strength: f64,
    /// Hours at which the sheen is gone.
    pub sheen_h: f64,
    /// Its share; all shares add to 1.
    pub weight: f64,
    /// What is believed of set, sheen and strength in this member.
    pub beliefs: [Belief; 3],
    /// Of each sign, by its place among what happened, the probability that it is a slip.
    pub slips: Vec<(usize, f64)>,
}

/// All guesses at a pour.
#[derive(Clone, Debug)]
pub(crate) struct Ensemble {
    pub weather: Weather,
    pub air: AirHistory,
    pub members: Vec<Member>,
    /// The middle of everything unknown, for curves of temperature.
    pub middle: Member,
    /// Readings of the concrete that do not fit.
    pub odd_readings: Vec<Odd>,
}

/// Prior mean and standard deviation of set, sheen and strength of this very pour.
pub(crate) fn priors(facts: &PourFacts) -> [(f64, f64); 3] {
    let l = &facts.learned;
    let d = &facts.dose;
    let total = |mean: f64, sd: f64, pour: f64| {
        (mean.clamp(-2.0, 2.0), libm::hypot(sd.clamp(0.0, 1.0), pour))
    };
    let mut set = total(l.set_ln_mean, l.set_ln_sd, POUR_SD.0);
    // The maker's word is not in the log: later or earlier by about a third, widely.
    if d.retarder {
        set = (set.0 + 0.3, libm::hypot(set.1, 0.25));
    }
    if d.accelerator {
        set = (set.0 - 0.3, libm::hypot(set.1, 0.25));
    }
    let mut strength = total(l.strength_ln_mean, l.strength_ln_sd, POUR_SD.2);
    strength.1 = libm::hypot(strength.1, unsaid_sd(&facts.mix));
    if d.improvised {
        set.1 = libm::hypot(set.1, 0.25);
        strength.1 = libm::hypot(strength.1, 0.2);
    }
    [
        set,
        total(l.sheen_ln_mean, l.sheen_ln_sd, POUR_SD.1),
        strength,
    ]
}

/// The tables that all members share.
struct Shared {
    shape: Table,
    heat_rates: Table,
    /// Of hardening: logarithm of the rate for each J/mol, 0 at 23 °C, and what the rise in
    /// the cold after Freiesleben Hansen and Pedersen adds.
    per_joule: Table,
    rise: Table,
    set_rates: Table,
}

impl Shared {
    fn new() -> Shared {
        let h = Hydration::portland(0.6);
        // A step of 1 K is off by 0.05 % at most.
        let table = |f: &dyn Fn(f64) -> f64| Table::of(TABLE_C.0, TABLE_C.1, TABLE_C.2 / 4, f);
        Shared {
            shape: Tabled::course(h.beta),
            heat_rates: Tabled::rates(&h),
            per_joule: table(&|t| {
                let one = maturity::rate_arrhenius(
                    Celsius(t),
                    1000.0 / maturity::GAS_CONSTANT,
                    maturity::REFERENCE,
                );
                libm::log(one.max(1e-9)) / 1000.0
            }),
            rise: table(&|t| {
                let steep = maturity::activation_energy_fhp(Celsius(t)).0;
                let level = maturity::activation_energy_fhp(maturity::REFERENCE).0;
                let q_k = (steep - level) / maturity::GAS_CONSTANT;
                let rate = maturity::rate_arrhenius(Celsius(t), q_k, maturity::REFERENCE_EUROPE);
                libm::log(rate.max(1e-9))
            }),
            set_rates: table(&|t| libm::log(setting::rate(Celsius(t)).max(1e-6))),
        }
    }
}

impl Member {
    fn of(
        facts: &PourFacts,
        weather: &Weather,
        shared: &Shared,
        draw: &Draw,
        taken: &[bool],
    ) -> Member {
        let mut mix = Mix::of(facts, draw);
        let course = course::run(
            facts,
            weather,
            &mix,
            draw,
            &shared.shape,
            &shared.heat_rates,
            taken,
        );
        let pace = PACE_SD * draw.pace;
        mix = mix.after_first_day(course.first_day_c(weather));
        let set_rates = shared
            .set_rates
            .map(|ln_rate| libm::exp(ln_rate * mix.energy + pace));
        let (energy, rise) = mix.hardening;
        let strength_rates = shared
            .per_joule
            .with(&shared.rise, |a, b| libm::exp(a * energy + b * rise + pace));
        let aged = Aged::of(weather, &course, &strength_rates, &set_rates);
        let [set, sheen, strength] = priors(facts).map(|(mean, sd)| Belief::prior(mean, sd));
        let mut m = Member {
            mix,
            course,
            aged,
            set: 0.0,
            strength: 0.0,
            sheen_h: 0.0,
            weight: 1.0,
            beliefs: [set, sheen, strength],
            slips: Vec::new(),
        };
        m.consider(facts, weather, draw);
        m
    }

    /// Takes in this pour's observations and draws what was left open.
    fn consider(&mut self, facts: &PourFacts, weather: &Weather, draw: &Draw) {
        let priors = priors(facts);
        let found = evidence::of_set(facts, weather, &self.aged);
        let mix = self.mix;
        self.update(0, priors[0], &found, |s, x| {
            evidence::set_likelihood(s, &mix, x)
        });
        self.set = self.beliefs[0].quantile(draw.set).clamp(-1.5, 1.5);
        // A retarder only delays.
        if facts.dose.retarder {
            self.set = self.set.max(facts.learned.set_ln_mean.clamp(-1.5, 1.5));
        }
        let done = finished_h(facts);
        let surface = sheen::Surface {
            top_c: &self.course.top,
            ages: &self.aged.set,
            initial_age: mix.initial_h(self.set),
        };
        let base = sheen::base_h(facts, weather, draw, &mix, &surface);
        let found: Vec<Sign> = evidence::of_sheen(facts).into_iter().collect();
        self.update(1, priors[1], &found, |s, x| {
            evidence::sheen_likelihood(s, base, x)
        });
        let factor = libm::exp(self.beliefs[1].quantile(draw.sheen).clamp(-2.0, 2.0));
        let initial = weather.reaches(&self.aged.set, mix.initial_h(self.set));
        self.sheen_h = (done + base * factor).min(initial);
        let found = evidence::of_strength(facts, weather, &self.aged);
        let set = self.set;
        self.update(2, priors[2], &found, |s, x| {
            evidence::strength_likelihood(facts, s, &mix, set, x)
        });
        self.strength = self.beliefs[2]
            .quantile(draw.strength)
            .clamp(MOST_STRENGTH.0, MOST_STRENGTH.1);
    }

    /// Takes in the signs that say something of one number, and how likely each is a slip.
    fn update(
        &mut self,
        which: usize,
        (mean, sd): (f64, f64),
        found: &[Sign],
        likelihood: impl Fn(&Sign, f64) -> Likelihood,
    ) {
        let Some(belief) = self.beliefs.get_mut(which).filter(|_| !found.is_empty()) else {
            return;
        };
        *belief = Belief::after(mean, sd, |x| {
            found.iter().map(|s| likelihood(s, x).logarithm()).sum()
        });
        let slip = |s: &Sign| belief.mean_of(|x| likelihood(s, x).slip());
        self.slips.extend(found.iter().map(|s| (s.index, slip(s))));
    }

    fn log_weight(&self) -> f64 {
        self.beliefs.iter().map(|b| b.evidence).sum::<f64>() - 0.5 * self.course.misfit
    }
}

impl Ensemble {
    /// Solves `n` members.
    pub(crate) fn of(facts: &PourFacts, n: usize) -> Result<Ensemble, NotYet> {
        if !super::sensible::sensible(facts) {
            return Err(NotYet::Impossible);
        }
        let air = AirHistory::of(facts)?;
        let weather = Weather::of(facts, &air);
        let shared = Shared::new();
        let n = n.clamp(1, 2000);
        // The readings are held against a course that none of them has corrected.
        let none = vec![false; facts.concrete.len()];
        let counts = if none.is_empty() {
            Counts::default()
        } else {
            let bare = Member::of(facts, &weather, &shared, &Draw::MIDDLE, &none);
            let placed_c = course::placed_c(&weather);
            readings::judge(facts, &weather, &bare.course, placed_c)
        };
        let member = |draw: &Draw| Member::of(facts, &weather, &shared, draw, &counts.taken);
        let members = Draw::spread(n).iter().map(member).collect();
        let middle = member(&Draw::MIDDLE);
        let mut e = Ensemble {
            weather,
            air,
            members,
            middle,
            odd_readings: counts.odd,
        };
        e.weigh();
        Ok(e)
    }

    /// Shares by how well each member foresaw what was seen and read, flattened as far as
    /// needed that at least half of the members count.
    fn weigh(&mut self) {
        let logs: Vec<f64> = self.members.iter().map(Member::log_weight).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut heat = 1.0;
        for _ in 0..12 {
            let raw = logs.iter().map(|l| libm::exp((l - best) * heat));
            let (sum, squares) = raw.fold((0.0, 0.0), |(s, q), w| (s + w, q + w * w));
            for (m, l) in self.members.iter_mut().zip(&logs) {
                m.weight = libm::exp((l - best) * heat) / sum;
            }
            if sum * sum / squares >= 0.5 * logs.len() as f64 {
                break;
            }
            heat *= 0.5;
        }
    }

    /// The probability that something that was seen is a slip, by its place among what
    /// happened.
    pub(crate) fn slip(&self, index: usize) -> f64 {
        let of = |m: &Member| {
            let found = m.slips.iter().find(|s| s.0 == index);
            m.weight * found.map_or(0.0, |s| s.1)
        };
        self.members.iter().map(of).sum()
    }

    /// The values below which 5, 50 and 95 % of the members lie.
    pub(crate) fn quantiles(&self, value: impl Fn(&Member) -> f64) -> [f64; 3] {
        let mut all: Vec<(f64, f64)> = self.members.iter().map(|m| (value(m), m.weight)).collect();
        quantiles(&mut all)
    }
}

/// Weighted 5, 50 and 95 % points; shares count half before and half after their value.
pub(crate) fn quantiles(all: &mut [(f64, f64)]) -> [f64; 3] {
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    [0.05, 0.5, 0.95].map(|p| {
        let mut sum = 0.0;
        let mut last: Option<(f64, f64)> = None;
        for (x, share) in all.iter() {
            let upto = sum + 0.5 * share;
            if upto >= p {
                return match last {
                    Some((was_x, was)) if x.is_finite() => {
                        was_x + (x - was_x) * ((p - was) / (upto - was).max(1e-300))
                    }
                    _ => *x,
                };
            }
            sum += share;
            last = Some((*x, upto));
        }
        last.map_or(f64::INFINITY, |l| l.0)
    })
}
