-- Format 1: the event log. Rows are added at the end and never changed; everything else is worked out by replaying them.

CREATE TABLE events (
  seq     INTEGER PRIMARY KEY,  -- 1, 2, 3 ... without holes
  at      TEXT NOT NULL,        -- UTC, such as 2026-05-04T17:30:00.000Z
  subject TEXT NOT NULL,        -- the bike, job or other thing the event belongs to
  kind    TEXT NOT NULL,        -- what happened
  data    TEXT NOT NULL,        -- the particulars, as JSON
  CONSTRAINT "the number is 1 or more" CHECK (seq > 0),
  CONSTRAINT "the time is UTC like 2026-05-04T17:30:00.000Z" CHECK (
    at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9].[0-9][0-9][0-9]Z'),
  CONSTRAINT "the subject is not empty" CHECK (subject <> ''),
  CONSTRAINT "the kind is not empty" CHECK (kind <> ''),
  CONSTRAINT "the data is JSON" CHECK (json_valid(data))
) STRICT;

CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
BEGIN
  SELECT RAISE(ABORT, 'an event is never changed');
END;

CREATE TRIGGER events_are_never_deleted BEFORE DELETE ON events
BEGIN
  SELECT RAISE(ABORT, 'an event is never deleted');
END;

-- INSERT OR REPLACE would delete a row without firing the trigger above.
CREATE TRIGGER events_are_never_replaced BEFORE INSERT ON events
WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq)
BEGIN
  SELECT RAISE(ABORT, 'an event is never replaced');
END;

CREATE TRIGGER events_have_no_holes AFTER INSERT ON events
WHEN NEW.seq > 1 AND NOT EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq - 1)
BEGIN
  SELECT RAISE(ABORT, 'events are numbered without holes');
END;
