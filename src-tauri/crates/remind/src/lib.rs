//! Reminders: what is told when, in which words, and the ways by which it goes out.
//!
//! What there is to tell is reckoned by the logbook; [`rules`] say what of it is told now
//! (pure), [`journal`] is what was told and what became of it, [`say`] puts it into words,
//! [`calendar`] gives it to calendar programs, and [`send`] brings it outside: [`push`],
//! [`webhook`], [`email`]. Choices are in [`settings`]. Where all that is kept, and when it is
//! looked at, is the hub's business.

pub mod calendar;
pub mod email;
pub mod journal;
pub mod outward;
pub mod push;
pub mod rules;
pub mod say;
pub mod send;
pub mod settings;
pub mod webhook;
