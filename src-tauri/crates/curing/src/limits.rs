//! What can be: ranges outside which a value is a slip (°F for °C, a comma in the wrong
//! place), in the units of the field names.
//!
//! Wide on purpose; they judge no work. The desk refuses what lies outside. The log has
//! its own table of the same kind for what people type into forms.

/// Least and greatest value.
pub type Range = (f64, f64);

/// Temperature of concrete in a history, °C.
pub const CONCRETE_C: Range = (-40.0, 100.0);
/// Temperature of air, °C.
pub const AIR_C: Range = (-40.0, 60.0);
/// Length of one interval, and equivalent age, h: to 114 years.
pub const HOURS: Range = (0.0, 1_000_000.0);
/// Reference temperature of an equivalent age, °C.
pub const REFERENCE_C: Range = (0.0, 60.0);
/// Datum temperature, °C.
pub const DATUM_C: Range = (-30.0, 20.0);
/// Arrhenius constant E/R, K.
pub const Q_K: Range = (500.0, 20_000.0);
/// Activation energy, J/mol.
pub const E_J_MOL: Range = (5_000.0, 150_000.0);
/// A strength, MPa.
pub const STRENGTH_MPA: Range = (0.001, 300.0);
/// Relative humidity, %.
pub const RH_PCT: Range = (0.0, 100.0);
/// Wind, km/h.
pub const WIND_KM_H: Range = (0.0, 200.0);
/// At or below this temperature concrete does not harden, °C.
///
/// Source: Saul 1951, the traditional datum of maturity.
pub const STANDSTILL_C: f64 = -10.0;
