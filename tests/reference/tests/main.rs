//! Checks against values from outside the project.

mod nist;
mod sun;
mod thermal;
