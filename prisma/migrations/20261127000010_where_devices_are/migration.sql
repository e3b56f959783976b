-- Where monitors are promised to and away, and where each mail-in kit is.

CREATE TABLE "device_booking" (
  "id" UUID NOT NULL,
  "device_id" UUID NOT NULL,
  "property_id" UUID NOT NULL,
  "from_at" TIMESTAMPTZ(3) NOT NULL,
  "until_at" TIMESTAMPTZ(3) NOT NULL,
  "ended_at" TIMESTAMPTZ(3),
  "note" TEXT NOT NULL DEFAULT '',
  "version" INTEGER NOT NULL DEFAULT 1,
  "created_at" TIMESTAMPTZ(3) NOT NULL,
  "voided_at" TIMESTAMPTZ(3),
  "void_reason" TEXT,
  CONSTRAINT "device_booking_pkey" PRIMARY KEY ("id")
);
CREATE TABLE "device_absence" (
  "id" UUID NOT NULL,
  "device_id" UUID NOT NULL,
  "kind" TEXT NOT NULL,
  "from_on" DATE NOT NULL,
  "expected_back_on" DATE,
  "back_on" DATE,
  "place" TEXT NOT NULL DEFAULT '',
  "note" TEXT NOT NULL DEFAULT '',
  "version" INTEGER NOT NULL DEFAULT 1,
  "created_at" TIMESTAMPTZ(3) NOT NULL,
  "voided_at" TIMESTAMPTZ(3),
  "void_reason" TEXT,
  CONSTRAINT "device_absence_pkey" PRIMARY KEY ("id")
);
CREATE TABLE "kit" (
  "id" UUID NOT NULL,
  "device_id" UUID NOT NULL,
  "number" TEXT NOT NULL,
  "property_id" UUID NOT NULL,
  "location_id" UUID,
  "customer_id" UUID,
  "left_with" TEXT NOT NULL DEFAULT '',
  "purpose" TEXT NOT NULL,
  "left_on" DATE NOT NULL,
  "exposed_from" DATE,
  "exposed_to" DATE,
  "posted_on" DATE,
  "returned_on" DATE,
  "lost_on" DATE,
  "note" TEXT NOT NULL DEFAULT '',
  "version" INTEGER NOT NULL DEFAULT 1,
  "created_at" TIMESTAMPTZ(3) NOT NULL,
  "updated_at" TIMESTAMPTZ(3) NOT NULL,
  "voided_at" TIMESTAMPTZ(3),
  "void_reason" TEXT,
  CONSTRAINT "kit_pkey" PRIMARY KEY ("id")
);
CREATE TABLE "kit_limit" (
  "method" TEXT NOT NULL,
  "id" UUID NOT NULL,
  "ask_after_days" INTEGER NOT NULL,
  "longest_exposure_days" INTEGER NOT NULL,
  "laboratory_within_days" INTEGER,
  "answer_within_days" INTEGER NOT NULL,
  "source" TEXT NOT NULL DEFAULT '',
  "version" INTEGER NOT NULL DEFAULT 1,
  "updated_at" TIMESTAMPTZ(3) NOT NULL,
  CONSTRAINT "kit_limit_pkey" PRIMARY KEY ("method")
);

CREATE INDEX "device_booking_device_id_idx" ON "device_booking"("device_id");
CREATE INDEX "device_booking_property_id_idx" ON "device_booking"("property_id");
CREATE INDEX "device_absence_device_id_idx" ON "device_absence"("device_id");
CREATE INDEX "kit_device_id_idx" ON "kit"("device_id");
CREATE INDEX "kit_property_id_idx" ON "kit"("property_id");

ALTER TABLE "device_booking" ADD CONSTRAINT "device_booking_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "device_booking" ADD CONSTRAINT "device_booking_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "device_absence" ADD CONSTRAINT "device_absence_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "kit" ADD CONSTRAINT "kit_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "kit" ADD CONSTRAINT "kit_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "kit" ADD CONSTRAINT "kit_location_id_fkey" FOREIGN KEY ("location_id") REFERENCES "test_location"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "kit" ADD CONSTRAINT "kit_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- A monitor is promised to one home at a time; what was ended early is free from then on.
ALTER TABLE device_booking ADD CONSTRAINT device_booking_forwards CHECK (until_at > from_at);
ALTER TABLE device_booking ADD CONSTRAINT device_booking_one_at_a_time
  EXCLUDE USING gist (device_id WITH =, tstzrange(from_at, greatest(from_at, least(until_at, ended_at))) WITH &&)
  WHERE (voided_at IS NULL);
ALTER TABLE device_absence ADD CONSTRAINT device_absence_forwards CHECK (back_on >= from_on AND expected_back_on >= from_on);
ALTER TABLE device_absence ADD CONSTRAINT device_absence_one_at_a_time
  EXCLUDE USING gist (device_id WITH =, daterange(from_on, back_on) WITH &&) WHERE (voided_at IS NULL);
ALTER TABLE kit ADD CONSTRAINT kit_forwards
  CHECK (exposed_from >= left_on AND exposed_to >= exposed_from AND posted_on >= coalesce(exposed_to, left_on));
CREATE UNIQUE INDEX kit_number_of_lot ON kit (device_id, lower(number)) WHERE voided_at IS NULL;
CREATE INDEX kit_by_number ON kit (lower(number)) WHERE voided_at IS NULL;
CREATE INDEX exposure_kit_unanswered ON exposure (device_id)
  WHERE kit_number IS NOT NULL AND value IS NULL AND voided_at IS NULL;
CREATE INDEX exposure_by_kit_number ON exposure (lower(kit_number)) WHERE kit_number IS NOT NULL AND voided_at IS NULL;

ALTER TABLE device_booking ADD CONSTRAINT device_booking_version CHECK (version >= 1);
ALTER TABLE device_absence ADD CONSTRAINT device_absence_version CHECK (version >= 1);
ALTER TABLE kit ADD CONSTRAINT kit_version CHECK (version >= 1);
ALTER TABLE kit_limit ADD CONSTRAINT kit_limit_version CHECK (version >= 1);

-- Every kit that left the shop: those left with somebody, and those that a test names without that. What the test says
-- stands in where the kit itself says nothing.
CREATE VIEW kit_out AS
SELECT k.id, k.device_id, k.number, k.property_id, k.location_id, k.customer_id, k.left_with, k.purpose, k.left_on,
  coalesce(k.exposed_from, x.started_on) AS exposed_from, coalesce(k.exposed_to, x.stopped_on) AS exposed_to,
  coalesce(k.posted_on, x.posted_on) AS posted_on, x.answered_on, k.returned_on, k.lost_on,
  k.note, k.version, x.test_id, x.exposure_id, x.value IS NULL AS unanswered
FROM kit k LEFT JOIN LATERAL (
  SELECT x.id AS exposure_id, t.id AS test_id, x.value, (x.start_at AT TIME ZONE p.zone)::date AS started_on,
    (x.stop_at AT TIME ZONE p.zone)::date AS stopped_on, (t.sent_to_lab_at AT TIME ZONE p.zone)::date AS posted_on,
    CASE WHEN x.value IS NOT NULL THEN (coalesce(t.result_in_at, x.created_at) AT TIME ZONE p.zone)::date END AS answered_on
  FROM exposure x JOIN test t ON t.id = x.test_id JOIN property p ON p.id = t.property_id
  WHERE lower(x.kit_number) = lower(k.number) AND x.kit_number IS NOT NULL AND t.property_id = k.property_id
    AND (x.device_id = k.device_id OR x.device_id IS NULL) AND x.voided_at IS NULL AND t.voided_at IS NULL
  ORDER BY t.set_at DESC NULLS LAST LIMIT 1) x ON true
WHERE k.voided_at IS NULL
UNION ALL
SELECT NULL, x.device_id, x.kit_number, t.property_id, x.location_id, NULL, '', t.purpose,
  (coalesce(x.start_at, t.set_at, t.created_at) AT TIME ZONE p.zone)::date,
  (coalesce(x.start_at, t.set_at) AT TIME ZONE p.zone)::date, (coalesce(x.stop_at, t.picked_up_at) AT TIME ZONE p.zone)::date,
  (t.sent_to_lab_at AT TIME ZONE p.zone)::date,
  CASE WHEN x.value IS NOT NULL THEN (coalesce(t.result_in_at, x.created_at) AT TIME ZONE p.zone)::date END,
  NULL, NULL, '', 1, t.id, x.id, x.value IS NULL
FROM exposure x JOIN test t ON t.id = x.test_id JOIN property p ON p.id = t.property_id
  JOIN device d ON d.id = x.device_id AND d.kind = 'kit-lot'
WHERE x.kit_number IS NOT NULL AND x.voided_at IS NULL AND t.voided_at IS NULL
  AND NOT EXISTS (SELECT FROM kit k WHERE lower(k.number) = lower(x.kit_number) AND k.device_id = x.device_id
    AND k.voided_at IS NULL);

-- Limits per kind of kit to begin with; the company changes them.
INSERT INTO kit_limit (method, id, ask_after_days, longest_exposure_days, laboratory_within_days, answer_within_days, source, updated_at)
VALUES
  ('activated-charcoal', gen_random_uuid(), 7, 7, 7, 14, 'common practice, no source', '2026-01-01Z'),
  ('liquid-scintillation', gen_random_uuid(), 7, 4, 7, 14, 'common practice, no source', '2026-01-01Z'),
  ('alpha-track', gen_random_uuid(), 14, 365, 30, 30, 'common practice, no source', '2026-01-01Z'),
  ('electret', gen_random_uuid(), 14, 30, NULL, 14, 'common practice, no source', '2026-01-01Z');
