import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { closingOf } from '../../src/domain/closing/closing-of.ts'
import type { ClosingQuestion } from '../../src/domain/closing/closing-question.ts'
import type { ResolvedPolicy } from '../../src/domain/policy/resolved-policy.ts'
import { aClosing, chicago, eightToFive, feasible, infeasible, on, shown, wallOf } from '../support/closings.ts'
import { lawOf } from '../support/laws.ts'

const minute = 60_000
const verdict = (over: Partial<ClosingQuestion>) => closingOf(aClosing(over)).verdict
const everyDay = { zone: chicago, week: Array(7).fill(eightToFive), holidays: [] }
const bindsOf = (over: Partial<ClosingQuestion>) => closingOf(aClosing(over)).binds.map(({ text }) => text)

/** The law with some rules taken away or given another value. */
function lawWith(change: Partial<Record<string, unknown>>): ResolvedPolicy {
  const law = lawOf('US', 'home', '2026-03-02')
  const rules = Object.fromEntries(
    Object.entries({ ...law.rules }).flatMap(([name, rule]) => {
      if (!(name in change)) return [[name, rule]]
      return change[name] === null ? [] : [[name, { ...rule, value: change[name] }]]
    }),
  )
  return { ...law, rules }
}

describe('“we close Friday at ten: can you fix it and have a result?”', () => {
  // MAH-2019 7.3.2: 24 h after fan start, the building closed for 12 h; EPA checklist: at least 48 h. By hand:
  // back from Friday 10:00: an hour of reporting, half an hour of picking up, 48 h, 24 h, an installation of six hours.
  it('asked on Monday at eight is answered with every step at the earliest and at the latest', () => {
    const answer = closingOf(aClosing())
    expect(shown(answer)).toEqual({
      install: 'Mon 2026-03-02 08:00 to Mon 2026-03-02 11:00',
      fanStart: 'Mon 2026-03-02 14:00 to Mon 2026-03-02 17:00',
      closed: 'Mon 2026-03-02 14:00 to Tue 2026-03-03 20:30',
      set: 'Tue 2026-03-03 14:00 to Wed 2026-03-04 08:30',
      pickUp: 'Thu 2026-03-05 14:00 to Fri 2026-03-06 08:30',
      report: 'Thu 2026-03-05 15:30 to Fri 2026-03-06 10:00',
    })
    expect(feasible(answer).slackMs).toBe(3 * 60 * minute)
  })

  it('is yes while the installation can begin by Monday at eleven, and no a quarter of an hour later', () => {
    expect(feasible(closingOf(aClosing({ now: on('2026-03-02 11:00') }))).slackMs).toBe(0)
    const late = infeasible(closingOf(aClosing({ now: on('2026-03-02 11:01') })))
    expect(late.plan?.visits.map(({ purpose, from }) => `${purpose} ${wallOf(from)}`)).toEqual([
      'installation Tue 2026-03-03 08:00',
      'set-device Wed 2026-03-04 13:30',
      'pick-up-device Fri 2026-03-06 14:00',
    ])
    expect(wallOf(late.plan!.reportAt!)).toBe('Fri 2026-03-06 15:30')
  })

  it('is yes to the minute of the deadline that the earliest report needs', () => {
    expect(verdict({ deadline: on('2026-03-05 15:30') })).toBe('feasible')
    expect(verdict({ deadline: on('2026-03-05 15:30') - minute })).toBe('infeasible')
  })

  it.each([
    ['fan must have run', { fanRunningHours: 25, postMitigationEarliestHours: 24 }, 'Tue 2026-03-03 15:00'],
    [
      'test may begin after the start',
      { fanRunningHours: 24, postMitigationEarliestHours: 26 },
      'Tue 2026-03-03 16:00',
    ],
    ['building must have been closed', { closedBeforeHours: 27 }, 'Tue 2026-03-03 17:00'],
  ])('follows the hours that the %s in the rules of the home', (_, rules, set) => {
    const answer = feasible(closingOf(aClosing({ law: lawWith(rules) })))
    expect(wallOf(answer.windows.set.earliest)).toBe(set)
  })

  it('leaves the waits of short tests out of a test that is no short one: from 96 h on, none of its own', () => {
    const minimumHours = { 'continuous-monitor': 96 }
    const deadline = on('2026-03-20 10:00')
    const short = { 'continuous-monitor': 95.75 }
    const closedBefore = (hours: object) => {
      const { windows } = feasible(closingOf(aClosing({ deadline, law: lawWith({ minimumHours: hours }) })))
      return windows.set.latest - windows.closed.latest
    }
    expect([closedBefore(short), closedBefore(minimumHours)]).toEqual([12 * 60 * minute, 0])
  })

  it('is read out with its working: each step, its clause, and what binds', () => {
    const answer = closingOf(aClosing())
    const set = answer.workings.find(({ title }) => title === 'Setting the device')!
    expect(set.lines).toEqual([
      { left: 'fan start + 24 h', relation: '=', right: 'Tue 2026-03-03 14:00', note: 'at the earliest' },
      { left: 'pick-up − 48 h', relation: '=', right: 'Wed 2026-03-04 08:30', note: 'at the latest' },
    ])
    expect(answer.workings.find(({ title }) => title === 'Pick-up')?.rule?.clause).toBe('at least 48 hours')
    const fan = answer.workings.find(({ title }) => title === 'Fan start')!
    expect(fan.lines.slice(1)).toEqual([
      { left: 'set − 24 h', relation: '=', right: 'Tue 2026-03-03 08:30', note: 'at the latest' },
      { left: '', relation: '→', right: 'Mon 2026-03-02 17:00', note: 'working hours' },
    ])
    expect(answer.binds.map(({ text }) => text)).toContain('a test of at least 48 h')
    expect(answer.binds.map(({ text }) => text)).toContain('the installation: working hours')
  })
})

describe('hours, holidays and people', () => {
  it('no pick-up is proposed at night: one that would fall there waits for the morning', () => {
    // The fan of an evening shift starts at 20:00; the shift of the next days ends at 17:00.
    const week = [[{ from: '14:00', until: '20:00' }], ...Array(6).fill(eightToFive)]
    const answer = feasible(
      closingOf(
        aClosing({ hours: { ...everyDay, week }, now: on('2026-03-02 14:00'), deadline: on('2026-03-07 12:00') }),
      ),
    )
    expect(wallOf(answer.windows.fanStart!.earliest)).toBe('Mon 2026-03-02 20:00')
    expect(wallOf(answer.windows.set.earliest)).toBe('Wed 2026-03-04 08:30')
    expect(wallOf(answer.windows.pickUp.earliest)).toBe('Fri 2026-03-06 08:30')
  })

  it('a holiday is no working day, and is named where it costs the answer', () => {
    const holidays = [{ day: '2026-03-05', name: 'Founders’ Day' }]
    const over = { hours: { ...aClosing().hours, holidays } }
    const late = infeasible(closingOf(aClosing({ ...over, deadline: on('2026-03-05 16:00') })))
    expect(wallOf(late.plan!.pickUpAt)).toBe('Fri 2026-03-06 08:00')
    expect(late.binds.map(({ text }) => text)).toContain('the pick-up: Founders’ Day')
    expect(verdict({ ...over, deadline: on('2026-03-06 09:30') })).toBe('feasible')
    expect(verdict({ ...over, deadline: on('2026-03-06 09:30') - minute })).toBe('infeasible')
  })

  it('an installation goes on after a break of the day, not after a visit elsewhere', () => {
    const week = [
      [
        { from: '08:00', until: '12:00' },
        { from: '13:00', until: '17:00' },
      ],
      ...Array(6).fill(eightToFive),
    ]
    const hours = { ...everyDay, week }
    const fanStart = (busy: readonly { from: number; until: number }[]) =>
      wallOf(
        feasible(
          closingOf(aClosing({ hours, deadline: on('2026-03-10 10:00'), crews: [{ id: 'jo', name: 'Jo', busy }] })),
        ).windows.fanStart!.earliest,
      )
    expect(fanStart([])).toBe('Mon 2026-03-02 15:00')
    expect(fanStart([{ from: on('2026-03-02 12:15'), until: on('2026-03-02 12:45') }])).toBe('Tue 2026-03-03 14:00')
  })

  it('a visit of one crew leaves the step to another; of all, it moves the step and is told', () => {
    const away = [{ from: on('2026-03-02 08:00'), until: on('2026-03-02 09:00') }]
    const two = [
      { id: 'jo', name: 'Jo', busy: away },
      { id: 'wes', name: 'Wes', busy: [] },
    ]
    const answer = feasible(closingOf(aClosing({ crews: two })))
    expect(answer.plan.visits[0]).toMatchObject({ from: on('2026-03-02 08:00'), crewId: 'wes' })
    const one = closingOf(aClosing({ crews: two.slice(0, 1), deadline: on('2026-03-05 15:30') }))
    expect(infeasible(one).binds.map(({ text }) => text)).toContain('the installation: crews are elsewhere')
  })

  it('an office in another zone works by its own clock; the answer is the same instant at the home', () => {
    const hours = { ...aClosing().hours, zone: 'America/Denver' }
    const answer = feasible(closingOf(aClosing({ hours })))
    expect(wallOf(answer.windows.install!.earliest, 'America/Denver')).toBe('Mon 2026-03-02 08:00')
    expect(wallOf(answer.windows.install!.earliest)).toBe('Mon 2026-03-02 09:00')
  })

  it('without working hours, or with an installation longer than any day, there is no plan and it is said why', () => {
    expect(bindsOf({ hours: { ...everyDay, week: Array(7).fill([]) } })).toEqual(['no working hours are set'])
    const durations = { ...aClosing().durations, installMinutes: 541 }
    expect(bindsOf({ durations })).toEqual(['no working day has room for every step'])
  })
})

describe('nights of a clock change', () => {
  // In spring 2026 the clock of Chicago skips from 02:00 to 03:00 on 8 March; in autumn it goes back on 1 November.
  it.each([
    ['spring', '2026-03-06 08:00', 'Mon 2026-03-09 15:00', 47],
    ['autumn', '2026-10-30 08:00', 'Mon 2026-11-02 13:00', 49],
  ])(
    'forty-eight hours over the one in %s are forty-eight hours, whatever the clock shows',
    (_, now, pickUp, shownHours) => {
      const deadline = on(now) + 10 * 24 * 60 * minute
      const { windows } = feasible(closingOf(aClosing({ now: on(now), deadline, hours: everyDay })))
      expect(wallOf(windows.pickUp.earliest)).toBe(pickUp)
      const set = DateTime.fromMillis(windows.set.earliest, { zone: chicago })
      const stop = DateTime.fromMillis(windows.pickUp.earliest, { zone: chicago })
      expect(stop.diff(set, 'hours').hours).toBe(48)
      expect(
        stop.setZone('UTC', { keepLocalTime: true }).diff(set.setZone('UTC', { keepLocalTime: true }), 'hours').hours,
      ).toBe(96 - shownHours)
    },
  )

  it('working hours that the clock skips are not there to work in', () => {
    const night = [{ from: '02:00', until: '03:00' }]
    const week = [...Array(6).fill([]), night]
    const hours = { ...everyDay, week }
    const durations = { ...aClosing().durations, reportMinutes: 0, setMinutes: 15, pickUpMinutes: 15 }
    const asked = { asks: 'result' as const, hours, durations, deadline: on('2026-03-31 10:00') }
    const { windows } = feasible(closingOf(aClosing({ ...asked, now: on('2026-03-01 04:00') })))
    expect(wallOf(windows.set.earliest)).toBe('Sun 2026-03-15 02:15')
  })
})

describe('a result without a fix', () => {
  const asks = 'result' as const

  it('of a home without a system waits for the closed building only', () => {
    const answer = closingOf(aClosing({ asks }))
    expect(shown(answer)).toMatchObject({
      closed: 'Mon 2026-03-02 08:00 to Tue 2026-03-03 20:30',
      // Closed from eight for twelve hours is eight in the evening: the device is set the next morning.
      set: 'Tue 2026-03-03 08:30 to Wed 2026-03-04 08:30',
    })
    expect(feasible(answer).plan.visits.map(({ purpose }) => purpose)).toEqual(['set-device', 'pick-up-device'])
  })

  it('of a home whose fan came on this morning waits for the fan', () => {
    const start = on('2026-03-02 07:00')
    const late = on('2026-03-02 08:00')
    const set = (fanStart: number) =>
      wallOf(
        feasible(closingOf(aClosing({ asks, mitigated: true, fanStart: { earliest: start, latest: fanStart } })))
          .windows.set.earliest,
      )
    expect([set(start), set(late + 60 * minute)]).toEqual(['Tue 2026-03-03 08:30', 'Tue 2026-03-03 09:00'])
  })

  it('by kit is in hand when the laboratory’s days are over: both sides of the deadline', () => {
    const over = { asks, method: 'activated-charcoal' as const, devices: null }
    // Set Tuesday 08:30, picked up Thursday 5 March 08:30; four whole days for post and laboratory end on Monday 9 March,
    // and an hour of reporting on Tuesday.
    expect(verdict({ ...over, deadline: on('2026-03-10 09:00') })).toBe('feasible')
    expect(verdict({ ...over, deadline: on('2026-03-10 09:00') - minute })).toBe('infeasible')
  })

  it('needs a device that is in calibration on the day of the pick-up', () => {
    const device = (goodUntil: string) => ({ asks, devices: [{ id: 'm', name: 'Monitor', goodUntil }] })
    expect(verdict(device('2026-03-05'))).toBe('feasible')
    expect(verdict(device('2026-03-04'))).toBe('infeasible')
    expect(bindsOf(device('2026-03-04'))).toContain('no device is free and in calibration for so long')
    expect(bindsOf({ asks, devices: [] })).toEqual(['no device of this method is free and in calibration'])
  })
})

describe('“the post-mitigation test must be done by …”', () => {
  const started = on('2026-02-10 15:00')
  const asked = {
    asks: 'post-mitigation-test' as const,
    mitigated: true,
    fanStart: { earliest: started, latest: started },
    deadline: null,
  }

  it('ends by the last working moment of the thirtieth day after the fan start, by another calendar', () => {
    const answer = feasible(closingOf(aClosing(asked)))
    const last = DateTime.fromMillis(started, { zone: chicago }).plus({ days: 30 }).endOf('day')
    expect(answer.deadline).toBe(last.toMillis())
    expect(wallOf(answer.windows.pickUp.latest)).toBe('Thu 2026-03-12 16:30')
    expect(wallOf(answer.windows.set.latest)).toBe('Tue 2026-03-10 16:30')
    expect(answer.binds[0]).toMatchObject({
      text: 'done within 30 days of the fan start',
      rule: { clause: 'test within 30 days of installation' },
    })
  })

  it('keeps to the rule where the day that was given lies beyond it, and to the day where it lies before', () => {
    const latest = (deadline: number) =>
      wallOf(feasible(closingOf(aClosing({ ...asked, deadline }))).windows.pickUp.latest)
    expect(latest(on('2026-03-20 12:00'))).toBe('Thu 2026-03-12 16:30')
    expect(latest(on('2026-03-09 12:00'))).toBe('Mon 2026-03-09 12:00')
  })

  it('where the day of the rule is past counts the day that was given, and says that it is past', () => {
    const fanStart = { earliest: on('2026-01-30 15:00'), latest: on('2026-01-30 15:00') }
    const answer = closingOf(aClosing({ ...asked, fanStart, deadline: on('2026-03-06 12:00') }))
    expect(wallOf(feasible(answer).windows.pickUp.latest)).toBe('Fri 2026-03-06 12:00')
    expect(answer.notes.join(' ')).toContain('by Sun 2026-03-01 23:59, which is past')
    // Without a day of its own there is only the one that is past: the earliest plan is told all the same.
    const late = infeasible(closingOf(aClosing({ ...asked, fanStart })))
    expect(wallOf(late.plan!.pickUpAt)).toBe('Thu 2026-03-05 08:30')
  })

  it('names the rule where its day comes too soon', () => {
    const fanStart = { earliest: on('2026-02-02 15:00'), latest: on('2026-02-02 15:00') }
    expect(infeasible(closingOf(aClosing({ ...asked, fanStart }))).binds[0]?.text).toBe(
      'done within 30 days of the fan start',
    )
  })

  it('is undetermined where neither a day nor the fan’s start is known', () => {
    const answer = closingOf(aClosing({ ...asked, fanStart: null }))
    expect(answer).toMatchObject({
      verdict: 'undetermined',
      reason: expect.stringContaining('fan’s start is not on record'),
    })
  })
})

describe('a rule that is not there', () => {
  it('for the least length leaves the answer undetermined, and says so', () => {
    const answer = closingOf(aClosing({ law: lawWith({ minimumHours: null }) }))
    expect(answer).toMatchObject({ verdict: 'undetermined', reason: expect.stringContaining('no rule known') })
    expect(verdict({ law: null })).toBe('undetermined')
  })

  it.each([
    ['the fan', { fanRunningHours: null, postMitigationEarliestHours: null }, 'For how long the fan must run'],
    [
      'closing the building',
      { closedBeforeHours: null, closedDuringUpToHours: null },
      'For keeping the building closed',
    ],
    ['the window', { postMitigationWithin: null }, 'For how soon after the fan start'],
  ])('for %s is told as not known, and no number is put in its place', (_, rules, said) => {
    const answer = closingOf(aClosing({ law: lawWith(rules) }))
    expect(answer.notes.find(note => note.startsWith(said))).toContain('no rule known')
  })

  it('none of them being there, a device is set when the installer has time to set it', () => {
    const law = lawWith({ fanRunningHours: null, postMitigationEarliestHours: null, closedBeforeHours: null })
    expect(wallOf(feasible(closingOf(aClosing({ law }))).windows.set.earliest)).toBe('Mon 2026-03-02 14:30')
  })
})

it('where only a long-term test decides, a short one is said to decide nothing', () => {
  const said = (jurisdiction: string) =>
    closingOf(aClosing({ law: lawOf(jurisdiction, 'home', '2026-03-02') })).notes.some(note =>
      note.includes('decides nothing'),
    )
  expect([said('CA'), said('US')]).toEqual([true, false])
})
