-- From how many years on a fan is looked at: the company's own figure. Ten years are common practice, no source.
ALTER TABLE "company" ADD COLUMN "fan_age_years" INTEGER NOT NULL DEFAULT 10;

-- What came of trying to make a date with a home: called without success, or put off to another month.
CREATE TABLE "outreach" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "outcome" TEXT NOT NULL DEFAULT '',
    "back_on" DATE NOT NULL,
    "causes" UUID[] DEFAULT ARRAY[]::UUID[],
    "note" TEXT NOT NULL DEFAULT '',
    "staff_id" UUID,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "outreach_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "outreach_property_id_at_idx" ON "outreach"("property_id", "at");
ALTER TABLE "outreach" ADD CONSTRAINT "outreach_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "outreach" ADD CONSTRAINT "outreach_kind" CHECK ("kind" IN ('called', 'put-off'));

-- The month's list reads the retests that are owed and the fans that are in place, and nothing else of their tables.
CREATE INDEX obligation_retest ON obligation (due_on, property_id) WHERE kind = 'retest' AND fulfilled_at IS NULL;
CREATE INDEX system_component_fan ON system_component (system_id)
  WHERE kind = 'fan' AND voided_at IS NULL AND removed_at IS NULL AND removed_edtf IS NULL;

-- The reading that later ones of a system are held against. Of several adopted ones the one adopted last holds; a start-up
-- that was read after it takes its place.
CREATE VIEW system_baseline AS
  SELECT DISTINCT ON (k.system_id) k.system_id, k.id, k.role, k.value, k.unit, k.at, k.note,
    coalesce(nullif(k.read_by, ''), s.name, '') AS read_by,
    CASE WHEN k.role = 'adopted' THEN k.created_at END AS adopted_at,
    CASE WHEN k.role = 'adopted' THEN coalesce(s.name, nullif(k.read_by, ''), '') END AS adopted_by
  FROM (
    SELECT DISTINCT ON (g.system_id, g.role) g.* FROM gauge_reading g
    WHERE g.voided_at IS NULL AND g.role IN ('start-up', 'adopted')
    ORDER BY g.system_id, g.role, CASE WHEN g.role = 'adopted' THEN g.created_at ELSE g.at END DESC, g.id DESC
  ) k LEFT JOIN staff s ON s.id = k.staff_id
  ORDER BY k.system_id, k.at DESC, k.role DESC, k.id DESC;
