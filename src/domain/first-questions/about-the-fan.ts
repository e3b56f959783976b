import type { CallFacts, FirstQuestion } from './call-facts.ts'
import { ageWords } from './fan-age.ts'

// From this age on a worn fan is thought of first.
const oldFanYears = 10

/** What is said of the fan where it may be the cause. */
export function wornWords({ fanAge }: CallFacts): string {
  if (fanAge === null) return 'How old the fan is, is not on record: ask what stands on it.'
  const age = `The fan is ${ageWords(fanAge)}`
  if (fanAge.atLeast >= oldFanYears) return `${age}: bring a fan of its kind.`
  return fanAge.atMost >= oldFanYears ? `${age}: it may be worn.` : `${age}: wear is not the first thing to think of.`
}

export const humAndAir = (facts: CallFacts): FirstQuestion => ({
  key: 'hum-and-air',
  ask: 'Can you hear the fan hum, and feel air where the pipe ends outside?',
  why: 'It tells a fan that stands still from a gauge or an alarm that only says so.',
  meanings: [
    { answer: 'No hum', means: `No current, or the fan is dead. ${wornWords(facts)}` },
    {
      answer: 'A hum, but no air',
      means: 'The fan is seized, its capacitor failed, or the outlet is iced or blocked.',
    },
    {
      answer: 'A hum and air',
      means: 'The fan works: look at the tube, the fluid and the resting zero of the gauge, or at the alarm itself.',
    },
  ],
  source: null,
})

export const current: FirstQuestion = {
  key: 'current',
  ask: 'Is the fan plugged in and switched on, and has a breaker or an outlet with a reset button tripped?',
  why: 'Lost current is the one cause that the caller can often mend alone, without a visit.',
  meanings: [
    { answer: 'Off, unplugged or tripped', means: 'Switch it on once and look at the gauge again.' },
    { answer: 'It trips again', means: 'Leave it off: a fault in the fan or its wiring. A visit, soon.' },
    { answer: 'All is on', means: 'The fan itself, or what it is wired through. A visit.' },
  ],
  source: null,
}
