import { RecordChart } from '../../src/web/chart/record-chart.tsx'
import { CheckField, RadioField, SelectField } from '../../src/web/choice-field.tsx'
import { DownPage } from '../../src/web/down-page.tsx'
import { ErrorPage } from '../../src/web/error-page.tsx'
import { DateField, Field, NumberField, TimeField } from '../../src/web/field.tsx'
import { FindingList } from '../../src/web/finding-list.tsx'
import { FieldGroup, Form } from '../../src/web/form.tsx'
import { Frame, type FrameProps } from '../../src/web/frame.tsx'
import { HomeownerFrame } from '../../src/web/homeowner-frame.tsx'
import { List } from '../../src/web/list.tsx'
import { QuantityText } from '../../src/web/quantity-text.tsx'
import { SectionDrawing, SectionThumbnail } from '../../src/web/section/section-drawing.tsx'
import { Table, Text } from '../../src/web/table.tsx'
import { Timeline } from '../../src/web/timeline.tsx'
import { VerdictMark } from '../../src/web/verdict-mark.tsx'
import { DueDay } from '../../src/web/when-text.tsx'
import { WorkingView } from '../../src/web/working-view.tsx'
import { completeHome, homeOver, patchyHome, wordyHome } from './homes.ts'
import { findings, level, record, recordStart, today, verdict, zone } from './results.ts'

const company = 'Alder Falls Radon'
const frame = {
  company,
  signedIn: { name: 'Ines Halloran', roles: ['owner'] },
  csrf: 'token',
  here: '/ledger',
} satisfies Partial<FrameProps>

const LedgerLine = ({ late, id }: { late: boolean; id: string }): JSX.Element => (
  <div class="with-thumbnail">
    <SectionThumbnail facts={completeHome} id={id} />
    <p>
      <a href="/homes/1">12 Kestrel Lane, Alder Falls</a>: Ada Birch owes a retest of the family room, because the
      system is two years old. <DueDay day={late ? '2026-03-04' : '2026-04-10'} today={today} />.{' '}
      <a href="/homes/1/tests/new">Plan the test</a>
    </p>
  </div>
)

const ledger = (
  <Frame {...frame} title="Ledger" place="ledger" wide messages={[{ kind: 'done', text: 'The test is recorded.' }]}>
    <h1>What is owed</h1>
    <List
      title="Overdue"
      order="longest first"
      count={2}
      noun={['home', 'homes']}
      items={[<LedgerLine late id="a" />, <LedgerLine late id="b" />]}
      empty={{ text: '' }}
    />
    <List
      title="Devices to pick up"
      order="by day"
      count={0}
      noun={['device', 'devices']}
      items={[]}
      empty={{ text: 'A device that is out in a home would stand here.', href: '/tests/new', step: 'Set one' }}
    />
    <Table
      caption="Homes, by street"
      columns={[{ words: 'Home' }, { words: 'Standing' }, { words: 'Latest', numeric: true }, { words: 'Next due' }]}
      rows={(['below', 'at-or-above', 'needs-follow-up', 'disagreement', 'undetermined'] as const).map(outcome => [
        <a href="/homes/1">12 Kestrel Lane</a>,
        <VerdictMark outcome={outcome} reason="never-tested" level={level} short />,
        <QuantityText value="3.8" unit="pCi/L" />,
        <DueDay day="2026-04-10" today={today} />,
      ])}
    />
  </Frame>
)

const home = (
  <Frame {...frame} title="Home" home="12 Kestrel Lane" place="homes" wide>
    <h1>12 Kestrel Lane</h1>
    <div class="beside">
      <SectionDrawing facts={completeHome} home="12 Kestrel Lane" />
      <div>
        <p>
          <VerdictMark {...verdict} />
        </p>
        <p>
          <QuantityText value="4.1" unit="pCi/L" uncertainty="0.3" /> in the workshop.
        </p>
        <WorkingView working={verdict.working} open />
        <Timeline
          title="History"
          zone={zone}
          today={today}
          entries={[
            { id: '1', when: { at: recordStart, edtf: null }, what: 'Post-mitigation test', href: '/tests/1' },
            { id: '2', when: { at: null, edtf: '2011-21' }, what: 'Fan replaced', corrected: '/homes/1/changes' },
            { id: '3', when: { at: null, edtf: null }, what: 'Passive pipe, by the builder' },
          ]}
        />
      </div>
    </div>
    <h2>The record of 2 March</h2>
    <RecordChart facts={record} />
    <h2>Findings</h2>
    <FindingList findings={findings} zone={zone} />
  </Frame>
)

const faults = [
  { name: 'value', message: '“4,1x” is no number: write it like 3.8' },
  { name: 'on', message: 'Write the day the test ended' },
  { name: 'closed', message: 'Say whether the house was closed up' },
]
const form = (
  <Frame {...frame} title="Record a test" home="12 Kestrel Lane" place="homes" faulty>
    <h1>Record a test</h1>
    <Form action="/x" submit="Record the test" busy="Recording…" csrf="t" faults={faults} cancel={{ href: '/homes/1' }}>
      <FieldGroup legend="Result">
        <NumberField name="value" label="Radon" unit="pCi/L" value="4,1x" faults={faults} />
        <DateField name="on" label="Ended on" value="" faults={faults} />
        <TimeField name="time" label="At" value="2:30 pm" optional />
      </FieldGroup>
      <RadioField
        name="closed"
        label="Was the house closed up?"
        faults={faults}
        choices={[
          { value: 'yes', words: 'Yes', hint: 'Windows shut, doors used only to go in and out' },
          { value: 'no', words: 'No' },
          { value: 'unknown', words: 'Not known' },
        ]}
      />
      <SelectField name="room" label="Room" choices={[{ value: '1', words: 'Family room' }]} empty="Choose the room" />
      <CheckField name="seen" label="Seen there" values={['a']} choices={[{ value: 'a', words: 'Fan running' }]} />
      <Field name="note" label="Note" rows={3} optional value="Old dog, friendly" />
    </Form>
  </Frame>
)

const homeowner = (
  <HomeownerFrame
    title="Your home"
    home="12 Kestrel Lane, Alder Falls"
    company={{
      name: company,
      phone: '+1 507 555 0142',
      email: 'office@alder.example',
      country: 'US',
      cautionAdded: '',
    }}
    scheme={null}
    here="/homeowner"
  >
    <h1>Your home and radon</h1>
    <p>
      <VerdictMark {...verdict} outcome="below" />
    </p>
    <SectionDrawing facts={completeHome} home="12 Kestrel Lane" />
    <WorkingView working={verdict.working} />
  </HomeownerFrame>
)

const sections = (
  <Frame {...frame} title="Sections" place="homes" wide>
    <h1>Foundations</h1>
    {(['basement', 'slab', 'crawl-space', 'garage-slab', 'ground-contact-wall'] as const).map(kind => (
      <SectionDrawing facts={homeOver(kind)} home={kind} id={kind} />
    ))}
    <SectionDrawing facts={homeOver('basement', 'crawl-space', 'slab')} home="mixed" id="mixed" />
    <SectionDrawing facts={patchyHome} home="patchy" id="patchy" />
    <SectionDrawing facts={wordyHome} home="wordy" id="wordy" />
    <SectionDrawing
      facts={{
        ...completeHome,
        systems: completeHome.systems.map(s => ({ ...s, pipe: { id: 'p', route: 'outside' } })),
      }}
      home="outside"
      id="outside"
    />
  </Frame>
)

const conflict = (
  <Frame {...frame} title="Changed by somebody else">
    <ErrorPage
      status={412}
      requestId="01979e2a"
      versions={{ yours: <Text>Phone 555 0142</Text>, theirs: <Text>Phone 555 0199</Text> }}
    />
  </Frame>
)

/** Pages that show every component in use, by address. */
export const gallery: Readonly<Record<string, JSX.Element>> = {
  '/ledger': ledger,
  '/home': home,
  '/form': form,
  '/homeowner': homeowner,
  '/sections': sections,
  '/conflict': conflict,
  '/down': <DownPage requestId="01979e2a" company={company} />,
}
