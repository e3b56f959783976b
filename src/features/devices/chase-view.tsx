import type { LocalDay } from '../../domain/facts.ts'
import { List } from '../../web/list.tsx'
import { paths } from '../../web/paths.ts'
import { DueDay } from '../../web/when-text.tsx'
import type { ChaseLine, ChaseList } from './chase-list.ts'
import { daysInWords } from './words.ts'

/** What is lent out and has to be run after: each line says what, where, why, and the one thing to do. */
export const ChaseView = ({ list, today }: { list: ChaseList; today: LocalDay }): JSX.Element => (
  <>
    <h1>Devices to chase</h1>
    <p safe>{countWords(list.counts)}</p>
    <ul class="links">
      <li>
        <a href={paths.devices()}>All devices</a>
      </li>
      <li>
        <a href={paths.kitAnswer()}>Enter a laboratory’s answer</a>
      </li>
      <li>
        <a href={paths.kitLimits()}>Days that we expect of each kind of kit</a>
      </li>
    </ul>
    <List
      id="chase"
      title="To do"
      order="the most urgent first"
      noun={['line', 'lines']}
      count={list.lines.length}
      items={list.lines.slice(0, 200).map(line => <Line line={line} today={today} />)}
      empty={{
        text: 'Nothing has to be chased. Monitors not picked up or not back, and kits without dates, post or answer stand here.',
        href: paths.devices(),
        step: 'See all devices',
      }}
    />
  </>
)

const counted = (count: number, one: string, many: string) => `${count} ${count === 1 ? one : many}`

const countWords = ({ monitorsOut, kitsOut, atLaboratory, overdue, neverReturned }: ChaseList['counts']): string =>
  [
    `${counted(monitorsOut, 'monitor', 'monitors')} and ${counted(kitsOut, 'kit', 'kits')} out`,
    `${counted(atLaboratory, 'kit', 'kits')} at the laboratory`,
    `${overdue} overdue`,
    `${neverReturned} never returned`,
  ].join('; ')

const Line = ({ line, today }: { line: ChaseLine; today: LocalDay }): JSX.Element => (
  <div class="ledger-line">
    <p class="ledger-day">
      <DueDay day={line.dueOn} today={today} />
    </p>
    <p class="ledger-words">
      <a href={hrefOf(line)} safe>
        {line.name}
      </a>
      {line.home ? (
        <>
          {' '}
          at{' '}
          <a href={paths.home(line.home.id)} safe>
            {line.home.address}
          </a>
        </>
      ) : (
        ''
      )}
      {line.asked?.person ? (
        <span class="light" safe>
          {`, ${line.asked.person}`}
        </span>
      ) : (
        ''
      )}
      : <strong safe>{daysInWords(line.reason, today)}</strong>
    </p>
    <p class="ledger-act">
      <ToDo line={line} />
    </p>
  </div>
)

const hrefOf = ({ kitId, testId, deviceId }: ChaseLine): string => {
  if (kitId !== null) return paths.kit(kitId)
  return testId === null ? paths.device(deviceId) : paths.test(testId)
}

function ToDo({ line }: { line: ChaseLine }): JSX.Element {
  const { act, asked, home, deviceId } = line
  if (act === 'call-home' && asked?.phone)
    return (
      <a class="act" href={`tel:${asked.phone.replace(/[^\d+]/g, '')}`} safe>
        {`Call ${asked.phone}`}
      </a>
    )
  if (act === 'call-home')
    return <Act href={home ? paths.home(home.id) : hrefOf(line)} words="No number: find one" of={line} />
  if (act === 'plan-visit' && home) return <Act href={paths.newVisit(home.id)} words="Plan a visit" of={line} />
  if (act === 'call-laboratory') return <Act href={hrefOf(line)} words="Ask the laboratory" of={line} />
  const words = {
    'send-to-calibration': 'Send it there',
    'get-it-back': 'Say that it is back',
    'move-booking': 'Move the booking',
  }
  return <Act href={paths.device(deviceId)} words={words[act as keyof typeof words] ?? 'Open it'} of={line} />
}

const Act = ({ href, words, of }: { href: string; words: string; of: ChaseLine }): JSX.Element => (
  <a class="act" href={href}>
    <span safe>{words}</span>
    <span class="unseen" safe>{`: ${of.name}`}</span>
  </a>
)
