import { describe, expect, it } from 'vitest'
import { likelySamePerson } from '../../../src/domain/people/likely-same-person.ts'
import { formerDetails, mergedDetails, type PersonDetails } from '../../../src/domain/people/merged-details.ts'
import { ownershipsAfter, partsAfter, type Time } from '../../../src/domain/people/times-after-merge.ts'

const merge = { fromId: 'double', toId: 'kept' }
const time = (id: string, customerId: string, fromOn: string | null, untilOn: string | null, part = 'owner'): Time => ({
  ...{ id, customerId, fromOn, untilOn, part },
  propertyId: 'home',
})

describe('two histories of owning one home', () => {
  it('become one where the second begins on the day the first ends', () => {
    const owners = [time('a', 'kept', null, '2020-05-01'), time('b', 'double', '2020-05-01', null)]
    expect(ownershipsAfter(owners, merge)).toEqual([
      { id: 'b', gone: true },
      { id: 'a', untilOn: null },
    ])
  })

  it('become one without the gap in which nobody is on record', () => {
    const owners = [time('a', 'double', '2001-03-01', '2010-01-01'), time('b', 'kept', '2012-06-01', '2020-01-01')]
    expect(ownershipsAfter(owners, merge)).toEqual([
      { id: 'b', gone: true },
      { id: 'a', customerId: 'kept', untilOn: '2020-01-01' },
    ])
  })

  it('stay two where somebody else owned it in between', () => {
    const owners = [
      time('a', 'double', null, '2010-01-01'),
      time('x', 'stranger', '2010-01-01', '2012-06-01'),
      time('b', 'kept', '2012-06-01', null),
    ]
    expect(ownershipsAfter(owners, merge)).toEqual([{ id: 'a', customerId: 'kept' }])
  })

  it('are left alone where the doubled entry owns nothing of the home', () => {
    const owners = [time('a', 'kept', null, '2010-01-01'), time('b', 'kept', '2012-01-01', null)]
    expect(ownershipsAfter(owners, merge)).toEqual([])
  })

  it('do not depend on the order in which they are read', () => {
    const owners = [
      time('a', 'double', null, '2010-01-01'),
      time('b', 'kept', '2010-01-01', '2015-01-01'),
      time('c', 'double', '2015-01-01', null),
    ]
    expect(ownershipsAfter([...owners].reverse(), merge)).toEqual(ownershipsAfter(owners, merge))
  })
})

describe('two parts in the same', () => {
  it('become one where they overlap, with the longer end, and stay two where days lie between', () => {
    const overlapping = [
      time('a', 'kept', '2020-01-01', '2021-01-01', 'tenant'),
      time('b', 'double', '2020-06-01', null, 'tenant'),
    ]
    expect(partsAfter(overlapping, [], merge)).toEqual([
      { id: 'b', gone: true },
      { id: 'a', untilOn: null },
    ])
    const apart = [
      time('a', 'kept', '2020-01-01', '2021-01-01', 'tenant'),
      time('b', 'double', '2021-01-02', null, 'tenant'),
    ]
    expect(partsAfter(apart, [], merge)).toEqual([{ id: 'b', customerId: 'kept' }])
  })

  it('stay apart where they are parts of another kind', () => {
    const parts = [time('a', 'kept', null, null, 'occupant'), time('b', 'double', null, null, 'tenant')]
    expect(partsAfter(parts, [], merge)).toEqual([{ id: 'b', customerId: 'kept' }])
  })

  it('are none where somebody would own a home beside themselves', () => {
    const beside = [time('b', 'double', null, null, 'co-owner')]
    expect(partsAfter(beside, [time('a', 'kept', '2001-01-01', null)], merge)).toEqual([
      { id: 'b', customerId: 'kept' },
    ])
    expect(partsAfter(beside, [time('a', 'kept', null, null)], merge)).toEqual([{ id: 'b', gone: true }])
  })
})

describe('two people are likely one', () => {
  const ann = { name: 'Ann O’Brien', phone: '+12185550142', email: 'ann@home.example', towns: ['Duluth'] }
  it.each([
    [{ ...ann, email: null, towns: [] }, 'the phone is the same, and the name is too'],
    [{ ...ann, phone: null, email: 'ANN@home.example' }, 'the mail address is the same, and the name is too'],
    [{ ...ann, name: 'Obrien, Anne' }, 'the phone and the mail address are the same, and the names are almost alike'],
    [{ ...ann, name: 'Ben Holm', email: null }, 'the phone is the same, but the names differ'],
    [
      { name: 'OBRIEN ANN', phone: null, email: null, towns: ['duluth'] },
      'the name is the same, and both are of Duluth',
    ],
  ])('%j: %s', (other, why) => expect(likelySamePerson(ann, other)).toBe(why))

  it.each([
    { name: 'Ann O’Brien', phone: null, email: null, towns: ['Superior'] },
    { name: 'Ann O’Brien', phone: null, email: null, towns: [''] },
    { name: 'Anna O’Brien', phone: '+12185550143', email: null, towns: ['Duluth'] },
  ])('not: %j', other => expect(likelySamePerson(ann, other)).toBeNull())
})

describe('the details of one person out of two entries', () => {
  const kept: PersonDetails = {
    ...{
      kind: 'person',
      name: 'Ann Holm',
      email: 'ann@old.example',
      phone: null,
      language: 'en',
      preferredChannel: 'email',
    },
    ...{ street: '', city: '', region: '', postcode: '', country: '', note: 'Rings twice' },
    ...{ mailsStoppedAt: null, mailRefusedAt: 5, mailRefusal: '550 no such user' },
  }
  const other: PersonDetails = {
    ...{ ...kept, name: 'Anne Holm', email: 'anne@new.example', phone: '+12185550142', language: 'fr-CA' },
    ...{ street: '8 Alder Street', city: 'Duluth', note: 'Dog' },
    ...{ mailsStoppedAt: 9, mailRefusedAt: null, mailRefusal: null },
  }

  it('come from the entry that stays, and from the other where that knows nothing', () => {
    expect(mergedDetails(kept, other, {})).toEqual({
      ...kept,
      phone: '+12185550142',
      street: '8 Alder Street',
      city: 'Duluth',
      note: 'Rings twice\nDog',
      mailsStoppedAt: 9,
    })
  })

  it('come from the entry that was chosen, a refusal with its address', () => {
    const now = mergedDetails(kept, other, { email: 'other', name: 'other', phone: 'kept', note: 'kept' })
    expect(now).toMatchObject({ name: 'Anne Holm', email: 'anne@new.example', phone: null, note: 'Rings twice' })
    expect(now).toMatchObject({ mailRefusedAt: null, mailRefusal: null, language: 'en' })
    expect(formerDetails(kept, other, now)).toEqual([
      { field: 'name', value: 'Ann Holm' },
      { field: 'email', value: 'ann@old.example' },
      { field: 'phone', value: '+12185550142' },
    ])
  })

  it.each([
    [null, 9],
    [9, null],
    [12, 9],
  ])('keep mails stopped that were stopped under either: %j and %j', (a, b) =>
    expect(mergedDetails({ ...kept, mailsStoppedAt: a }, { ...other, mailsStoppedAt: b }, {}).mailsStoppedAt).toBe(9),
  )
})
