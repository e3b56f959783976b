-- Two entries of which the office said that they are two people: a couple with one phone, father and son of one name.
CREATE TABLE "people_apart" (
    "id" UUID NOT NULL,
    "one_id" UUID NOT NULL,
    "other_id" UUID NOT NULL,
    "reason" TEXT NOT NULL DEFAULT '',
    "staff_id" UUID,
    "said_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "people_apart_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "people_apart_one_id_idx" ON "people_apart"("one_id");
CREATE INDEX "people_apart_other_id_idx" ON "people_apart"("other_id");
ALTER TABLE "people_apart" ADD CONSTRAINT "people_apart_one_id_fkey" FOREIGN KEY ("one_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "people_apart" ADD CONSTRAINT "people_apart_other_id_fkey" FOREIGN KEY ("other_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "people_apart" ADD CONSTRAINT "people_apart_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
-- The pair has no order, and stands once.
ALTER TABLE "people_apart" ADD CONSTRAINT "people_apart_ordered" CHECK ("one_id" < "other_id");
CREATE UNIQUE INDEX people_apart_once ON people_apart (one_id, other_id) WHERE voided_at IS NULL;

-- What was said of an entry that was merged away since holds for the one that stays.
CREATE VIEW people_apart_now AS
  SELECT t.id, least(coalesce(a.merged_into_id, a.id), coalesce(b.merged_into_id, b.id)) AS one_id,
    greatest(coalesce(a.merged_into_id, a.id), coalesce(b.merged_into_id, b.id)) AS other_id
  FROM people_apart t JOIN customer a ON a.id = t.one_id JOIN customer b ON b.id = t.other_id
  WHERE t.voided_at IS NULL AND coalesce(a.merged_into_id, a.id) <> coalesce(b.merged_into_id, b.id);
