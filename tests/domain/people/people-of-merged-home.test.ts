import { describe, expect, it } from 'vitest'
import { type Around, peopleOfMergedHome } from '../../../src/domain/people/people-of-merged-home.ts'

const time = (
  id: string,
  customerId: string,
  fromOn: string | null,
  untilOn: string | null,
  role = 'owner',
): Around => ({
  ...{ id, customerId, role, fromOn, untilOn },
})
const nothing = { doubled: [], longer: [], moved: [], left: [] }

describe('the people of a doubled home, when it goes into the one that stays', () => {
  it.each([
    {
      title: 'an owner of days that are free there goes along',
      doubled: [time('a', 'ann', '2010-01-01', '2015-06-01')],
      kept: [time('b', 'bob', '2015-06-01', null)],
      becomes: { ...nothing, moved: ['a'] },
    },
    {
      title: 'an owner stays behind where the kept home names another for one of the days',
      doubled: [time('a', 'ann', '2010-01-01', '2015-06-02')],
      kept: [time('b', 'bob', '2015-06-01', null)],
      becomes: { ...nothing, left: ['a'] },
    },
    {
      title: 'the same owner stands there once, from the earlier day on',
      doubled: [time('a', 'ann', '2018-03-01', null)],
      kept: [time('b', 'ann', '2020-05-01', null)],
      becomes: { ...nothing, doubled: ['a'], longer: [{ id: 'b', fromOn: '2018-03-01', untilOn: null }] },
    },
    {
      title: 'a known first day takes the place of an unknown one, and an unknown one of none',
      doubled: [time('a', 'ann', '2018-03-01', null), time('c', 'cy', null, '2000-01-01', 'tenant')],
      kept: [time('b', 'ann', null, null), time('d', 'cy', '1990-01-01', '2000-01-01', 'tenant')],
      becomes: { ...nothing, doubled: ['a', 'c'], longer: [{ id: 'b', fromOn: '2018-03-01', untilOn: null }] },
    },
    {
      title: 'the same owner’s time is not drawn out over somebody else’s',
      doubled: [time('a', 'ann', '2010-01-01', null)],
      kept: [time('b', 'bob', '2012-01-01', '2020-01-01'), time('c', 'ann', '2020-01-01', null)],
      becomes: { ...nothing, doubled: ['a'] },
    },
    {
      title: 'tenants may be there together, and one person in two parts',
      doubled: [time('a', 'ann', null, null, 'tenant'), time('e', 'bob', null, null, 'occupant')],
      kept: [time('b', 'bob', null, null, 'tenant')],
      becomes: { ...nothing, moved: ['a', 'e'] },
    },
  ])('$title', ({ doubled, kept, becomes }) => {
    expect(peopleOfMergedHome(doubled, kept)).toEqual(becomes)
  })
})
