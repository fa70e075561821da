// PROVISIONAL: until the modules of the same names are there.
pub mod maturity {
    use crate::units::Celsius;
    pub fn rate_default(t: Celsius) -> f64 {
        let k = |c: f64| (c + 273.15).max(1.0);
        let q = |c: f64| libm::exp(5000.0 * (1.0 / k(23.0) - 1.0 / k(c)));
        let c = t.value();
        if c >= 20.0 {
            q(c)
        } else {
            let e = 33_500.0 + 1470.0 * (20.0 - c);
            q(20.0) * libm::exp(e / 8.314 * (1.0 / k(20.0) - 1.0 / k(c)))
        }
    }
}
pub mod setting {
    use crate::units::Celsius;
    pub const INITIAL_H_AT_23: f64 = 4.6;
    pub const FINAL_OVER_INITIAL: f64 = 1.6;
    pub fn rate(t: Celsius) -> f64 {
        let k = |c: f64| (c + 273.15).max(1.0);
        libm::exp(42_500.0 / 8.314_462_618 * (1.0 / k(23.0) - 1.0 / k(t.value())))
    }
}
pub mod evaporation {
    use crate::units::{Celsius, KgM2H, KmH, Percent};
    fn es(t: f64) -> f64 {
        0.61078 * libm::exp(17.2694 * t / (t + 237.3))
    }
    pub fn menzel(c: Celsius, a: Celsius, rh: Percent, w: KmH) -> KgM2H {
        KgM2H((0.315 * (es(c.0) - rh.0 / 100.0 * es(a.0)) * (0.253 + 0.060 * w.0)).max(0.0))
    }
    pub fn uno(c: Celsius, a: Celsius, rh: Percent, w: KmH) -> KgM2H {
        let p = |t: f64| libm::pow((t + 18.0).max(0.0), 2.5);
        KgM2H((5.0 * (p(c.0) - rh.0 / 100.0 * p(a.0)) * (w.0 + 4.0) * 1e-6).max(0.0))
    }
}
pub mod curing_time {
    pub fn days(surface_c: f64, slow: bool) -> f64 {
        let (s, m) = match surface_c {
            t if t >= 25.0 => (2.0, 2.0),
            t if t >= 15.0 => (4.0, 2.0),
            t if t >= 10.0 => (7.0, 4.0),
            _ => (10.0, 6.0),
        };
        if slow { s } else { m }
    }
}
