//! How many bags a piece takes.
//!
//! One bag short and the pour is lost, so the count is rounded up; what water and pigment
//! go with it is the bag's data sheet's word. Sizes of steps are in [`crate::stairs`].

use crate::units::{Kg, Litres, Metres, Percent};

/// Dry mix that makes one litre of wet concrete.
///
/// Source: 80 lb bag yields 0.60 ft³ (public product descriptions): 36.29 kg / 16.99 L.
pub const DRY_KG_PER_L: f64 = 2.136;
/// A share of a bag that is arithmetic noise, not concrete.
const NOISE: f64 = 1e-9;

/// What a bag yields by its mass, where its label does not say.
#[must_use]
pub fn usual_yield(mass: Kg) -> Litres {
    Litres(mass.0 / DRY_KG_PER_L)
}

/// Volume of a box.
#[must_use]
pub fn box_volume(length: Metres, width: Metres, depth: Metres) -> Litres {
    Litres(length.0 * width.0 * depth.0 * 1000.0)
}

/// Bags for a volume, with waste, not rounded. Infinite for a bag that yields nothing.
#[must_use]
pub fn exact(volume: Litres, yields: Litres, waste: Percent) -> f64 {
    volume.0.max(0.0) * (1.0 + waste.0.max(0.0) / 100.0) / yields.0.max(0.0)
}

/// Whole bags to have before starting: rounded up, except for what is only noise.
#[must_use]
pub fn whole(exact: f64) -> u64 {
    // A cast from f64 stays within u64 and takes NaN as 0.
    (exact - NOISE * exact.max(1.0)).ceil().max(0.0) as u64
}
