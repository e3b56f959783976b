import type { FastifyReply, FastifyRequest } from 'fastify'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import { page } from '../../platform/http/forms.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { Frame } from '../../web/frame.tsx'
import { clockWords } from '../../web/instant-words.ts'
import { paths } from '../../web/paths.ts'
import { HandOverView } from './person-view.tsx'
import { tokenLifetime } from './staff-token.ts'

/** Shows a one-time link, once, to whoever may hand it over. */
export async function handOver(request: FastifyRequest, reply: FastifyReply, name: string, secret: string) {
  const { frame, zone } = await pageFacts(request)
  const until = request.now + tokenLifetime.setup
  const link = `${request.deps.config.publicUrl}${paths.setPassword(secret)}`
  const untilWords = `${localDayOf(until, zone)}, ${clockWords(until, zone)}`
  return page(
    reply,
    <Frame {...frame} title="Hand this link over" place="office">
      <HandOverView name={name} link={link} until={untilWords} />
    </Frame>,
  )
}
