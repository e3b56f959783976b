/** SQL: the customer who owns home `p` at an instant, by the home's own calendar; null when none is on record. */
export const ownerOn = (instant: string): string => `(select w.customer_id from ownership w
    where w.property_id = p.id and w.voided_at is null
      and (w.from_on is null or w.from_on <= (${instant} at time zone p.zone)::date)
      and (w.until_on is null or w.until_on > (${instant} at time zone p.zone)::date)
    order by w.from_on desc nulls last limit 1)`
