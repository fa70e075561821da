//! What of a picture is read: a window of its pixels, and how each component is stored.
//!
//! Both are plain data. They are filled in by [`super::read`] and followed by
//! [`super::plane`].

/// A rectangle of pixels as stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// First column and first row.
    pub from: (u32, u32),
    /// Column after the last and row after the last.
    pub to: (u32, u32),
}

/// A component as the head of the file describes it.
#[derive(Clone, Debug)]
pub(super) struct Component {
    pub(super) id: u8,
    pub(super) across: u8,
    pub(super) down: u8,
    pub(super) quantiser: u8,
    /// Blocks of the whole component, with those that fill the last unit.
    pub(super) blocks: (usize, usize),
    pub(super) dc: u8,
    pub(super) ac: u8,
}
