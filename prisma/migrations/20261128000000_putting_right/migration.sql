-- What was put right: voided, moved, merged or read again, each with its reason, what it changed, and its undoing.
CREATE TABLE "correction" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "noun" TEXT NOT NULL,
    "noun_id" UUID NOT NULL,
    "into_id" UUID,
    "subject" TEXT NOT NULL,
    "property_ids" UUID[],
    "reason" TEXT NOT NULL,
    "standings" JSONB NOT NULL,
    "told" JSONB NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "actor_kind" TEXT NOT NULL,
    "actor_id" UUID,
    "undone_at" TIMESTAMPTZ(3),
    "undone_by_kind" TEXT,
    "undone_by_id" UUID,
    "undo_reason" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "correction_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "correction_noun_id_idx" ON "correction"("noun_id");
CREATE INDEX "correction_property_ids_idx" ON "correction" USING GIN ("property_ids");
ALTER TABLE "correction" ADD CONSTRAINT "correction_kind" CHECK ("kind" IN ('void', 'move', 'merge-customers', 'merge-homes', 'read-again'));
ALTER TABLE "correction" ADD CONSTRAINT "correction_reason" CHECK ("reason" <> '');
ALTER TABLE "correction" ADD CONSTRAINT "correction_undone" CHECK (("undone_at" IS NULL) = ("undo_reason" IS NULL) AND "undo_reason" <> '');

CREATE TABLE "correction_part" (
    "correction_id" UUID NOT NULL,
    "place" INTEGER NOT NULL,
    "noun" TEXT NOT NULL,
    "record_id" UUID NOT NULL,
    "field" TEXT NOT NULL,
    "was" JSONB,
    "now" JSONB,

    CONSTRAINT "correction_part_pkey" PRIMARY KEY ("correction_id","place")
);
CREATE INDEX "correction_part_record_id_idx" ON "correction_part"("record_id");
ALTER TABLE "correction_part" ADD CONSTRAINT "correction_part_correction_id_fkey" FOREIGN KEY ("correction_id") REFERENCES "correction"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- Where a doubled record went.
ALTER TABLE "customer" ADD COLUMN "merged_into_id" UUID;
ALTER TABLE "customer" ADD CONSTRAINT "customer_merged_into_id_fkey" FOREIGN KEY ("merged_into_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "customer" ADD CONSTRAINT "customer_merged_away" CHECK ("merged_into_id" IS NULL OR ("voided_at" IS NOT NULL AND "merged_into_id" <> "id"));
ALTER TABLE "property" ADD COLUMN "merged_into_id" UUID;
ALTER TABLE "property" ADD CONSTRAINT "property_merged_into_id_fkey" FOREIGN KEY ("merged_into_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "property" ADD CONSTRAINT "property_merged_away" CHECK ("merged_into_id" IS NULL OR ("voided_at" IS NOT NULL AND "merged_into_id" <> "id"));
