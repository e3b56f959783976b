-- What Prisma's schema language cannot say.

CREATE EXTENSION IF NOT EXISTS pg_trgm;
CREATE EXTENSION IF NOT EXISTS unaccent;
CREATE EXTENSION IF NOT EXISTS btree_gist;

-- A home has one owner at a time. An unknown first or last day is an open end.
ALTER TABLE ownership ADD CONSTRAINT ownership_one_at_a_time
  EXCLUDE USING gist (property_id WITH =, daterange(from_on, until_on) WITH &&) WHERE (voided_at IS NULL);
ALTER TABLE ownership ADD CONSTRAINT ownership_forwards CHECK (until_on >= from_on);

ALTER TABLE company ADD CONSTRAINT company_one_row CHECK (id = 1);

DO $$
DECLARE t text;
BEGIN
  FOR t IN
    SELECT table_name FROM information_schema.columns
    WHERE table_schema = current_schema() AND column_name = 'version' AND table_name <> 'fact_revision'
  LOOP
    EXECUTE format('ALTER TABLE %I ADD CONSTRAINT %I CHECK (version >= 1)', t, t || '_version');
  END LOOP;
END $$;

-- The lists that workers and the day's page read: only what is still open, in the order it is taken.
CREATE INDEX obligation_to_remind ON obligation (next_remind_at, id)
  WHERE fulfilled_at IS NULL AND next_remind_at IS NOT NULL;
CREATE INDEX obligation_owed ON obligation (due_at, id) WHERE fulfilled_at IS NULL;
CREATE INDEX mail_to_send ON mail (next_attempt_at, id) WHERE state = 'waiting';
CREATE INDEX mail_in_hand ON mail (lease_until) WHERE lease_until IS NOT NULL;
CREATE INDEX standing_to_change ON standing (next_change_at, property_id) WHERE next_change_at IS NOT NULL;
CREATE INDEX notice_in_hand ON notice (lease_until) WHERE lease_until IS NOT NULL;
CREATE INDEX callback_open ON callback (reported_at, id) WHERE closed_at IS NULL AND voided_at IS NULL;
CREATE INDEX visit_planned ON visit (starts_at, id) WHERE done_at IS NULL AND voided_at IS NULL;
CREATE INDEX test_unfinished ON test (set_at, id) WHERE result_in_at IS NULL AND voided_at IS NULL;
CREATE INDEX test_to_review ON test (result_in_at, id)
  WHERE result_in_at IS NOT NULL AND accepted_at IS NULL AND voided_at IS NULL;
CREATE INDEX homeowner_report_new ON homeowner_report (received_at, id) WHERE state = 'new';
CREATE INDEX homeowner_link_live ON homeowner_link (customer_id) WHERE revoked_at IS NULL;
CREATE INDEX audit_unsealed ON audit (xid, seq) WHERE hash IS NULL;
CREATE INDEX audit_sealed ON audit (xid, seq) WHERE hash IS NOT NULL;

-- The audit log only grows; its sealer may set the chain's hash, once.
CREATE FUNCTION audit_only_grows() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' AND OLD.hash IS NULL AND NEW.hash IS NOT NULL THEN
    OLD.hash := NEW.hash;
    IF OLD IS NOT DISTINCT FROM NEW THEN
      RETURN NEW;
    END IF;
  END IF;
  RAISE EXCEPTION 'The audit log is append-only.' USING ERRCODE = 'restrict_violation';
END $$;
CREATE TRIGGER audit_only_grows BEFORE UPDATE OR DELETE ON audit
  FOR EACH ROW EXECUTE FUNCTION audit_only_grows();

-- Homes that someone who does not see all of them may see at an instant. Crew: from being assigned to a visit until the
-- company's number of days after it. App: its grants. Homeowner (a customer's id): homes of a link that still opens.
CREATE FUNCTION visible_home(kind text, id uuid, at timestamptz) RETURNS TABLE (property_id uuid)
LANGUAGE sql STABLE AS $$
  SELECT v.property_id
  FROM visit_crew c JOIN visit v ON v.id = c.visit_id
  WHERE $1 = 'staff' AND c.staff_id = $2 AND v.voided_at IS NULL AND c.assigned_at <= $3
    AND $3 <= coalesce(v.done_at, v.ends_at, v.starts_at)
      + make_interval(days => coalesce((SELECT crew_days_after FROM company), 14))
  UNION ALL
  SELECT g.property_id FROM app_grant g
  WHERE $1 = 'app' AND g.app_id = $2 AND g."from" <= $3 AND (g.until IS NULL OR $3 < g.until)
  UNION ALL
  SELECT l.property_id FROM homeowner_link l
  WHERE $1 = 'homeowner' AND l.customer_id = $2 AND l.revoked_at IS NULL AND l.created_at <= $3 AND $3 < l.expires_at
$$;

-- Tables whose rows change all day are cleaned before a fifth of them is dead.
ALTER TABLE obligation SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE notice SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE mail SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE standing SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE test_evaluation SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE idempotency SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE change SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE audit SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
ALTER TABLE staff_session SET (autovacuum_vacuum_scale_factor = 0.02, autovacuum_analyze_scale_factor = 0.02);
