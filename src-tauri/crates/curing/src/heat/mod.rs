//! Temperature inside concrete: conduction in depth, heat of hydration, and what lies
//! between the concrete and the air.
//!
//! [`slab`] is the solver, [`hydration`] the cement, [`surface`] wind, sun, covers and
//! form, [`sky`] long-wave radiation; [`case`] and [`desk_case`] solve one problem closely. How a pour becomes such a
//! problem is in [`crate::predict`].

mod case;
mod desk;
mod drive;
pub mod hydration;
pub mod sky;
pub mod slab;
pub(crate) mod surface;

pub use desk::desk_case;

#[cfg(test)]
mod tests;
