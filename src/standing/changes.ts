/** Writes into the change feed that these standings, rows of (id, version), have new versions at this instant. */
export const feedOf = (standings: string, at: string): string =>
  `insert into change (xid, at, kind, noun, noun_id, property_id, version)
   select pg_current_xact_id(), ${at}, 'correct', 'standing', i.id, i.id, i.version from (${standings}) i(id, version)`
