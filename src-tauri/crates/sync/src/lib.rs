//! How logs travel: streams, heads, hash chains and the rules of hand-over. No I/O.
