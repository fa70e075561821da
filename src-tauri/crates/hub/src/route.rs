//! One method of one address: whom it is for, what it carries and refuses, what answers it.
//!
//! Plain data, below everything that serves. The list is [`crate::api::routes`].

use crate::caller::Need;
use crate::state::Hub;
use axum::routing::{MethodFilter, MethodRouter};
use schemars::generate::SchemaGenerator;
use schemars::{JsonSchema, Schema};
use std::sync::Arc;

/// The methods that the interface knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Asks.
    Get,
    /// Adds, or has something done.
    Post,
    /// Puts in the place of what is there.
    Put,
    /// Takes away.
    Delete,
}

impl Method {
    /// As it stands in a request.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Get => "GET",
            Self::Post => "POST",
            Self::Put => "PUT",
            Self::Delete => "DELETE",
        }
    }

    /// As the router matches it; HEAD is answered by what answers GET.
    pub(crate) fn filter(self) -> MethodFilter {
        match self {
            Self::Get => MethodFilter::GET,
            Self::Post => MethodFilter::POST,
            Self::Put => MethodFilter::PUT,
            Self::Delete => MethodFilter::DELETE,
        }
    }
}

/// Writes the schema of a type; what it refers to stays with the generator.
pub type Of = fn(&mut SchemaGenerator) -> Schema;

/// What a request or an answer carries.
#[derive(Clone, Copy, Debug)]
pub enum Carries {
    /// Nothing.
    Nothing,
    /// JSON of a Rust type.
    Type(Of),
    /// Bytes or text of one of these media types.
    Media(&'static [&'static str]),
}

/// What people and programs are told of it.
#[derive(Clone, Copy, Debug)]
pub struct Doc {
    /// One line for people.
    pub what: &'static str,
    /// What may stand behind the question mark.
    pub query: Option<Of>,
    /// What a request carries.
    pub takes: Carries,
    /// What an answer carries.
    pub gives: Carries,
    /// Status and when: refusals of its own, or a better reason than the rule has for one that
    /// follows from its form ([`crate::openapi`]).
    pub refuses: &'static [(u16, &'static str)],
}

/// Carries nothing and refuses nothing of its own.
pub const PLAIN: Doc = Doc {
    what: "",
    query: None,
    takes: Carries::Nothing,
    gives: Carries::Nothing,
    refuses: &[],
};

/// One method of one address.
#[derive(Clone, Copy, Debug)]
pub struct Route {
    /// The method.
    pub method: Method,
    /// The address, with `/api` and with names in braces.
    pub path: &'static str,
    /// Whom it is for.
    pub role: Need,
    /// What is told of it.
    pub doc: Doc,
    /// Hangs what answers it under the method that it is given.
    pub handler: fn(MethodFilter) -> MethodRouter<Arc<Hub>>,
}

/// The schema of `T`, by reference where it has a name.
pub fn of<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    generator.subschema_for::<T>()
}

/// The schema of `T` itself: its fields become parameters.
pub fn fields<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    T::json_schema(generator)
}
