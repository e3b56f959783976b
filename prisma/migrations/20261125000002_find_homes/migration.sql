-- What a home is found by: who is around it, and a search index that triggers keep, so that no write can forget it.

create extension if not exists pg_trgm;
create extension if not exists unaccent;

-- Everyone around a home, owners included, past and present.
create view around_home as
  select o.id, o.property_id, o.customer_id, 'owner'::text as role, o.from_on, o.until_on, o.from_edtf, o.version
    from ownership o where o.voided_at is null
  union all
  select p.id, p.property_id, p.customer_id, p.role, p.from_on, p.until_on, null, p.version
    from property_person p where p.voided_at is null;

create index customer_name_trigram on customer using gin (lower(name) gin_trgm_ops);
create index customer_email_lower on customer (lower(email));
create index standing_due on standing ((coalesce(next_due_on, 'infinity'::date)), property_id);
create index standing_outcome_due on standing (outcome, (coalesce(next_due_on, 'infinity'::date)), property_id);

-- Words: no accents, lower case, an apostrophe joins (O'Brien = obrien), any other ASCII mark parts.
create function search_text(written text) returns text language sql stable strict parallel safe return
  btrim(regexp_replace(replace(lower(unaccent(written)), '''', ''), '[\x01-\x2f\x3a-\x40\x5b-\x60\x7b-\x7f]+', ' ', 'g'));

-- Codes: the same without gaps, so that US-1042, us 1042 and US1042 are one.
create function search_code(written text) returns text language sql stable strict parallel safe return
  replace(search_text(written), ' ', '');

create view search_source as
  select p.id as property_id, 'address'::text as kind, p.id as source_id,
         concat_ws(', ', nullif(concat_ws(' ', p.street, nullif(p.unit, '')), ''), p.city, nullif(concat_ws(' ', nullif(p.region, ''), p.postcode), '')) as shown
    from property p where p.voided_at is null
  union all
  select p.id, 'postcode', p.id, p.postcode from property p where p.voided_at is null and p.postcode <> ''
  union all
  select distinct a.property_id, case when a.role <> 'owner' then 'person' when a.until_on is null then 'owner' else 'former-owner' end, c.id, c.name
    from around_home a join customer c on c.id = a.customer_id join property p on p.id = a.property_id
   where c.voided_at is null and p.voided_at is null
  union all
  select distinct a.property_id, k.kind, c.id, k.shown
    from around_home a join customer c on c.id = a.customer_id join property p on p.id = a.property_id,
         lateral (values ('email', c.email), ('phone', c.phone)) k(kind, shown)
   where c.voided_at is null and p.voided_at is null and k.shown <> ''
  union all
  select s.property_id, 'tag', s.id, s.tag from system s join property p on p.id = s.property_id
   where s.voided_at is null and p.voided_at is null and s.tag <> ''
  union all
  select s.property_id, 'serial', c.id, c.serial
    from system_component c join system s on s.id = c.system_id join property p on p.id = s.property_id
   where c.voided_at is null and s.voided_at is null and p.voided_at is null and c.serial <> ''
  union all
  select distinct t.property_id, 'device', d.id, d.serial
    from exposure x join test t on t.id = x.test_id join device d on d.id = x.device_id join property p on p.id = t.property_id
   where x.voided_at is null and t.voided_at is null and p.voided_at is null and d.serial <> ''
  union all
  select t.property_id, 'kit', x.id, x.kit_number
    from exposure x join test t on t.id = x.test_id join property p on p.id = t.property_id
   where x.voided_at is null and t.voided_at is null and p.voided_at is null and x.kit_number <> '';

create function search_is_code(kind text) returns boolean language sql immutable parallel safe return
  kind in ('postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit');

create index search_phrase_code on search_phrase using gin (phrase gin_trgm_ops)
  where kind in ('postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit');
create index search_phrase_prefix on search_phrase (phrase text_pattern_ops)
  where kind in ('postcode', 'email', 'phone', 'tag', 'serial', 'device', 'kit');
create index search_term_prefix on search_term (term text_pattern_ops);
create index search_term_trigram on search_term using gin (term gin_trgm_ops);

-- Words of the index that look like this one. The threshold is low, since a swap in a short word costs half its trigrams;
-- who asks counts the slips.
create function similar_terms(word text) returns setof text language sql stable parallel safe
  set pg_trgm.similarity_threshold = 0.22
  as $$ select t.term from search_term t where t.term % word order by similarity(t.term, word) desc, t.term limit 40 $$;

-- Brings the index of these homes to what search_source says. Homes are taken in id order, so that two writers meet in one order.
create function refresh_search(homes uuid[]) returns void language plpgsql as $$
begin
  if cardinality(homes) = 0 then return; end if;
  with source as materialized (
    select s.property_id, s.kind, s.source_id, s.shown, case when search_is_code(s.kind) then search_code(s.shown) else search_text(s.shown) end as phrase
      from search_source s where s.property_id = any(homes)
  ), gone as (
    delete from search_phrase p where p.property_id = any(homes)
       and not exists (select from source s where s.property_id = p.property_id and s.kind = p.kind and s.source_id = p.source_id)
  )
  insert into search_phrase (property_id, kind, source_id, phrase, shown)
  select s.property_id, s.kind, s.source_id, s.phrase, s.shown from source s order by 1, 2, 3
      on conflict (property_id, kind, source_id) do update set phrase = excluded.phrase, shown = excluded.shown
   where (search_phrase.phrase, search_phrase.shown) is distinct from (excluded.phrase, excluded.shown);

  insert into search_home (property_id, words)
  select p.property_id, array_agg(distinct w.word order by w.word)
    from search_phrase p, lateral (select unnest(string_to_array(search_text(p.shown), ' ')) union select p.phrase where search_is_code(p.kind)) w(word)
   where p.property_id = any(homes) and w.word <> '' group by p.property_id order by p.property_id
      on conflict (property_id) do update set words = excluded.words where search_home.words is distinct from excluded.words;
  delete from search_home h where h.property_id = any(homes)
     and not exists (select from search_phrase p where p.property_id = h.property_id);

  insert into search_term (term)
  select distinct w.word from search_phrase p, unnest(string_to_array(p.phrase, ' ')) w(word)
   where p.property_id = any(homes) and not search_is_code(p.kind) and w.word <> ''
     and not exists (select from search_term t where t.term = w.word);
end $$;

-- One trigger function a table and event; it refreshes the homes of the rows whose named columns differ.
do $$
declare
  watched record;
  event record;
begin
  for watched in
    select * from (values
      ('property', 'id, street, unit, city, region, postcode, voided_at', 'select id from touched'),
      ('customer', 'id, name, email, phone, voided_at', 'select a.property_id from touched t join around_home a on a.customer_id = t.id'),
      ('ownership', 'property_id, customer_id, until_on, voided_at', 'select property_id from touched'),
      ('property_person', 'property_id, customer_id, role, voided_at', 'select property_id from touched'),
      ('system', 'id, property_id, tag, voided_at', 'select property_id from touched where tag <> ''''
         union select property_id from search_phrase p join touched t using (property_id) where p.kind in (''tag'', ''serial'')'),
      ('system_component', 'system_id, serial, voided_at', 'select s.property_id from touched t join system s on s.id = t.system_id where t.serial <> '''''),
      ('device', 'id, serial, voided_at', 'select x.property_id from touched t join exposure e on e.device_id = t.id join test x on x.id = e.test_id'),
      ('test', 'id, property_id, voided_at', 'select t.property_id from touched t where exists (select from exposure e where e.test_id = t.id and (e.device_id is not null or e.kit_number is not null))'),
      ('exposure', 'test_id, device_id, kit_number, voided_at', 'select x.property_id from touched t join test x on x.id = t.test_id where t.device_id is not null or t.kit_number is not null')
    ) as w(source, columns, homes)
  loop
    for event in
      select * from (values
        ('insert', 'new table as after', 'select %1$s from after'),
        ('delete', 'old table as before', 'select %1$s from before'),
        ('update', 'old table as before new table as after',
         '(select %1$s from after except select %1$s from before) union (select %1$s from before except select %1$s from after)')
      ) as e(name, tables, touched)
    loop
      execute format(
        'create function %1$I() returns trigger language plpgsql as $body$
         begin
           perform refresh_search(array(with touched as (%2$s) select distinct h from (%3$s) s(h) where h is not null order by h));
           return null;
         end $body$',
        watched.source || '_search_' || event.name, format(event.touched, watched.columns), watched.homes);
      execute format('create trigger %1$I after %2$s on %3$I referencing %4$s for each statement execute function %1$I()',
        watched.source || '_search_' || event.name, event.name, watched.source, event.tables);
    end loop;
  end loop;
end $$;
