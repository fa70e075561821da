//! The tables in PostgreSQL and what keeps them append-only, whichever program writes.
//!
//! Run whole at every opening: each statement does nothing where its thing is there already.
//! A change of the format raises [`VERSION`]. How they are used: [`super`].

/// Format of the tables.
pub(super) const VERSION: i64 = 1;

/// What makes them.
pub(super) const SCHEMA: &str = "
CREATE TABLE IF NOT EXISTS slowstone_identity (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    version BIGINT NOT NULL,
    epoch TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS slowstone_stream (
    id BIGSERIAL PRIMARY KEY,
    device TEXT COLLATE \"C\" NOT NULL,
    epoch TEXT COLLATE \"C\" NOT NULL,
    UNIQUE (device, epoch)
);
CREATE TABLE IF NOT EXISTS slowstone_entry (
    position BIGINT PRIMARY KEY,
    stream BIGINT NOT NULL REFERENCES slowstone_stream (id),
    seq BIGINT NOT NULL CHECK (seq >= 1),
    prev BYTEA NOT NULL CHECK (length(prev) = 32),
    hash BYTEA NOT NULL CHECK (length(hash) = 32),
    body TEXT NOT NULL,
    received_ms BIGINT NOT NULL,
    UNIQUE (stream, seq)
);
CREATE TABLE IF NOT EXISTS slowstone_setting (
    key TEXT COLLATE \"C\" PRIMARY KEY,
    value TEXT NOT NULL
);
CREATE OR REPLACE FUNCTION slowstone_append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_OP = 'INSERT' AND NEW.seq = 1 + coalesce(
        (SELECT max(seq) FROM slowstone_entry WHERE stream = NEW.stream), 0) THEN
        RETURN NEW;
    END IF;
    RAISE EXCEPTION 'the log is append-only and without holes';
END $$;
CREATE OR REPLACE TRIGGER slowstone_entry_kept BEFORE INSERT OR UPDATE OR DELETE
    ON slowstone_entry FOR EACH ROW EXECUTE FUNCTION slowstone_append_only();
CREATE OR REPLACE TRIGGER slowstone_entry_whole BEFORE TRUNCATE
    ON slowstone_entry FOR EACH STATEMENT EXECUTE FUNCTION slowstone_append_only();
";
