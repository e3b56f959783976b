import { baselineWords } from '../baseline/baseline.ts'
import type { CallFacts, FirstQuestion, Meaning } from './call-facts.ts'

const same: Meaning = {
  answer: 'About the same',
  means: 'The fan pulls as it did. A break in the pipe above the fan does not show here.',
}
const sameAsAdopted: Meaning = {
  answer: 'About the same',
  means: 'The fan pulls as on the day the value was adopted. How it pulled when it was started is not on record.',
}
const offTheBaseline: readonly Meaning[] = [
  {
    answer: 'Lower',
    means:
      'A worn or wrong fan, a leak below the fan, a lid or a hole in the floor left open; in frost an iced outlet.',
  },
  { answer: 'Higher', means: 'Water or a block under the floor or low in the pipe: less air comes through.' },
]
const atZero: Meaning = {
  answer: 'Zero',
  means: 'No suction: current, fan or a blocked outlet; or the tube of the gauge has come off.',
}

const passiveZero: Meaning = { answer: 'Zero', means: 'What a pipe without a fan shows at rest.' }

/** What the gauge shows, held against this home's own value: there is no figure that is right everywhere. */
export function gaugeNow({ system, gauge, baseline }: CallFacts): FirstQuestion {
  const zero = system === 'passive' ? passiveZero : atZero
  const ask = 'What does the gauge on the pipe show now, with its unit?'
  const { adopted = null } = baseline ?? {}
  if (baseline)
    return {
      key: 'gauge-now',
      ask: `${ask} It stood at ${baselineWords(baseline)}.`,
      why: adopted
        ? 'A reading tells something only beside this home’s own value, and this one was adopted: a system that was weak already looks well beside it.'
        : 'A reading tells something only beside this home’s own start-up value.',
      meanings: [zero, adopted ? sameAsAdopted : same, ...offTheBaseline],
      source: adopted ? null : 'SGM-SF 8.2, RMS-LB 8.2.1: the start-up value is marked on the gauge',
    }
  return {
    key: 'gauge-now',
    ask: gauge ? ask : 'Is there a gauge on the pipe, and what does it show, with its unit?',
    why: gauge
      ? 'No start-up value of this home is on record: only zero tells something by itself.'
      : 'No gauge of this home is on record. If there is one, its reading is the first that will be.',
    meanings: [
      zero,
      {
        answer: 'Any other figure',
        means: 'It can not be judged: ask what is marked on the gauge or the label, and keep both.',
      },
      { answer: gauge ? 'They can not find it' : 'There is none', means: 'Go by the hum and the air at the outlet.' },
    ],
    source: 'SGM-SF 8.2, RMS-LB 8.2.1: the start-up value is marked on the gauge',
  }
}

export const gaugeItself: FirstQuestion = {
  key: 'gauge-itself',
  ask: 'Are the tube and the fluid of the gauge where they belong: no tube hanging loose, no bubble, fluid in both legs?',
  why: 'A gauge that has lost its tube or fluid stands at zero while the system works.',
  meanings: [
    { answer: 'The tube is off', means: 'Push it back on and read again. Nothing else is wrong if it returns.' },
    { answer: 'No fluid, or a bubble', means: 'The gauge needs work, the system may be well.' },
    { answer: 'All in place', means: 'Believe the zero: current, fan or outlet.' },
  ],
  source: null,
}
