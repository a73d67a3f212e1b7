-- Format 2: pictures, kept once each under the SHA-256 of their bytes; events name them by it.

CREATE TABLE attachments (
  sha256     TEXT PRIMARY KEY,  -- of the bytes, in lower-case hex
  media_type TEXT NOT NULL,     -- such as image/jpeg
  bytes      BLOB NOT NULL,
  CONSTRAINT "the SHA-256 is 64 lower-case hex digits" CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  CONSTRAINT "the media type is not empty" CHECK (media_type <> ''),
  CONSTRAINT "the bytes are 1 to 20,000,000" CHECK (length(bytes) BETWEEN 1 AND 20000000)
) STRICT;

CREATE TRIGGER attachments_are_never_changed BEFORE UPDATE ON attachments
BEGIN
  SELECT RAISE(ABORT, 'an attachment is never changed');
END;

CREATE TRIGGER attachments_are_never_deleted BEFORE DELETE ON attachments
BEGIN
  SELECT RAISE(ABORT, 'an attachment is never deleted');
END;

-- INSERT OR REPLACE would delete a row without firing the trigger above.
CREATE TRIGGER attachments_are_never_replaced BEFORE INSERT ON attachments
WHEN EXISTS (SELECT 1 FROM attachments WHERE sha256 = NEW.sha256)
BEGIN
  SELECT RAISE(ABORT, 'an attachment is never replaced');
END;
