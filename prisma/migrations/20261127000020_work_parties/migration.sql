-- Who ordered a piece of work, who pays for it and who may see its result, from when and until when.
CREATE TABLE "work_party" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "subject" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "customer_id" UUID NOT NULL,
    "part" TEXT NOT NULL,
    "first_on" DATE,
    "last_on" DATE,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "work_party_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "work_party_property_id_idx" ON "work_party"("property_id");
CREATE INDEX "work_party_subject_id_idx" ON "work_party"("subject_id");
CREATE INDEX "work_party_customer_id_idx" ON "work_party"("customer_id");
ALTER TABLE "work_party" ADD CONSTRAINT "work_party_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "work_party" ADD CONSTRAINT "work_party_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "work_party" ADD CONSTRAINT "work_party_subject" CHECK ("subject" IN ('test', 'visit', 'callback', 'system'));
ALTER TABLE "work_party" ADD CONSTRAINT "work_party_part" CHECK ("part" IN ('ordered', 'pays', 'may-see'));

-- What was asked when a callback was taken, and what was answered, as it was said.
ALTER TABLE "callback" ADD COLUMN "answers" JSONB NOT NULL DEFAULT '[]';
