//! What every command gives back. A reason is a sentence for the person at the keyboard:
//! what went wrong and what to do about it.
//! It stands by itself, below all commands.

/// Nothing, or what went wrong and what to do about it.
pub type Outcome<T = ()> = Result<T, String>;
