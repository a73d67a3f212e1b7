-- Format 3: receipts. Who sends an order over a line that may break chooses a key for it, and sends it again with the same
-- key when no answer came; what it wrote is known by the key.

CREATE TABLE receipts (
  key TEXT PRIMARY KEY,      -- chosen by the sender
  seq INTEGER NOT NULL REFERENCES events (seq),  -- the last event that the order wrote
  CONSTRAINT "the key is 32 lower-case hex digits" CHECK (length(key) = 32 AND key NOT GLOB '*[^0-9a-f]*')
) STRICT;

CREATE TRIGGER receipts_are_never_changed BEFORE UPDATE ON receipts
BEGIN
  SELECT RAISE(ABORT, 'a receipt is never changed');
END;

CREATE TRIGGER receipts_are_never_deleted BEFORE DELETE ON receipts
BEGIN
  SELECT RAISE(ABORT, 'a receipt is never deleted');
END;

-- INSERT OR REPLACE would delete a row without firing the trigger above.
CREATE TRIGGER receipts_are_never_replaced BEFORE INSERT ON receipts
WHEN EXISTS (SELECT 1 FROM receipts WHERE key = NEW.key)
BEGIN
  SELECT RAISE(ABORT, 'a receipt is never replaced');
END;
