-- A change of a rule set that is thought of, tried on every home and only then published.
CREATE TABLE "policy_draft" (
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "effective_from" DATE NOT NULL,
    "title" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "reason" TEXT NOT NULL DEFAULT '',
    "staff_id" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,
    "policy_id" UUID,
    "published_at" TIMESTAMPTZ(3),
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "policy_draft_pkey" PRIMARY KEY ("id")
);
ALTER TABLE "policy_draft" ADD CONSTRAINT "policy_draft_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "policy_draft" ADD CONSTRAINT "policy_draft_policy_id_fkey" FOREIGN KEY ("policy_id") REFERENCES "policy"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

CREATE TABLE "policy_trial" (
    "id" UUID NOT NULL,
    "draft_id" UUID NOT NULL,
    "draft_version" INTEGER NOT NULL,
    "rules" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "begun_at" TIMESTAMPTZ(3) NOT NULL,
    "moved_at" TIMESTAMPTZ(3) NOT NULL,
    "after_id" UUID,
    "total" INTEGER NOT NULL,
    "done" INTEGER NOT NULL DEFAULT 0,
    "changed" INTEGER NOT NULL DEFAULT 0,
    "verdicts" INTEGER NOT NULL DEFAULT 0,
    "duties" INTEGER NOT NULL DEFAULT 0,
    "deadlines" INTEGER NOT NULL DEFAULT 0,
    "staff_id" UUID,

    CONSTRAINT "policy_trial_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "policy_trial_draft_id_begun_at_idx" ON "policy_trial"("draft_id", "begun_at");
ALTER TABLE "policy_trial" ADD CONSTRAINT "policy_trial_draft_id_fkey" FOREIGN KEY ("draft_id") REFERENCES "policy_draft"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "policy_trial" ADD CONSTRAINT "policy_trial_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "policy_trial" ADD CONSTRAINT "policy_trial_state" CHECK ("state" IN ('running', 'stopped', 'finished', 'overtaken'));
CREATE INDEX policy_trial_running ON policy_trial (moved_at) WHERE state = 'running';

CREATE TABLE "policy_trial_home" (
    "trial_id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "verdict" BOOLEAN NOT NULL,
    "duty" BOOLEAN NOT NULL,
    "deadline" BOOLEAN NOT NULL,
    "difference" JSONB NOT NULL,

    CONSTRAINT "policy_trial_home_pkey" PRIMARY KEY ("trial_id", "property_id")
);
CREATE INDEX "policy_trial_home_property_id_idx" ON "policy_trial_home"("property_id");
ALTER TABLE "policy_trial_home" ADD CONSTRAINT "policy_trial_home_trial_id_fkey" FOREIGN KEY ("trial_id") REFERENCES "policy_trial"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "policy_trial_home" ADD CONSTRAINT "policy_trial_home_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
