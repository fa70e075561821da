//! What an answer says of itself, so that it may leave without being read.
//!
//! Answers in JSON lose their positions on the way out; whatever else is sent to somebody who
//! is no keeper must carry one of these among its extensions, or it does not leave. Who looks:
//! `guard/leaving.rs`.

/// What an answer carries beside its bytes, if it is not JSON, so that it may leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leaves {
    /// One of the app's own files, which are the same for everybody.
    AppFile,
    /// Made for whoever asked: its handler left positions out, or it has never any.
    MadeWithout,
}
