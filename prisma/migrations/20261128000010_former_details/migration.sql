-- By what else somebody is found whose two entries were made one: the name, phone or mail address that is theirs no more.
CREATE TABLE "former_detail" (
    "id" UUID NOT NULL,
    "customer_id" UUID NOT NULL,
    "doubled_id" UUID NOT NULL,
    "field" TEXT NOT NULL,
    "value" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "voided_at" TIMESTAMPTZ(3),

    CONSTRAINT "former_detail_pkey" PRIMARY KEY ("id")
);
CREATE INDEX "former_detail_customer_id_idx" ON "former_detail"("customer_id");
ALTER TABLE "former_detail" ADD CONSTRAINT "former_detail_customer_id_fkey" FOREIGN KEY ("customer_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "former_detail" ADD CONSTRAINT "former_detail_doubled_id_fkey" FOREIGN KEY ("doubled_id") REFERENCES "customer"("id") ON DELETE RESTRICT ON UPDATE RESTRICT;
ALTER TABLE "former_detail" ADD CONSTRAINT "former_detail_field" CHECK ("field" IN ('name', 'email', 'phone'));
-- Of two entries one value is kept, so each merge leaves at most one of each.
CREATE UNIQUE INDEX former_detail_of_doubled ON former_detail (doubled_id, field) WHERE voided_at IS NULL;
CREATE INDEX former_detail_lower ON former_detail (lower(value)) WHERE voided_at IS NULL;

create or replace view search_source as
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
   where x.voided_at is null and t.voided_at is null and p.voided_at is null and x.kit_number <> ''
  union all
  select distinct a.property_id, case f.field when 'name' then 'former-name' else f.field end, f.doubled_id, f.value
    from former_detail f join around_home a on a.customer_id = f.customer_id join property p on p.id = a.property_id
   where f.voided_at is null and p.voided_at is null;

-- As for the other tables: the homes of the rows whose named columns differ.
do $$
declare
  watched record;
  event record;
begin
  for watched in
    select * from (values
      ('former_detail', 'customer_id, doubled_id, field, value, voided_at',
       'select a.property_id from touched t join around_home a on a.customer_id = t.customer_id')
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
