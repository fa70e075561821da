//! Heat of hydration in the form of Schindler and Folliard: how far the cement has
//! reacted at an equivalent age, and how the temperature hurries that.
//!
//! The exact form serves checks and the desk; [`Tabled`] gives the same numbers from
//! tables, for the many members of a prediction. Strength is not derived from it: see
//! [`crate::predict`]. Conduction is in [`super::slab`].

use super::slab::Reaction;
use crate::units::Celsius;

/// Gas constant, J/(mol K).
pub const GAS_CONSTANT: f64 = 8.314_462_618;

/// Parameters of one mix's hydration.
///
/// Source: Schindler and Folliard 2005, ACI Mater. J. 102-M04: degree of hydration
/// `alpha_u exp(-(tau/t_e)^beta)`, age by Arrhenius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hydration {
    /// Ultimate degree of hydration.
    pub alpha_u: f64,
    /// Time parameter, h at the reference temperature.
    pub tau_h: f64,
    /// Shape.
    pub beta: f64,
    /// Apparent activation energy, J/mol.
    pub e_j_mol: f64,
    /// Reference temperature of the age.
    pub reference: Celsius,
}

impl Hydration {
    /// Ordinary portland cement (C3S 55 %, C2S 18 %, C3A 9 %, C4AF 8 %, Blaine 370 m²/kg)
    /// at a water/cement ratio; ultimate degree after Mills 1966.
    ///
    /// Source: Schindler and Folliard 2005, worked for this cement in the reference values
    /// (section 8.1): tau 15.11 h, beta 0.666, 45.2 kJ/mol; w/c 0.55 gives 0.762.
    #[must_use]
    pub fn portland(water_cement: f64) -> Hydration {
        let w = water_cement.clamp(0.2, 1.5);
        Hydration {
            alpha_u: (1.031 * w / (0.194 + w)).min(1.0),
            tau_h: 15.112,
            beta: 0.665_68,
            e_j_mol: 45_218.0,
            reference: Celsius(20.0),
        }
    }

    fn kelvin(temp_c: f64) -> f64 {
        (temp_c + 273.15).max(1.0)
    }
}

/// Heat of ordinary portland cement at full hydration, J/kg (as [`Hydration::portland`]).
pub const PORTLAND_J_KG: f64 = 480_920.0;

impl Reaction for Hydration {
    fn rate(&self, temp_c: f64) -> f64 {
        let inverse =
            1.0 / Hydration::kelvin(self.reference.value()) - 1.0 / Hydration::kelvin(temp_c);
        libm::exp(self.e_j_mol / GAS_CONSTANT * inverse)
    }

    fn alpha(&self, age_h: f64) -> f64 {
        if age_h > 0.0 {
            self.alpha_u * libm::exp(-libm::pow(self.tau_h / age_h, self.beta))
        } else {
            0.0
        }
    }
}

/// A function of one number, read from a table by straight lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    from: f64,
    per_unit: f64,
    values: Vec<f64>,
}

impl Table {
    /// Tabulates `f` at `steps` + 1 points from `from` to `to`; outside, the ends count.
    #[must_use]
    pub fn of(from: f64, to: f64, steps: u32, f: impl Fn(f64) -> f64) -> Table {
        let step = (to - from) / f64::from(steps.max(1));
        Table {
            from,
            per_unit: 1.0 / step,
            values: (0..=steps.max(1))
                .map(|i| f(from + step * f64::from(i)))
                .collect(),
        }
    }

    /// The value at `x`.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        let place = ((x - self.from) * self.per_unit).max(0.0);
        let i = place as usize;
        match (self.values.get(i), self.values.get(i.wrapping_add(1))) {
            (Some(a), Some(b)) => a + (b - a) * (place - i as f64),
            _ => self.values.last().copied().unwrap_or(0.0),
        }
    }

    /// This table and another one of the same points, put together.
    #[must_use]
    pub fn with(&self, other: &Table, f: impl Fn(f64, f64) -> f64) -> Table {
        let pairs = self.values.iter().zip(&other.values);
        Table {
            values: pairs.map(|(a, b)| f(*a, *b)).collect(),
            ..*self
        }
    }

    /// The same table with every value changed.
    #[must_use]
    pub fn map(&self, f: impl Fn(f64) -> f64) -> Table {
        Table {
            values: self.values.iter().map(|v| f(*v)).collect(),
            ..*self
        }
    }
}

/// Coldest and warmest concrete that tables cover, °C, and their step of a quarter kelvin.
pub(crate) const TABLE_C: (f64, f64, u32) = (-40.0, 110.0, 600);
/// Tables of hydration go by the root of age/tau, up to this.
const ROOT_MAX: f64 = 16.0;

/// A [`Hydration`] from tables. Of `exp(-(1/u)^beta)` one table serves every member that
/// has the same shape.
#[derive(Clone, Copy, Debug)]
pub struct Tabled<'a> {
    /// `exp(-u^-beta)` against the root of u.
    pub course: &'a Table,
    /// Rate against °C.
    pub rates: &'a Table,
    /// Ultimate degree.
    pub alpha_u: f64,
    /// Time parameter, h.
    pub tau_h: f64,
}

impl Tabled<'_> {
    /// The course of hydration for a shape.
    #[must_use]
    pub fn course(beta: f64) -> Table {
        Table::of(0.0, ROOT_MAX, 1600, |root| {
            let u = root * root;
            if u > 0.0 {
                libm::exp(-libm::pow(1.0 / u, beta))
            } else {
                0.0
            }
        })
    }

    /// Rates of `h` at every tabled temperature.
    #[must_use]
    pub fn rates(h: &Hydration) -> Table {
        Table::of(TABLE_C.0, TABLE_C.1, TABLE_C.2, |t| h.rate(t))
    }
}

impl Reaction for Tabled<'_> {
    fn rate(&self, temp_c: f64) -> f64 {
        self.rates.at(temp_c)
    }

    fn alpha(&self, age_h: f64) -> f64 {
        self.alpha_u * self.course.at(libm::sqrt(age_h.max(0.0) / self.tau_h))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ordinary_cement_as_in_the_published_form() {
        // Reference values 8.2 (arithmetic from Schindler and Folliard 2005), w/c 0.55.
        let h = Hydration::portland(0.55);
        for (age, alpha) in [
            (6.0, 0.1199),
            (12.0, 0.2375),
            (24.0, 0.3655),
            (48.0, 0.4795),
            (72.0, 0.5351),
            (168.0, 0.6232),
            (672.0, 0.7036),
        ] {
            assert!(
                (h.alpha(age) - alpha).abs() < 0.001,
                "{age}: {}",
                h.alpha(age)
            );
        }
        assert!((h.rate(20.0) - 1.0).abs() < 1e-12);
        assert_eq!(h.alpha(0.0), 0.0);
    }

    #[test]
    fn tables_give_the_same_as_the_form() {
        let h = Hydration::portland(0.55);
        let (course, rates) = (Tabled::course(h.beta), Tabled::rates(&h));
        let t = Tabled {
            course: &course,
            rates: &rates,
            alpha_u: h.alpha_u,
            tau_h: h.tau_h,
        };
        for i in 0..2000 {
            let age = f64::from(i) * 0.4;
            assert!((t.alpha(age) - h.alpha(age)).abs() < 1e-4, "{age}");
            let temp = -30.0 + f64::from(i) * 0.05;
            assert!((t.rate(temp) / h.rate(temp) - 1.0).abs() < 1e-4, "{temp}");
        }
    }
}
