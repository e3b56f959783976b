import { describe, expect, it } from 'vitest'
import { matchKit } from '../../../src/domain/devices/match-kit.ts'

const kit = (number: string, deviceId = 'lot-1', more: object = {}) => ({
  number,
  deviceId,
  propertyId: 'kestrel',
  answered: false,
  ...more,
})

describe('the kit that a laboratory’s number means', () => {
  it('is the one of that number, however its letters are written', () => {
    const one = kit('AC-7')
    expect(matchKit('ac-7', [kit('AC-8'), one])).toEqual({ fits: 'one', kit: one })
    expect(matchKit('AC-77', [one])).toEqual({ fits: 'none' })
  })

  it('is the one that waits, where the other has its answer', () => {
    const [answered, waiting] = [kit('7', 'lot-1', { answered: true }), kit('7', 'lot-2')]
    expect(matchKit('7', [answered, waiting])).toEqual({ fits: 'one', kit: waiting })
    expect(matchKit('7', [answered])).toEqual({ fits: 'answered', kits: [answered] })
  })

  it('is not guessed between two that wait: the lot or the home tells', () => {
    const two = [kit('7', 'lot-1'), kit('7', 'lot-2', { propertyId: 'quarry' })]
    expect(matchKit('7', two)).toEqual({ fits: 'several', kits: two })
    expect(matchKit('7', two, { deviceId: 'lot-2' })).toEqual({ fits: 'one', kit: two[1] })
    expect(matchKit('7', two, { propertyId: 'kestrel' })).toEqual({ fits: 'one', kit: two[0] })
    expect(matchKit('7', two, { propertyId: 'nowhere' })).toEqual({ fits: 'none' })
  })
})
