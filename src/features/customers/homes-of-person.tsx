import type { LocalDay } from '../../domain/facts.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { personRoleWords } from '../../web/person-role-words.ts'
import { VerdictMark } from '../../web/verdict-mark.tsx'
import { DayText, DueDay } from '../../web/when-text.tsx'
import type { HomeOfCustomer } from './page-queries.ts'

type Props = { readonly homes: readonly HomeOfCustomer[]; readonly today: LocalDay }

/** All homes of a person by the part they have there, each with how it stands, what is due first on top. */
export function HomesOfPerson({ homes, today }: Props): JSX.Element {
  const current = homes.filter(({ untilOn }) => untilOn === null)
  const former = homes.filter(({ untilOn }) => untilOn !== null)
  const roles = [...new Set(current.map(({ role }) => role))]
  if (homes.length === 0)
    return (
      <List
        title="Homes"
        order="by what is due"
        count={0}
        noun={['home', 'homes']}
        items={[]}
        empty={{ text: 'They are around no home.', href: paths.newHome(), step: 'Enter a home' }}
      />
    )
  return (
    <>
      {roles.map(role => {
        const theirs = current.filter(home => home.role === role)
        return <Homes title={`Homes as ${personRoleWords(role)}`} order="by what is due" homes={theirs} today={today} />
      })}
      {former.length > 0 ? <Homes title="Former homes" order="the last one first" homes={former} today={today} /> : ''}
    </>
  )
}

const Homes = ({ title, order, homes, today }: Props & { title: string; order: string }): JSX.Element => (
  <List
    title={title}
    order={order}
    count={homes.length}
    noun={['home', 'homes']}
    items={homes.map(home => <HomeLine home={home} today={today} />)}
    empty={{ text: '' }}
  />
)

const HomeLine = ({ home, today }: { home: HomeOfCustomer; today: LocalDay }): JSX.Element => (
  <p>
    <a href={paths.home(home.propertyId)} safe>
      {`${home.street}, ${home.city}`}
    </a>
    {home.untilOn === null ? (
      ''
    ) : (
      <>
        <span safe>{`: ${personRoleWords(home.role)}, until `}</span>
        <DayText day={home.untilOn} today={today} />
      </>
    )}
    {home.untilOn === null && home.outcome ? (
      <>
        {' '}
        <VerdictMark outcome={home.outcome} reason={null} level={null} short />
      </>
    ) : (
      ''
    )}
    {home.untilOn === null && home.nextDueOn ? (
      <>
        {', next due '}
        <DueDay day={home.nextDueOn} today={today} />
      </>
    ) : (
      ''
    )}
  </p>
)
