//! The site log: events, what they add up to, and when each step may be touched.
