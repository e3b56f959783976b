-- The test whose result a mail tells, so that it is sent again only to whoever may still see it.
ALTER TABLE "mail" ADD COLUMN "about_id" UUID;
-- A mail that told a result on acceptance bears the id of its test.
UPDATE "mail" SET "about_id" = "id" WHERE "kind" = 'result' AND EXISTS (SELECT FROM "test" t WHERE t."id" = "mail"."id");
