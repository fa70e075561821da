//! Reading numbers and pieces out of a slice without ever reaching past its end.
//!
//! Offsets in photo files come from outside and may be anything; every function here
//! answers `None` instead of failing. Used by the container readers; no meaning lives
//! here.

/// `len` bytes from `at`, if they are there.
pub(crate) fn piece(b: &[u8], at: usize, len: usize) -> Option<&[u8]> {
    b.get(at..at.checked_add(len)?)
}

/// One byte.
pub(crate) fn u8_at(b: &[u8], at: usize) -> Option<u8> {
    b.get(at).copied()
}

/// Two bytes, big end first.
pub(crate) fn be16(b: &[u8], at: usize) -> Option<u16> {
    piece(b, at, 2)?.try_into().ok().map(u16::from_be_bytes)
}

/// Four bytes, big end first.
pub(crate) fn be32(b: &[u8], at: usize) -> Option<u32> {
    piece(b, at, 4)?.try_into().ok().map(u32::from_be_bytes)
}

/// Eight bytes, big end first.
pub(crate) fn be64(b: &[u8], at: usize) -> Option<u64> {
    piece(b, at, 8)?.try_into().ok().map(u64::from_be_bytes)
}

/// Two bytes, little end first.
pub(crate) fn le16(b: &[u8], at: usize) -> Option<u16> {
    piece(b, at, 2)?.try_into().ok().map(u16::from_le_bytes)
}

/// Three bytes, little end first.
pub(crate) fn le24(b: &[u8], at: usize) -> Option<u32> {
    let p = piece(b, at, 3)?;
    let mut four = [0_u8; 4];
    four.get_mut(..3)?.copy_from_slice(p);
    Some(u32::from_le_bytes(four))
}

/// Four bytes, little end first.
pub(crate) fn le32(b: &[u8], at: usize) -> Option<u32> {
    piece(b, at, 4)?.try_into().ok().map(u32::from_le_bytes)
}

/// A number of `size` bytes (0, 4 or 8), big end first, as used in item locations.
pub(crate) fn be_sized(b: &[u8], at: usize, size: usize) -> Option<u64> {
    match size {
        0 => Some(0),
        4 => be32(b, at).map(u64::from),
        8 => be64(b, at),
        _ => None,
    }
}

/// Where `needle` first occurs.
pub(crate) fn find(b: &[u8], needle: &[u8]) -> Option<usize> {
    if needle.is_empty() {
        return None;
    }
    b.windows(needle.len()).position(|w| w == needle)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_in_both_orders() {
        let b = [1, 2, 3, 4, 5, 6, 7, 8];
        assert_eq!(be16(&b, 0), Some(0x0102));
        assert_eq!(le16(&b, 0), Some(0x0201));
        assert_eq!(le24(&b, 1), Some(0x0004_0302));
        assert_eq!(be32(&b, 4), Some(0x0506_0708));
        assert_eq!(le32(&b, 4), Some(0x0807_0605));
        assert_eq!(be64(&b, 0), Some(0x0102_0304_0506_0708));
        assert_eq!(be_sized(&b, 0, 0), Some(0));
        assert_eq!(be_sized(&b, 0, 3), None);
    }

    #[test]
    fn nothing_is_read_past_the_end() {
        let b = [1, 2, 3];
        assert_eq!(be16(&b, 2), None);
        assert_eq!(be32(&b, usize::MAX), None);
        assert_eq!(piece(&b, usize::MAX, 2), None);
        assert_eq!(piece(&b, 3, 0), Some(&[][..]));
        assert_eq!(find(&b, b""), None);
        assert_eq!(find(&b, &[2, 3]), Some(1));
    }
}
