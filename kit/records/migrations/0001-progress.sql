-- One learner's progress, on the learner's own disk. No names: a learner is an opaque id.
-- Times are ISO 8601 in UTC, to the millisecond, so that they sort as text.

-- Each answer to a task or look of the trainer at a part of a visit; what was typed is not kept.
CREATE TABLE answer (
  number  INTEGER PRIMARY KEY,
  learner TEXT NOT NULL CHECK (length(learner) BETWEEN 1 AND 64),
  lesson  TEXT NOT NULL CHECK (lesson <> ''),
  task    TEXT NOT NULL CHECK (task <> ''),
  tone    TEXT NOT NULL CHECK (tone IN ('right', 'wrong', 'plain')),
  stands  INTEGER NOT NULL CHECK (stands IN (0, 1)),  -- a prediction: it is not asked again
  at      TEXT NOT NULL CHECK (at <> '')
) STRICT;

CREATE INDEX answer_of_task ON answer (lesson, task);

-- Each visit that was handed over and marked, by the hash of its journal's last line.
CREATE TABLE visit (
  head       TEXT PRIMARY KEY CHECK (length(head) = 64),
  learner    TEXT NOT NULL CHECK (length(learner) BETWEEN 1 AND 64),
  lesson     TEXT NOT NULL CHECK (lesson <> ''),
  work_order TEXT NOT NULL CHECK (work_order <> ''),
  rubric     TEXT NOT NULL CHECK (rubric <> ''),
  points     REAL NOT NULL CHECK (points >= 0),
  out_of     REAL NOT NULL CHECK (out_of >= points),
  passed     INTEGER NOT NULL CHECK (passed IN (0, 1)),
  at         TEXT NOT NULL CHECK (at <> '')
) STRICT;

-- What was looked at in that visit. A title is the rubric's English.
CREATE TABLE visit_row (
  head   TEXT NOT NULL REFERENCES visit (head) ON DELETE CASCADE,
  place  INTEGER NOT NULL CHECK (place >= 0),
  name   TEXT NOT NULL CHECK (name <> ''),
  block  TEXT NOT NULL CHECK (block <> ''),
  title  TEXT NOT NULL,
  points REAL NOT NULL CHECK (points >= 0),
  out_of REAL NOT NULL CHECK (out_of >= points),
  PRIMARY KEY (head, place)
) STRICT, WITHOUT ROWID;

-- Critical errors of that visit, in order.
CREATE TABLE visit_critical (
  head  TEXT NOT NULL REFERENCES visit (head) ON DELETE CASCADE,
  place INTEGER NOT NULL CHECK (place >= 0),
  code  TEXT NOT NULL CHECK (code <> ''),
  title TEXT NOT NULL,
  PRIMARY KEY (head, place)
) STRICT, WITHOUT ROWID;
