-- A home by its house number, however the street behind it is written; what is left is compared word by word.
CREATE INDEX property_house ON property
  (ltrim(coalesce(substring(lower(street) from '[0-9][a-z0-9/]*'), split_part(lower(street), ' ', 1)), '0'));
DROP INDEX property_address;
