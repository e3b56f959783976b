-- The line of a table that a test was read from, so that the same line can be read otherwise. Of earlier imports it is
-- not known.
ALTER TABLE "test" ADD COLUMN "import_line" INTEGER;
ALTER TABLE "test" ADD CONSTRAINT "test_import_line" CHECK ("import_line" IS NULL OR ("import_line" >= 1 AND "import_batch_id" IS NOT NULL));
