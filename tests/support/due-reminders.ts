import type { Sql } from './rows.ts'

/**
 * Puts so many homes with an owner each and one reminder due into the database: plain rows, because thousands are needed.
 * @param batch tells the people of one call from those of another.
 */
export async function dueReminders(db: Sql, batch: string, count: number, dueAt: number): Promise<void> {
  await db.query(
    `with made as (
       select gen_random_uuid() as person, gen_random_uuid() as home, n from generate_series(1, $2::int) n),
     people as (
       insert into customer (id, name, email, created_at, updated_at)
       select person, 'Person ' || $1 || ' ' || n, $1 || '-' || n || '@home.example', $3, $3 from made returning id),
     homes as (
       insert into property (id, street, city, country, zone, jurisdiction, created_at, updated_at)
       select home, n || ' ' || $1 || ' Street', 'Duluth', 'US', 'America/Chicago', 'US', $3, $3 from made
       where exists (select from people) returning id),
     owners as (
       insert into ownership (id, property_id, customer_id, created_at)
       select gen_random_uuid(), home, person, $3 from made where exists (select from homes))
     insert into obligation (id, property_id, kind, cause_id, due_on, due_at, remind_at, next_remind_at, because, owed_by, created_at, updated_at)
     select gen_random_uuid(), home, 'retest', home, ($3 at time zone 'UTC')::date + 30, $3 + interval '30 days', array[$3], $3,
       '[{"text":"Every two years"}]', 'homeowner', $3, $3 from made where exists (select from homes)`,
    [batch, count, new Date(dueAt)],
  )
}

/** Obligations whose reminder is neither sent nor waiting: none after a run that went to its end. */
export const remindersLeft = async (db: Sql): Promise<number> =>
  (
    await db.query<{ n: number }>(
      `select count(*)::int as n from obligation o where not exists
         (select 1 from notice n join mail m on m.id = n.mail_id where n.obligation_id = o.id and m.state = 'sent' and n.state = 'sent')`,
    )
  ).rows[0]!.n
