-- CreateSchema
CREATE SCHEMA IF NOT EXISTS "public";

-- CreateTable
CREATE TABLE "company" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "name" TEXT NOT NULL,
    "street" TEXT NOT NULL DEFAULT '',
    "city" TEXT NOT NULL DEFAULT '',
    "region" TEXT NOT NULL DEFAULT '',
    "postcode" TEXT NOT NULL DEFAULT '',
    "country" TEXT NOT NULL DEFAULT '',
    "zone" TEXT NOT NULL,
    "default_unit" TEXT NOT NULL DEFAULT 'pCi/L',
    "phone" TEXT NOT NULL DEFAULT '',
    "reply_to" TEXT NOT NULL DEFAULT '',
    "licence_numbers" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "logo_sha256" BYTEA,
    "crew_sees" TEXT NOT NULL DEFAULT 'whole-home',
    "crew_days_after" INTEGER NOT NULL DEFAULT 14,
    "reminders_released_at" TIMESTAMPTZ(3),
    "daily_mail_cap" INTEGER NOT NULL DEFAULT 100,
    "send_from_hour" INTEGER NOT NULL DEFAULT 9,
    "send_to_hour" INTEGER NOT NULL DEFAULT 18,
    "result_mail_on_acceptance" BOOLEAN NOT NULL DEFAULT false,
    "version" INTEGER NOT NULL DEFAULT 1,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "company_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "staff" (
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "roles" TEXT[],
    "password_hash" TEXT,
    "phone" TEXT NOT NULL DEFAULT '',
    "credential_numbers" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "invited_at" TIMESTAMPTZ(3),
    "disabled_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "staff_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "staff_session" (
    "id_hash" BYTEA NOT NULL,
    "id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "seen_at" TIMESTAMPTZ(3) NOT NULL,
    "confirmed_at" TIMESTAMPTZ(3) NOT NULL,
    "ended_at" TIMESTAMPTZ(3),
    "user_agent" TEXT NOT NULL DEFAULT '',
    "address" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "staff_session_pkey" PRIMARY KEY ("id_hash")
);

-- CreateTable
CREATE TABLE "staff_token" (
    "secret_hash" BYTEA NOT NULL,
    "staff_id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),

    CONSTRAINT "staff_token_pkey" PRIMARY KEY ("secret_hash")
);

-- CreateTable
CREATE TABLE "sign_in_failure" (
    "id" UUID NOT NULL,
    "account" TEXT NOT NULL,
    "address" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "sign_in_failure_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "app" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "client_id" TEXT NOT NULL,
    "scopes" TEXT[],
    "all_homes" BOOLEAN NOT NULL DEFAULT false,
    "disabled_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "app_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "app_secret" (
    "id" UUID NOT NULL,
    "app_id" UUID NOT NULL,
    "secret_hash" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),
    "last_used_at" TIMESTAMPTZ(3),
    "last_used_from" TEXT,

    CONSTRAINT "app_secret_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "app_grant" (
    "id" UUID NOT NULL,
    "app_id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "from" TIMESTAMPTZ(3) NOT NULL,
    "until" TIMESTAMPTZ(3),

    CONSTRAINT "app_grant_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "revoked_token" (
    "jti" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "revoked_token_pkey" PRIMARY KEY ("jti")
);

-- CreateTable
CREATE TABLE "customer" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL DEFAULT 'person',
    "name" TEXT NOT NULL,
    "email" TEXT,
    "phone" TEXT,
    "street" TEXT NOT NULL DEFAULT '',
    "city" TEXT NOT NULL DEFAULT '',
    "region" TEXT NOT NULL DEFAULT '',
    "postcode" TEXT NOT NULL DEFAULT '',
    "country" TEXT NOT NULL DEFAULT '',
    "language" TEXT NOT NULL DEFAULT 'en',
    "preferred_channel" TEXT NOT NULL DEFAULT 'email',
    "note" TEXT NOT NULL DEFAULT '',
    "mails_stopped_at" TIMESTAMPTZ(3),
    "mail_refused_at" TIMESTAMPTZ(3),
    "mail_refusal" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "customer_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "property" (
    "id" UUID NOT NULL,
    "street" TEXT NOT NULL,
    "unit" TEXT NOT NULL DEFAULT '',
    "city" TEXT NOT NULL,
    "region" TEXT NOT NULL DEFAULT '',
    "postcode" TEXT NOT NULL DEFAULT '',
    "country" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "zone_source" TEXT NOT NULL DEFAULT 'found',
    "jurisdiction" TEXT NOT NULL,
    "building_use" TEXT NOT NULL DEFAULT 'home',
    "year_built" INTEGER,
    "storeys" INTEGER,
    "access_note" TEXT NOT NULL DEFAULT '',
    "gate_code" TEXT NOT NULL DEFAULT '',
    "dog_note" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "property_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "foundation_area" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "area_m2" DOUBLE PRECISION,
    "position" INTEGER NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "foundation_area_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "test_location" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "foundation_area_id" UUID,
    "name" TEXT NOT NULL,
    "floor" INTEGER NOT NULL,
    "room_kind" TEXT NOT NULL DEFAULT 'room',
    "lived_in" BOOLEAN,
    "note" TEXT NOT NULL DEFAULT '',
    "position" INTEGER NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "test_location_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "ownership" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "customer_id" UUID NOT NULL,
    "from_on" DATE,
    "until_on" DATE,
    "from_edtf" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "ownership_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "property_person" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "customer_id" UUID NOT NULL,
    "role" TEXT NOT NULL,
    "from_on" DATE,
    "until_on" DATE,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "property_person_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "home_event" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3),
    "edtf" TEXT,
    "note" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "home_event_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "system" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "tag" TEXT,
    "type" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "installed_by" TEXT NOT NULL DEFAULT 'unknown',
    "installer_name" TEXT NOT NULL DEFAULT '',
    "label_note" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "system_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "system_component" (
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "model" TEXT NOT NULL DEFAULT '',
    "serial" TEXT NOT NULL DEFAULT '',
    "lot" TEXT NOT NULL DEFAULT '',
    "place" TEXT NOT NULL DEFAULT '',
    "installed_at" TIMESTAMPTZ(3),
    "installed_edtf" TEXT,
    "removed_at" TIMESTAMPTZ(3),
    "removed_edtf" TEXT,
    "removal_reason" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "system_component_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "suction_point" (
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "foundation_area_id" UUID,
    "name" TEXT NOT NULL,
    "since" TIMESTAMPTZ(3),
    "until" TIMESTAMPTZ(3),
    "note" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "suction_point_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "system_event" (
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3),
    "edtf" TEXT,
    "staff_id" UUID,
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "system_event_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "gauge_reading" (
    "id" UUID NOT NULL,
    "system_id" UUID NOT NULL,
    "role" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "unit" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "staff_id" UUID,
    "read_by" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "gauge_reading_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "device" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "model" TEXT NOT NULL DEFAULT '',
    "serial" TEXT,
    "lot" TEXT,
    "kit_count" INTEGER,
    "expires_on" DATE,
    "sensitivity" TEXT,
    "sensitivity_unit" TEXT,
    "note" TEXT NOT NULL DEFAULT '',
    "retired_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "device_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "calibration" (
    "id" UUID NOT NULL,
    "device_id" UUID NOT NULL,
    "calibrated_on" DATE NOT NULL,
    "valid_until" DATE NOT NULL,
    "certificate" TEXT NOT NULL DEFAULT '',
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "calibration_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "test" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "system_id" UUID,
    "follows_test_id" UUID,
    "purpose" TEXT NOT NULL,
    "method" TEXT NOT NULL,
    "source" TEXT NOT NULL DEFAULT 'own',
    "source_name" TEXT NOT NULL DEFAULT '',
    "set_at" TIMESTAMPTZ(3),
    "set_by_staff" UUID,
    "set_by" TEXT NOT NULL DEFAULT '',
    "picked_up_at" TIMESTAMPTZ(3),
    "picked_up_by_staff" UUID,
    "picked_up_by" TEXT NOT NULL DEFAULT '',
    "sent_to_lab_at" TIMESTAMPTZ(3),
    "laboratory" TEXT NOT NULL DEFAULT '',
    "result_in_at" TIMESTAMPTZ(3),
    "closed_since" TIMESTAMPTZ(3),
    "closed_during" TEXT NOT NULL DEFAULT 'unknown',
    "severe_weather" TEXT NOT NULL DEFAULT 'unknown',
    "system_running" TEXT NOT NULL DEFAULT 'unknown',
    "tampering" TEXT NOT NULL DEFAULT 'unknown',
    "conditions_note" TEXT NOT NULL DEFAULT '',
    "accepted_at" TIMESTAMPTZ(3),
    "accepted_by" UUID,
    "import_batch_id" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "test_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "exposure" (
    "id" UUID NOT NULL,
    "test_id" UUID NOT NULL,
    "location_id" UUID,
    "device_id" UUID,
    "kit_number" TEXT,
    "role" TEXT NOT NULL DEFAULT 'measurement',
    "pair_key" TEXT,
    "start_at" TIMESTAMPTZ(3),
    "stop_at" TIMESTAMPTZ(3),
    "height_cm" DOUBLE PRECISION,
    "from_opening_cm" DOUBLE PRECISION,
    "from_exterior_wall_cm" DOUBLE PRECISION,
    "from_heat_cm" DOUBLE PRECISION,
    "from_object_cm" DOUBLE PRECISION,
    "value" TEXT,
    "unit" TEXT,
    "qualifier" TEXT NOT NULL DEFAULT '=',
    "uncertainty" TEXT,
    "canonical_bq_m3" DOUBLE PRECISION,
    "file_sha256" BYTEA,
    "position" INTEGER NOT NULL DEFAULT 0,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "exposure_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "series" (
    "id" UUID NOT NULL,
    "exposure_id" UUID NOT NULL,
    "start_at" TIMESTAMPTZ(3) NOT NULL,
    "interval_s" INTEGER NOT NULL,
    "unit" TEXT NOT NULL,
    "scale" INTEGER NOT NULL,
    "values" INTEGER[],
    "missing" INTEGER[] DEFAULT ARRAY[]::INTEGER[],
    "offsets_s" INTEGER[] DEFAULT ARRAY[]::INTEGER[],
    "device_corrected_first_hours" BOOLEAN NOT NULL DEFAULT false,
    "side" JSONB,
    "reading" JSONB,
    "file_sha256" BYTEA,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "series_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stored_file" (
    "sha256" BYTEA NOT NULL,
    "bytes" BYTEA NOT NULL,
    "size" INTEGER NOT NULL,
    "media_type" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "stored_file_pkey" PRIMARY KEY ("sha256")
);

-- CreateTable
CREATE TABLE "saved_reading" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "reading" JSONB NOT NULL,
    "created_by" UUID,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "saved_reading_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "import_batch" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "file_sha256" BYTEA NOT NULL,
    "file_name" TEXT NOT NULL,
    "reading" JSONB,
    "summary" JSONB,
    "property_id" UUID,
    "test_id" UUID,
    "actor_kind" TEXT NOT NULL,
    "actor_id" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "committed_at" TIMESTAMPTZ(3),
    "undone_at" TIMESTAMPTZ(3),

    CONSTRAINT "import_batch_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "callback" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "system_id" UUID,
    "number" SERIAL NOT NULL,
    "complaint" TEXT NOT NULL,
    "reported_at" TIMESTAMPTZ(3) NOT NULL,
    "reported_by" TEXT NOT NULL DEFAULT '',
    "reported_by_customer" UUID,
    "channel" TEXT NOT NULL DEFAULT 'phone',
    "description" TEXT NOT NULL DEFAULT '',
    "found" TEXT NOT NULL DEFAULT '',
    "done" TEXT NOT NULL DEFAULT '',
    "closed_at" TIMESTAMPTZ(3),
    "closed_by" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "callback_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "visit" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "starts_at" TIMESTAMPTZ(3) NOT NULL,
    "ends_at" TIMESTAMPTZ(3),
    "callback_id" UUID,
    "test_id" UUID,
    "instructions" TEXT NOT NULL DEFAULT '',
    "outcome" TEXT NOT NULL DEFAULT '',
    "outcome_note" TEXT NOT NULL DEFAULT '',
    "arrived_at" TIMESTAMPTZ(3),
    "done_at" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "visit_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "visit_crew" (
    "visit_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "assigned_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "visit_crew_pkey" PRIMARY KEY ("visit_id","staff_id")
);

-- CreateTable
CREATE TABLE "note" (
    "id" UUID NOT NULL,
    "property_id" UUID,
    "subject" TEXT NOT NULL,
    "subject_id" UUID NOT NULL,
    "text" TEXT NOT NULL,
    "photo_sha256" BYTEA,
    "thumbnail_sha256" BYTEA,
    "by_kind" TEXT NOT NULL,
    "by_id" UUID,
    "by_name" TEXT NOT NULL DEFAULT '',
    "at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),
    "void_reason" TEXT,

    CONSTRAINT "note_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "policy" (
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "parent_code" TEXT,
    "effective_from" DATE NOT NULL,
    "published_at" TIMESTAMPTZ(3) NOT NULL,
    "title" TEXT NOT NULL,
    "body" JSONB NOT NULL,

    CONSTRAINT "policy_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "standing" (
    "property_id" UUID NOT NULL,
    "body" TEXT NOT NULL,
    "outcome" TEXT NOT NULL,
    "next_change_at" TIMESTAMPTZ(3),
    "next_due_on" DATE,
    "engine_version" INTEGER NOT NULL,
    "stale_since" TIMESTAMPTZ(3),
    "version" INTEGER NOT NULL DEFAULT 1,
    "computed_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "standing_pkey" PRIMARY KEY ("property_id")
);

-- CreateTable
CREATE TABLE "test_evaluation" (
    "test_id" UUID NOT NULL,
    "key" TEXT NOT NULL,
    "body" TEXT NOT NULL,

    CONSTRAINT "test_evaluation_pkey" PRIMARY KEY ("test_id")
);

-- CreateTable
CREATE TABLE "obligation" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "cause_id" UUID NOT NULL,
    "earliest_on" DATE,
    "due_on" DATE NOT NULL,
    "due_at" TIMESTAMPTZ(3) NOT NULL,
    "remind_at" TIMESTAMPTZ(3)[],
    "round" INTEGER NOT NULL DEFAULT 1,
    "next_remind_at" TIMESTAMPTZ(3),
    "because" JSONB NOT NULL,
    "owed_by" TEXT NOT NULL,
    "recommended" BOOLEAN NOT NULL DEFAULT false,
    "fulfilled_at" TIMESTAMPTZ(3),
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "obligation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "notice" (
    "id" UUID NOT NULL,
    "obligation_id" UUID NOT NULL,
    "rung" INTEGER NOT NULL,
    "round" INTEGER NOT NULL,
    "customer_id" UUID,
    "mail_id" UUID,
    "state" TEXT NOT NULL,
    "reason" TEXT,
    "claimed_at" TIMESTAMPTZ(3) NOT NULL,
    "lease_until" TIMESTAMPTZ(3),
    "settled_at" TIMESTAMPTZ(3),

    CONSTRAINT "notice_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "mail" (
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "to_address" TEXT NOT NULL,
    "to_name" TEXT NOT NULL DEFAULT '',
    "customer_id" UUID,
    "staff_id" UUID,
    "subject" TEXT NOT NULL,
    "text_body" TEXT NOT NULL,
    "html_body" TEXT NOT NULL,
    "link_id" UUID,
    "message_id" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "next_attempt_at" TIMESTAMPTZ(3),
    "lease_until" TIMESTAMPTZ(3),
    "first_tried_at" TIMESTAMPTZ(3),
    "last_reply" TEXT,
    "last_code" INTEGER,
    "sent_at" TIMESTAMPTZ(3),
    "request_id" TEXT,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "mail_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "homeowner_link" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "customer_id" UUID NOT NULL,
    "purpose" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "homeowner_link_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "homeowner_report" (
    "id" UUID NOT NULL,
    "property_id" UUID NOT NULL,
    "link_id" UUID,
    "customer_id" UUID,
    "kind" TEXT NOT NULL,
    "body" JSONB NOT NULL,
    "received_at" TIMESTAMPTZ(3) NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'new',
    "settled_at" TIMESTAMPTZ(3),
    "settled_by" UUID,
    "accepted_as" TEXT,
    "accepted_id" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "homeowner_report_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "fact_revision" (
    "id" UUID NOT NULL,
    "noun" TEXT NOT NULL,
    "noun_id" UUID NOT NULL,
    "property_id" UUID,
    "version" INTEGER NOT NULL,
    "was" JSONB NOT NULL,
    "reason" TEXT NOT NULL DEFAULT '',
    "actor_kind" TEXT NOT NULL,
    "actor_id" UUID,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "fact_revision_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "audit" (
    "seq" BIGSERIAL NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "actor_kind" TEXT NOT NULL,
    "actor_id" UUID,
    "action" TEXT NOT NULL,
    "noun" TEXT NOT NULL,
    "noun_id" UUID,
    "property_id" UUID,
    "fields" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "request_id" TEXT NOT NULL DEFAULT '',
    "xid" xid8 NOT NULL,
    "hash" BYTEA,

    CONSTRAINT "audit_pkey" PRIMARY KEY ("seq")
);

-- CreateTable
CREATE TABLE "change" (
    "seq" BIGSERIAL NOT NULL,
    "xid" xid8 NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "kind" TEXT NOT NULL,
    "noun" TEXT NOT NULL,
    "noun_id" UUID NOT NULL,
    "property_id" UUID,
    "version" INTEGER,

    CONSTRAINT "change_pkey" PRIMARY KEY ("seq")
);

-- CreateTable
CREATE TABLE "idempotency" (
    "actor" TEXT NOT NULL,
    "route" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "fingerprint" BYTEA NOT NULL,
    "status" INTEGER NOT NULL,
    "headers" JSONB NOT NULL,
    "body" TEXT NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "idempotency_pkey" PRIMARY KEY ("actor","route","key")
);

-- CreateTable
CREATE TABLE "worker_heartbeat" (
    "worker_id" UUID NOT NULL,
    "beat_at" TIMESTAMPTZ(3) NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "worker_heartbeat_pkey" PRIMARY KEY ("worker_id")
);

-- CreateTable
CREATE TABLE "backup_log" (
    "id" UUID NOT NULL,
    "taken_at" TIMESTAMPTZ(3) NOT NULL,
    "file_name" TEXT NOT NULL,
    "bytes" BIGINT NOT NULL,
    "verified_at" TIMESTAMPTZ(3),

    CONSTRAINT "backup_log_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "search_phrase" (
    "property_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "source_id" UUID NOT NULL,
    "phrase" TEXT NOT NULL,
    "shown" TEXT NOT NULL,

    CONSTRAINT "search_phrase_pkey" PRIMARY KEY ("property_id","kind","source_id")
);

-- CreateTable
CREATE TABLE "search_home" (
    "property_id" UUID NOT NULL,
    "words" TEXT[],

    CONSTRAINT "search_home_pkey" PRIMARY KEY ("property_id")
);

-- CreateTable
CREATE TABLE "search_term" (
    "id" BIGSERIAL NOT NULL,
    "term" TEXT NOT NULL,

    CONSTRAINT "search_term_pkey" PRIMARY KEY ("id")
);

-- CreateIndex
CREATE UNIQUE INDEX "staff_email_key" ON "staff"("email");

-- CreateIndex
CREATE INDEX "staff_session_staff_id_idx" ON "staff_session"("staff_id");

-- CreateIndex
CREATE UNIQUE INDEX "staff_session_id_key" ON "staff_session"("id");

-- CreateIndex
CREATE INDEX "staff_token_staff_id_idx" ON "staff_token"("staff_id");

-- CreateIndex
CREATE INDEX "sign_in_failure_account_at_idx" ON "sign_in_failure"("account", "at");

-- CreateIndex
CREATE INDEX "sign_in_failure_address_at_idx" ON "sign_in_failure"("address", "at");

-- CreateIndex
CREATE UNIQUE INDEX "app_client_id_key" ON "app"("client_id");

-- CreateIndex
CREATE INDEX "app_secret_app_id_idx" ON "app_secret"("app_id");

-- CreateIndex
CREATE INDEX "app_grant_app_id_property_id_idx" ON "app_grant"("app_id", "property_id");

-- CreateIndex
CREATE INDEX "customer_name_id_idx" ON "customer"("name", "id");

-- CreateIndex
CREATE INDEX "property_city_street_id_idx" ON "property"("city", "street", "id");

-- CreateIndex
CREATE INDEX "foundation_area_property_id_idx" ON "foundation_area"("property_id");

-- CreateIndex
CREATE INDEX "test_location_property_id_idx" ON "test_location"("property_id");

-- CreateIndex
CREATE INDEX "ownership_property_id_idx" ON "ownership"("property_id");

-- CreateIndex
CREATE INDEX "ownership_customer_id_idx" ON "ownership"("customer_id");

-- CreateIndex
CREATE INDEX "property_person_property_id_idx" ON "property_person"("property_id");

-- CreateIndex
CREATE INDEX "property_person_customer_id_idx" ON "property_person"("customer_id");

-- CreateIndex
CREATE INDEX "home_event_property_id_idx" ON "home_event"("property_id");

-- CreateIndex
CREATE INDEX "system_property_id_idx" ON "system"("property_id");

-- CreateIndex
CREATE INDEX "system_component_system_id_idx" ON "system_component"("system_id");

-- CreateIndex
CREATE INDEX "suction_point_system_id_idx" ON "suction_point"("system_id");

-- CreateIndex
CREATE INDEX "system_event_system_id_idx" ON "system_event"("system_id");

-- CreateIndex
CREATE INDEX "gauge_reading_system_id_idx" ON "gauge_reading"("system_id");

-- CreateIndex
CREATE INDEX "calibration_device_id_idx" ON "calibration"("device_id");

-- CreateIndex
CREATE INDEX "test_property_id_idx" ON "test"("property_id");

-- CreateIndex
CREATE INDEX "exposure_test_id_idx" ON "exposure"("test_id");

-- CreateIndex
CREATE INDEX "exposure_device_id_idx" ON "exposure"("device_id");

-- CreateIndex
CREATE UNIQUE INDEX "series_exposure_id_key" ON "series"("exposure_id");

-- CreateIndex
CREATE UNIQUE INDEX "saved_reading_name_key" ON "saved_reading"("name");

-- CreateIndex
CREATE INDEX "import_batch_file_sha256_idx" ON "import_batch"("file_sha256");

-- CreateIndex
CREATE INDEX "callback_property_id_idx" ON "callback"("property_id");

-- CreateIndex
CREATE UNIQUE INDEX "callback_number_key" ON "callback"("number");

-- CreateIndex
CREATE INDEX "visit_property_id_idx" ON "visit"("property_id");

-- CreateIndex
CREATE INDEX "visit_starts_at_idx" ON "visit"("starts_at");

-- CreateIndex
CREATE INDEX "visit_crew_staff_id_idx" ON "visit_crew"("staff_id");

-- CreateIndex
CREATE INDEX "note_subject_subject_id_idx" ON "note"("subject", "subject_id");

-- CreateIndex
CREATE INDEX "note_property_id_idx" ON "note"("property_id");

-- CreateIndex
CREATE UNIQUE INDEX "policy_code_effective_from_key" ON "policy"("code", "effective_from");

-- CreateIndex
CREATE INDEX "standing_next_change_at_idx" ON "standing"("next_change_at");

-- CreateIndex
CREATE INDEX "standing_stale_since_idx" ON "standing"("stale_since");

-- CreateIndex
CREATE UNIQUE INDEX "obligation_property_id_kind_cause_id_key" ON "obligation"("property_id", "kind", "cause_id");

-- CreateIndex
CREATE INDEX "notice_mail_id_idx" ON "notice"("mail_id");

-- CreateIndex
CREATE UNIQUE INDEX "notice_obligation_id_rung_round_key" ON "notice"("obligation_id", "rung", "round");

-- CreateIndex
CREATE INDEX "mail_created_at_idx" ON "mail"("created_at");

-- CreateIndex
CREATE INDEX "mail_customer_id_idx" ON "mail"("customer_id");

-- CreateIndex
CREATE INDEX "mail_link_id_idx" ON "mail"("link_id");

-- CreateIndex
CREATE UNIQUE INDEX "mail_message_id_key" ON "mail"("message_id");

-- CreateIndex
CREATE INDEX "homeowner_link_property_id_idx" ON "homeowner_link"("property_id");

-- CreateIndex
CREATE INDEX "homeowner_report_property_id_idx" ON "homeowner_report"("property_id");

-- CreateIndex
CREATE INDEX "fact_revision_noun_noun_id_idx" ON "fact_revision"("noun", "noun_id");

-- CreateIndex
CREATE INDEX "fact_revision_property_id_at_idx" ON "fact_revision"("property_id", "at");

-- CreateIndex
CREATE INDEX "audit_noun_noun_id_idx" ON "audit"("noun", "noun_id");

-- CreateIndex
CREATE INDEX "change_xid_seq_idx" ON "change"("xid", "seq");

-- CreateIndex
CREATE INDEX "idempotency_at_idx" ON "idempotency"("at");

-- CreateIndex
CREATE INDEX "search_home_words_idx" ON "search_home" USING GIN ("words");

-- AddForeignKey
ALTER TABLE "staff_session" ADD CONSTRAINT "staff_session_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "staff_token" ADD CONSTRAINT "staff_token_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "app_secret" ADD CONSTRAINT "app_secret_app_id_fkey" FOREIGN KEY ("app_id") REFERENCES "app"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "app_grant" ADD CONSTRAINT "app_grant_app_id_fkey" FOREIGN KEY ("app_id") REFERENCES "app"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "app_grant" ADD CONSTRAINT "app_grant_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "foundation_area" ADD CONSTRAINT "foundation_area_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test_location" ADD CONSTRAINT "test_location_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test_location" ADD CONSTRAINT "test_location_foundation_area_id_fkey" FOREIGN KEY ("foundation_area_id") REFERENCES "foundation_area"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "ownership" ADD CONSTRAINT "ownership_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "ownership" ADD CONSTRAINT "ownership_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "property_person" ADD CONSTRAINT "property_person_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "property_person" ADD CONSTRAINT "property_person_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "home_event" ADD CONSTRAINT "home_event_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "system" ADD CONSTRAINT "system_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "system_component" ADD CONSTRAINT "system_component_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "suction_point" ADD CONSTRAINT "suction_point_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "suction_point" ADD CONSTRAINT "suction_point_foundation_area_id_fkey" FOREIGN KEY ("foundation_area_id") REFERENCES "foundation_area"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "system_event" ADD CONSTRAINT "system_event_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "gauge_reading" ADD CONSTRAINT "gauge_reading_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "calibration" ADD CONSTRAINT "calibration_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test" ADD CONSTRAINT "test_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test" ADD CONSTRAINT "test_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test" ADD CONSTRAINT "test_follows_test_id_fkey" FOREIGN KEY ("follows_test_id") REFERENCES "test"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "exposure" ADD CONSTRAINT "exposure_test_id_fkey" FOREIGN KEY ("test_id") REFERENCES "test"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "exposure" ADD CONSTRAINT "exposure_location_id_fkey" FOREIGN KEY ("location_id") REFERENCES "test_location"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "exposure" ADD CONSTRAINT "exposure_device_id_fkey" FOREIGN KEY ("device_id") REFERENCES "device"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "series" ADD CONSTRAINT "series_exposure_id_fkey" FOREIGN KEY ("exposure_id") REFERENCES "exposure"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "import_batch" ADD CONSTRAINT "import_batch_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "callback" ADD CONSTRAINT "callback_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "callback" ADD CONSTRAINT "callback_system_id_fkey" FOREIGN KEY ("system_id") REFERENCES "system"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_callback_id_fkey" FOREIGN KEY ("callback_id") REFERENCES "callback"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit" ADD CONSTRAINT "visit_test_id_fkey" FOREIGN KEY ("test_id") REFERENCES "test"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_crew" ADD CONSTRAINT "visit_crew_visit_id_fkey" FOREIGN KEY ("visit_id") REFERENCES "visit"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "visit_crew" ADD CONSTRAINT "visit_crew_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "note" ADD CONSTRAINT "note_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "standing" ADD CONSTRAINT "standing_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "test_evaluation" ADD CONSTRAINT "test_evaluation_test_id_fkey" FOREIGN KEY ("test_id") REFERENCES "test"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "obligation" ADD CONSTRAINT "obligation_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "notice" ADD CONSTRAINT "notice_obligation_id_fkey" FOREIGN KEY ("obligation_id") REFERENCES "obligation"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mail" ADD CONSTRAINT "mail_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mail" ADD CONSTRAINT "mail_staff_id_fkey" FOREIGN KEY ("staff_id") REFERENCES "staff"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "mail" ADD CONSTRAINT "mail_link_id_fkey" FOREIGN KEY ("link_id") REFERENCES "homeowner_link"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "homeowner_link" ADD CONSTRAINT "homeowner_link_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "homeowner_link" ADD CONSTRAINT "homeowner_link_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "homeowner_report" ADD CONSTRAINT "homeowner_report_property_id_fkey" FOREIGN KEY ("property_id") REFERENCES "property"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "homeowner_report" ADD CONSTRAINT "homeowner_report_link_id_fkey" FOREIGN KEY ("link_id") REFERENCES "homeowner_link"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;

-- AddForeignKey
ALTER TABLE "homeowner_report" ADD CONSTRAINT "homeowner_report_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
