-- What an import of homes made, so that its undoing takes back exactly that.
CREATE TABLE "import_made" (
    "import_id" UUID NOT NULL,
    "noun" TEXT NOT NULL,
    "noun_id" UUID NOT NULL,
    "property_id" UUID,

    CONSTRAINT "import_made_pkey" PRIMARY KEY ("import_id","noun","noun_id")
);

-- Homes of which no reminder goes out until the office has looked at the import that wrote to them.
CREATE TABLE "reminder_hold" (
    "property_id" UUID NOT NULL,
    "import_id" UUID NOT NULL,
    "since" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "reminder_hold_pkey" PRIMARY KEY ("property_id")
);

-- CreateIndex
CREATE INDEX "reminder_hold_import_id_idx" ON "reminder_hold"("import_id");

-- How far an import has come while it is being written. Not in the log: what was being written is gone after a crash too.
CREATE UNLOGGED TABLE "import_progress" (
    "import_id" UUID NOT NULL,
    "done" INTEGER NOT NULL,
    "total" INTEGER NOT NULL,
    "stop_asked" BOOLEAN NOT NULL DEFAULT false,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "import_progress_pkey" PRIMARY KEY ("import_id")
);

-- Why an import that was begun was not written.
ALTER TABLE "import_batch" ADD COLUMN "failure" TEXT NOT NULL DEFAULT '';

-- A reading is of one kind of file; two kinds may bear one name.
ALTER TABLE "saved_reading" ADD COLUMN "kind" TEXT NOT NULL DEFAULT 'monitor-record';
DROP INDEX "saved_reading_name_key";
CREATE UNIQUE INDEX "saved_reading_kind_name_key" ON "saved_reading"("kind", "name");
