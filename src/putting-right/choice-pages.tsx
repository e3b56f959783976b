import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { localDayOf } from '../domain/calendar/local-day.ts'
import type { Deps } from '../platform/deps.ts'
import { page } from '../platform/http/forms.ts'
import { act } from '../platform/http/request-facts.ts'
import { pageFacts } from '../standing/page-facts.ts'
import { Frame } from '../web/frame.tsx'
import { List } from '../web/list.tsx'
import { paths } from '../web/paths.ts'
import { listCorrections } from './correction-queries.ts'
import { CorrectionLine } from './correction-view.tsx'
import { nounsToPutRight, recordToPutRight, titleOf } from './record-to-put-right.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ noun: z.enum(nounsToPutRight), id: z.uuid() })

/** What can be put right of a record, and what was. */
export const choicePages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(paths.putRight(':noun', ':id'), { config, schema: { params } }, async (request, reply) => {
      const who = act(request)
      const { noun, id } = request.params
      const [record, corrections, { frame, zone }] = await Promise.all([
        recordToPutRight(db, who, noun, id),
        listCorrections(db, who, { nounId: id, limit: 50 }),
        pageFacts(request),
      ])
      const today = localDayOf(request.now, zone)
      return page(
        reply,
        <Frame {...frame} title={titleOf('Put right', noun, record)} home={record.address} place="homes">
          <h1>Put right</h1>
          <p class="under-title" safe>
            {noun === 'property' ? record.address : `${record.subject}, ${record.address}`}
          </p>
          {record.voided ? <p class="note">It is voided and counts for nothing.</p> : <Choices noun={noun} id={id} />}
          <List
            title="What was put right"
            order="newest first"
            count={corrections.length}
            noun={['correction', 'corrections']}
            items={corrections.map(correction => <CorrectionLine {...{ correction, zone, today }} />)}
            empty={{ text: 'Nothing was put right of this yet. Whatever is can be undone from here.' }}
          />
          <p>
            <a href={paths.corrections()}>All corrections</a>
          </p>
        </Frame>,
      )
    })
  }

const Choices = ({ noun, id }: { noun: string; id: string }): JSX.Element => (
  <ul class="links">
    {noun === 'property' ? (
      <li>
        <a href={paths.putRightStep(noun, id, 'merge')}>It stands here twice: merge it into the other entry</a>
      </li>
    ) : (
      <li>
        <a href={paths.putRightStep(noun, id, 'move')}>It belongs to another home: move it there</a>
      </li>
    )}
    <li>
      <a href={paths.putRightStep(noun, id, 'void')}>
        {noun === 'property'
          ? 'It should not be here at all: void it with all that hangs on it'
          : 'It should not count: void it'}
      </a>
    </li>
  </ul>
)
