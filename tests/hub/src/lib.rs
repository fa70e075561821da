//! Only tests live here.
