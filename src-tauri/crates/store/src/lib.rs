//! Where the log and the photos rest: SQLite and a folder.
