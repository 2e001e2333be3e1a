-- A task done says what lies on the bed from then on; covers say in how many layers and how they lie.

-- How a cover was to lie, and which task of the order of work, from 1, lays it.
ALTER TABLE said ADD COLUMN placement TEXT
  CHECK (placement IN ('low tunnel', 'floating cover', 'drape', 'pop-up tunnel', 'loose mulch'));
ALTER TABLE said ADD COLUMN task INTEGER CHECK (task >= 1);

ALTER TABLE cover ADD COLUMN layers INTEGER CHECK (layers >= 0);
ALTER TABLE cover ADD COLUMN placement TEXT
  CHECK (placement IN ('low tunnel', 'floating cover', 'drape', 'pop-up tunnel', 'loose mulch'));

ALTER TABLE done ADD COLUMN bed TEXT CHECK (bed <> '');
ALTER TABLE done ADD COLUMN sheet TEXT CHECK (sheet <> '');
ALTER TABLE done ADD COLUMN layers INTEGER CHECK (layers >= 0);
ALTER TABLE done ADD COLUMN placement TEXT
  CHECK (placement IN ('low tunnel', 'floating cover', 'drape', 'pop-up tunnel', 'loose mulch'));
CREATE INDEX done_task ON done (plan, task);

-- Filled in once from the plans kept so far.
DROP TRIGGER said_same;
DROP TRIGGER done_same;

UPDATE said SET
  placement = (
    SELECT json_extract(p.report, b.fullkey || '.options[' || (said.way - 1) || '].cover')
    FROM plan p, json_each(p.report, '$.beds') b
    WHERE p.id = said.plan AND json_extract(p.report, b.fullkey || '.bed') = said.bed AND said.way > 0
      AND json_extract(p.report, b.fullkey || '.options[' || (said.way - 1) || '].cover')
        IN ('low tunnel', 'floating cover', 'drape', 'pop-up tunnel', 'loose mulch')
  ),
  task = (
    SELECT w.key + 1
    FROM plan p, json_each(p.report, '$.work') w
    WHERE p.id = said.plan AND json_extract(p.report, w.fullkey || '.bed') = said.bed AND said.chosen = 1
      AND said.way > 0
  );

UPDATE done SET (bed, sheet, layers, placement) = (
  SELECT s.bed, iif(s.placement = 'loose mulch', NULL, s.cover),
    iif(s.placement = 'loose mulch', NULL, s.layers), s.placement
  FROM said s WHERE s.plan = done.plan AND s.task = done.task
);

CREATE TRIGGER said_same BEFORE UPDATE ON said BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
CREATE TRIGGER done_same BEFORE UPDATE ON done BEGIN SELECT RAISE(ABORT, 'the diary only grows'); END;
