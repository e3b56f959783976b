-- A large import is taken back home by home.
CREATE INDEX "import_made_import_id_property_id_idx" ON "import_made"("import_id", "property_id");
