import type { Children } from '@kitajs/html'

export type ListProps = {
  /** What it shows: `Retests due`. */
  title: string
  /** `newest first`, `by due day`. */
  order: string
  /** How many there are in all; `items` may be one page of them. */
  count: number
  /** The noun counted, singular and plural: `['home', 'homes']`. */
  noun: readonly [string, string]
  items: readonly Children[]
  /** What would be here, and the first step. */
  empty: { readonly text: string; readonly href?: string; readonly step?: string }
  /** The address of the next page, if there is one. */
  next?: string | null
  level?: 2 | 3
  id?: string
}

const summary = ({ count, noun, order, items }: ListProps): string => {
  const counted = `${count} ${noun[count === 1 ? 0 : 1]}`
  const part = items.length < count ? `${items.length} of ${counted}` : counted
  return `${part}, ${order}`
}

/** A list that says what it shows, how many and in what order; an empty one says what would be in it. */
export function List(props: ListProps): JSX.Element {
  const { title, items, empty, next, level = 2, id } = props
  const Heading = `h${level}` as 'h2' | 'h3'
  return (
    <section class="list" id={id}>
      <header>
        <Heading safe>{title}</Heading>
        {items.length > 0 ? (
          <p class="how-many" safe>
            {summary(props)}
          </p>
        ) : (
          ''
        )}
      </header>
      {items.length === 0 ? (
        <Empty {...empty} />
      ) : (
        <ul class="ruled">
          {items.map(item => (
            <li>{item}</li>
          ))}
        </ul>
      )}
      {next ? (
        <p>
          <a class="next" href={next} rel="next">
            Show the next ones
          </a>
        </p>
      ) : (
        ''
      )}
    </section>
  )
}

/** What would be here and the first step; for tables too. */
export function Empty({ text, href, step }: ListProps['empty']): JSX.Element {
  return (
    <p class="empty">
      <span safe>{text}</span>{' '}
      {href && step ? (
        <a href={href} safe>
          {step}
        </a>
      ) : (
        ''
      )}
    </p>
  )
}
