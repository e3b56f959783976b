-- What the records said of a monitor's place when a test with it was recorded all the same: elsewhere, away, lost, retired.
ALTER TABLE "exposure" ADD COLUMN "against_records" TEXT NOT NULL DEFAULT '';
ALTER TABLE exposure ADD CONSTRAINT exposure_against_records CHECK (against_records IN ('', 'elsewhere', 'away', 'lost', 'retired'));
