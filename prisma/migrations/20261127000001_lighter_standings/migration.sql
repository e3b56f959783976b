-- Every write of a standing writes its indexes too: two of them held mostly nothing. `standing_to_change` finds what time
-- changes; what is marked stale is found among the few that are.
DROP INDEX "standing_next_change_at_idx";
DROP INDEX "standing_stale_since_idx";
CREATE INDEX standing_stale ON standing (property_id) WHERE stale_since IS NOT NULL;

-- Room in each page for the next version of its rows, so that a new version stays beside the old one.
ALTER TABLE standing SET (fillfactor = 80);
ALTER TABLE obligation SET (fillfactor = 80);
