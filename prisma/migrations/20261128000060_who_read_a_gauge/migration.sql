-- Who enters a reading within a day is taken to have read the gauge. Who enters one of years ago, out of an old book, is
-- not: there who read it stays unknown unless it is said.
CREATE OR REPLACE VIEW system_baseline AS
  SELECT DISTINCT ON (k.system_id) k.system_id, k.id, k.role, k.value, k.unit, k.at, k.note,
    coalesce(nullif(k.read_by, ''), CASE WHEN k.created_at - k.at < interval '1 day' THEN s.name END, '') AS read_by,
    CASE WHEN k.role = 'adopted' THEN k.created_at END AS adopted_at,
    CASE WHEN k.role = 'adopted' THEN coalesce(s.name, nullif(k.read_by, ''), '') END AS adopted_by
  FROM (
    SELECT DISTINCT ON (g.system_id, g.role) g.* FROM gauge_reading g
    WHERE g.voided_at IS NULL AND g.role IN ('start-up', 'adopted')
    ORDER BY g.system_id, g.role, CASE WHEN g.role = 'adopted' THEN g.created_at ELSE g.at END DESC, g.id DESC
  ) k LEFT JOIN staff s ON s.id = k.staff_id
  ORDER BY k.system_id, k.at DESC, k.role DESC, k.id DESC;
