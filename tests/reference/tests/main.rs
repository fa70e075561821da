//! Checks against values from outside the project.

mod sun;
mod thermal;
