import { describe, expect, it } from 'vitest'
import { receiversOf } from '../../src/domain/work-parties/result-receivers.ts'
import type { WorkPart, WorkParty } from '../../src/domain/work-parties/work-party.ts'

const today = '2026-06-15'
const party = (
  customerId: string,
  part: WorkPart,
  firstOn: string | null = null,
  lastOn: string | null = null,
): WorkParty => ({ customerId, part, firstOn, lastOn })

describe('who may be sent the result of a test', () => {
  const table: readonly (readonly [string, readonly WorkParty[], string | null, string, readonly string[]])[] = [
    ['nobody is on record and no owner', [], null, 'nobody', []],
    ['nobody is on record', [], 'owner', 'owner', ['owner']],
    ['somebody only pays', [party('agent', 'pays')], 'owner', 'owner', ['owner']],
    ['a buyer ordered it', [party('buyer', 'ordered')], 'owner', 'ordered', ['buyer']],
    ['the buyer’s agent is named', [party('buyer', 'ordered'), party('agent', 'may-see')], 'owner', 'named', ['agent']],
    ['two are named', [party('buyer', 'may-see'), party('agent', 'may-see')], 'owner', 'named', ['buyer', 'agent']],
    ['one is named twice', [party('agent', 'may-see'), party('agent', 'may-see')], 'owner', 'named', ['agent']],
    ['it is the last day', [party('agent', 'may-see', null, '2026-06-15')], 'owner', 'named', ['agent']],
    ['it is the day after', [party('agent', 'may-see', null, '2026-06-14')], 'owner', 'named', []],
    ['it is the first day', [party('agent', 'may-see', '2026-06-15')], 'owner', 'named', ['agent']],
    ['it is the day before', [party('agent', 'may-see', '2026-06-16')], 'owner', 'named', []],
    ['the order is over', [party('buyer', 'ordered', null, '2026-06-14')], 'owner', 'owner', ['owner']],
  ]
  it.each(table)('where %s', (_, parties, owner, because, customerIds) => {
    expect(receiversOf(parties, owner, today)).toEqual({ because, customerIds })
  })
})
