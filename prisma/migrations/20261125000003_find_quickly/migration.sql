-- A system by its tag, and a home by the address a table of results names it with, without reading every row.
CREATE INDEX "system_tag_idx" ON "system"("tag");
CREATE INDEX property_address ON property (lower(street), lower(unit));
