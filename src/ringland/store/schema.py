"""The tables of a SQLite store, and the guards by which the database itself refuses changes.

Here: statements and numbers only. A change of them is a new VERSION; every older version stays
readable. Not here: how they are run (`opening`, `sqlite`).
"""

from typing import Final

APPLICATION_ID: Final = 0x52696E67  # "Ring" in the file's header: this file is a Ringland store
VERSION: Final = 1  # the header's user_version
OLDEST_SQLITE: Final = (3, 37, 0)  # the first with STRICT tables

# Rollback journal and not WAL: WAL could lose pages up to SQLite 3.51.2 when two connections meet
# in a checkpoint, it leaves two more files to forget in a copy, and it cannot be read in a
# read-only folder. The rollback journal does hundreds of commits a second; a bench needs a few.
SETTINGS: Final = (
    "PRAGMA journal_mode = DELETE",
    "PRAGMA synchronous = EXTRA",  # also flushes the folder after the journal is gone
    "PRAGMA fullfsync = ON",  # macOS: flush the drive's own cache too
    "PRAGMA cell_size_check = ON",
)

STATEMENTS: Final = (
    """CREATE TABLE line (
  stream TEXT NOT NULL,
  seq INTEGER NOT NULL,
  id TEXT NOT NULL UNIQUE,
  act TEXT NOT NULL,
  kind TEXT NOT NULL,
  at TEXT NOT NULL,
  "by" TEXT NOT NULL,
  body TEXT NOT NULL,
  crc INTEGER NOT NULL,
  PRIMARY KEY (stream, seq)
) STRICT, WITHOUT ROWID""",
    "CREATE UNIQUE INDEX first_line ON line (stream) WHERE seq = 1",
    """CREATE TABLE photo (
  hash TEXT NOT NULL PRIMARY KEY,
  content BLOB NOT NULL
) STRICT""",
    # Also holds off INSERT OR REPLACE, which would delete a row without asking the DELETE guard.
    """CREATE TRIGGER line_is_next BEFORE INSERT ON line
WHEN EXISTS (SELECT 1 FROM line WHERE id = NEW.id)
  OR NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM line WHERE stream = NEW.stream)
BEGIN SELECT RAISE(ABORT, 'a line comes after the last and with an id of its own'); END""",
    """CREATE TRIGGER line_stays BEFORE UPDATE ON line
BEGIN SELECT RAISE(ABORT, 'a line is never changed'); END""",
    """CREATE TRIGGER line_remains BEFORE DELETE ON line
BEGIN SELECT RAISE(ABORT, 'a line is never deleted'); END""",
    """CREATE TRIGGER photo_is_new BEFORE INSERT ON photo
WHEN EXISTS (SELECT 1 FROM photo WHERE hash = NEW.hash)
BEGIN SELECT RAISE(ABORT, 'this photo is already there'); END""",
    """CREATE TRIGGER photo_stays BEFORE UPDATE ON photo
BEGIN SELECT RAISE(ABORT, 'a photo is never changed'); END""",
    """CREATE TRIGGER photo_remains BEFORE DELETE ON photo
BEGIN SELECT RAISE(ABORT, 'a photo is never deleted'); END""",
)
