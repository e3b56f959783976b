-- Homes of which no reminder goes out: those of an import that nobody has released, and those that took up such an entry
-- since. Parted again, the home that took it up waits no longer.
CREATE VIEW held_home AS
  WITH RECURSIVE passed_on AS (
    SELECT h.import_id, p.merged_into_id AS property_id
      FROM property p JOIN reminder_hold h ON h.property_id = p.id WHERE p.merged_into_id IS NOT NULL
    UNION
    SELECT o.import_id, p.merged_into_id FROM passed_on o JOIN property p ON p.id = o.property_id
      WHERE p.merged_into_id IS NOT NULL
  )
  SELECT property_id, import_id FROM reminder_hold UNION SELECT property_id, import_id FROM passed_on;
CREATE INDEX property_merged_away ON property (id) WHERE merged_into_id IS NOT NULL;
