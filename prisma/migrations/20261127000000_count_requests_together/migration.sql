-- How many requests of a caller the processes have taken in its present window. Not in the log: after a crash all
-- count from nothing.
CREATE UNLOGGED TABLE "rate_count" (
    "key" TEXT NOT NULL,
    "taken" INTEGER NOT NULL,
    "granted" INTEGER NOT NULL,
    "ends_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "rate_count_pkey" PRIMARY KEY ("key")
);
