-- Licences and certificates become rows of their own, of the company and of each person, with issuer and expiry.
CREATE TABLE "credential" (
    "id" UUID NOT NULL,
    "staff_id" UUID,
    "kind" TEXT NOT NULL,
    "issuer" TEXT NOT NULL DEFAULT '',
    "number" TEXT NOT NULL,
    "expires_on" DATE,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "credential_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "credential_staff_id_idx" ON "credential"("staff_id");
ALTER TABLE "credential" ADD CONSTRAINT "credential_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- What was one line of text is the number, as it was written; who issued it and until when is not known.
INSERT INTO "credential" ("id", "staff_id", "kind", "number", "created_at", "updated_at")
SELECT gen_random_uuid(), NULL, 'licence', n.number, c.updated_at + n.place * interval '1 millisecond', c.updated_at
FROM "company" c, unnest(c.licence_numbers) WITH ORDINALITY n(number, place);
INSERT INTO "credential" ("id", "staff_id", "kind", "number", "created_at", "updated_at")
SELECT gen_random_uuid(), s.id, 'certificate', n.number, s.updated_at + n.place * interval '1 millisecond', s.updated_at
FROM "staff" s, unnest(s.credential_numbers) WITH ORDINALITY n(number, place);
ALTER TABLE "company" DROP COLUMN "licence_numbers";
ALTER TABLE "staff" DROP COLUMN "credential_numbers";

-- What stands until the company says otherwise is common practice, no source: Monday to Friday from eight to five, and
-- how long things take.
ALTER TABLE "company" ADD COLUMN "letterhead" TEXT NOT NULL DEFAULT '',
ADD COLUMN "default_pressure_unit" TEXT NOT NULL DEFAULT 'in. w.c.',
ADD COLUMN "electricity_price" TEXT,
ADD COLUMN "electricity_currency" TEXT,
ADD COLUMN "caution_added" TEXT NOT NULL DEFAULT '',
ADD COLUMN "credential_warning_days" INTEGER NOT NULL DEFAULT 60,
ADD COLUMN "working_week" JSONB NOT NULL DEFAULT '[[{"from": "08:00", "until": "17:00"}], [{"from": "08:00", "until": "17:00"}], [{"from": "08:00", "until": "17:00"}], [{"from": "08:00", "until": "17:00"}], [{"from": "08:00", "until": "17:00"}], [], []]',
ADD COLUMN "holidays" JSONB NOT NULL DEFAULT '[]',
ADD COLUMN "install_minutes" INTEGER NOT NULL DEFAULT 360,
ADD COLUMN "set_minutes" INTEGER NOT NULL DEFAULT 30,
ADD COLUMN "pick_up_minutes" INTEGER NOT NULL DEFAULT 30,
ADD COLUMN "other_visit_minutes" INTEGER NOT NULL DEFAULT 60,
ADD COLUMN "report_minutes" INTEGER NOT NULL DEFAULT 60,
ADD COLUMN "laboratory_days" INTEGER NOT NULL DEFAULT 7;

ALTER TABLE "company" ADD CONSTRAINT "company_electricity_whole" CHECK (("electricity_price" IS NULL) = ("electricity_currency" IS NULL));

-- The company's licences that have not run out on a day, as letters and papers print them.
CREATE FUNCTION licences_on(day date) RETURNS text[] LANGUAGE sql STABLE AS $$
  SELECT coalesce(array_agg(ltrim(issuer || ' ' || number) ORDER BY created_at, id), '{}') FROM credential
  WHERE staff_id IS NULL AND voided_at IS NULL AND (expires_on IS NULL OR expires_on >= day)
$$;
