import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { monthOf } from '../../domain/calendar/month.ts'
import type { Deps } from '../../platform/deps.ts'
import { formKey, page, withFieldProblems } from '../../platform/http/forms.ts'
import { submitting } from '../../platform/http/idempotency.ts'
import { act } from '../../platform/http/request-facts.ts'
import { pageFacts } from '../../standing/page-facts.ts'
import { seenHome } from '../../standing/seen-home.ts'
import { type FieldFault, faultsFrom } from '../../web/error-summary.tsx'
import { Frame } from '../../web/frame.tsx'
import { paths } from '../../web/paths.ts'
import { readTypedDate } from '../../web/read-typed-date.ts'
import { needed, type TypedFields, textIn } from '../../web/typed-fields.ts'
import { OutreachForms, type OutreachStep } from './outreach-forms.tsx'
import { listOutreach, readOutreach } from './outreach-queries.ts'
import { monthSettings, readMonth, wholeMonth } from './queries.ts'
import { recordOutreach, voidOutreach } from './record-outreach.ts'
import { callOutcome, month, type NewOutreach } from './schemas.ts'

const config = { page: ['owner', 'office'] as const }
const params = z.strictObject({ id: z.uuid() })
const querystring = z.object({ month: month.optional().catch(undefined) })
type Failed = { readonly step: OutreachStep; readonly typed: TypedFields; readonly faults: readonly FieldFault[] }

/** What came of calling a home of the month's list. */
export const outreachPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    const schema = { params, querystring }

    app.get(paths.homeMonth(':id'), { config, schema }, async (request, reply) =>
      formsPage(request, reply, request.params.id, null),
    )

    for (const step of ['called', 'put-off'] as const)
      app.post(paths.homeMonthStep(':id', step), { config, schema }, async (request, reply) => {
        const { id } = request.params
        const typed = request.body as TypedFields
        const facts = await pageFacts(request)
        const faults: FieldFault[] = []
        const reading = { now: request.now, zone: facts.zone, ahead: true as const, order: orderIn(facts.country) }
        const said = step === 'called' ? readCall(typed, reading, faults) : readPuttingOff(typed, faults)
        if (!said) return formsPage(request, reply, id, { step, typed, faults })
        const made = await withFieldProblems(() =>
          submitting(request, reply, async tx => {
            await recordOutreach(tx, act(request), id, said)
            return backTo(request)
          }),
        )
        return made.ok ? reply : formsPage(request, reply, id, { step, typed, faults: faultsOf(made.problems) })
      })

    app.post(paths.voidOutreach(':id'), { config, schema }, async (request, reply) => {
      const typed = request.body as TypedFields
      const who = act(request)
      const { id, propertyId } = await readOutreach(db, who, request.params.id)
      const faults: FieldFault[] = []
      const reason = textIn(typed, 'void-reason') || needed(faults, 'void-reason', 'Say why: it stays in the history')
      if (!reason) return formsPage(request, reply, propertyId, { step: 'void', typed, faults })
      await db.transaction(tx => voidOutreach(tx, who, id, Number(textIn(typed, 'version')), reason))
      return reply.redirect(backTo(request), 303)
    })

    async function formsPage(request: FastifyRequest, reply: FastifyReply, homeId: string, failed: Failed | null) {
      const who = act(request)
      await seenHome(db, who, homeId)
      const [{ frame }, settings, [latest]] = await Promise.all([
        pageFacts(request),
        monthSettings(db, request.now),
        standing(who, homeId),
      ])
      const asked = (request.query as z.output<typeof querystring>).month ?? monthOf(settings.today)
      const { homes } = await readMonth(db, who, settings, { ...wholeMonth, month: asked, homeId })
      if (failed) reply.code(422)
      const key = failed ? textIn(failed.typed, '_key') || formKey() : formKey()
      return page(
        reply,
        <Frame {...frame} title="Called, or another month" place="month" faulty={failed !== null}>
          <OutreachForms
            {...{ homeId, settings, failed, month: asked, csrf: frame.csrf }}
            home={homes[0] ?? null}
            keys={failed?.step === 'put-off' ? [formKey(), key] : [key, formKey()]}
            latest={latest ?? null}
          />
        </Frame>,
      )
    }

    const standing = async (who: ReturnType<typeof act>, propertyId: string) =>
      (await listOutreach(db, who, { propertyId, limit: 20 })).filter(({ voidedAt }) => voidedAt === null)
  }

const orderIn = (country: string) => (country === 'US' ? ('month-first' as const) : ('day-first' as const))
const backTo = (request: FastifyRequest) =>
  paths.month({ month: (request.query as z.output<typeof querystring>).month })

type Reading = Parameters<typeof readTypedDate>[1]
function readCall(typed: TypedFields, reading: Reading, faults: FieldFault[]): NewOutreach | null {
  const outcome =
    callOutcome.safeParse(textIn(typed, 'outcome')).data ?? needed(faults, 'outcome', 'Choose what came of it')
  const again = textIn(typed, 'again')
  const day = again === '' ? null : readTypedDate(again, reading)
  if (day === null) needed(faults, 'again', 'Say when to call again')
  if (day && !day.ok) faults.push({ name: 'again', message: day.fault })
  if (!outcome || !day?.ok) return null
  return { kind: 'called', outcome, callAgainOn: day.day, note: textIn(typed, 'note') }
}

function readPuttingOff(typed: TypedFields, faults: FieldFault[]): NewOutreach | null {
  const untilMonth = month.safeParse(textIn(typed, 'until')).data ?? needed(faults, 'until', 'Choose the month')
  const reason =
    textIn(typed, 'reason') || needed(faults, 'reason', 'Say why: the next one to look at the list wants to know')
  return untilMonth && reason ? { kind: 'put-off', untilMonth, reason } : null
}

const fieldOf: Readonly<Record<string, string>> = { callAgainOn: 'again', untilMonth: 'until' }
const faultsOf = (problems: Parameters<typeof faultsFrom>[0]): readonly FieldFault[] =>
  faultsFrom(problems).map(({ name, message }) => ({ name: fieldOf[name] ?? name, message }))
