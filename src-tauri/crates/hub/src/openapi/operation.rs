//! One method of one address, and what its requests and answers carry: plain data.
//!
//! The list is in [`super::table`]; [`super`] writes the document from it.

use schemars::generate::SchemaGenerator;
use schemars::{JsonSchema, Schema};

/// Writes a schema; what it refers to stays with the generator.
pub(super) type Of = fn(&mut SchemaGenerator) -> Schema;

/// What a request or an answer carries.
#[derive(Clone, Copy, Debug)]
pub(super) enum Carries {
    /// Nothing.
    Nothing,
    /// JSON of a Rust type.
    Type(Of),
    /// JSON that is put together by hand: its schema as text.
    Written(&'static str),
    /// Bytes or text of one of these media types.
    Media(&'static [&'static str]),
}

/// One method of one address.
#[derive(Clone, Copy, Debug)]
pub(super) struct Operation {
    pub(super) method: &'static str,
    /// With `/api`, as in the table of rights.
    pub(super) path: &'static str,
    /// One line for people.
    pub(super) what: &'static str,
    /// What may stand behind the question mark.
    pub(super) query: Option<Of>,
    pub(super) takes: Carries,
    pub(super) gives: Carries,
    /// Refusals of its own: status and when.
    pub(super) refuses: &'static [(u16, &'static str)],
}

/// The schema of `T`, by reference where it has a name.
pub(super) fn of<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// The schema of `T` itself: its fields become parameters.
pub(super) fn fields<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    T::json_schema(generator)
}
