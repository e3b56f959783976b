import type { CallFacts, FirstQuestion } from './call-facts.ts'

/** For a home of which no system is on record though one is called about. */
export const isThereOne: FirstQuestion = {
  key: 'is-there-one',
  ask: 'Is there a pipe that comes out of the floor, and a fan on it? What does the label on it say?',
  why: 'No system of this home is on record. The label names who installed it, when, and a tag.',
  meanings: [
    {
      answer: 'A pipe with a fan',
      means: 'A system we do not know: take down installer, date and tag from the label.',
    },
    { answer: 'A pipe without a fan', means: 'A passive pipe: nothing in it can fail the way a fan does.' },
    { answer: 'No pipe', means: 'What they have is no radon system: ask what sounds or shows something.' },
  ],
  source: 'SGM-SF 8.4: what the label of a system carries',
}

/** For a pipe without a fan, where whatever speaks of a fan is news. */
export const fanOnPassive: FirstQuestion = {
  key: 'fan-on-passive',
  ask: 'Has somebody put a fan on the pipe: in the attic, the garage or outside?',
  why: 'On record the pipe is passive: it has no fan, no alarm, and a gauge on it stands at or near zero.',
  meanings: [
    { answer: 'No fan', means: 'Zero is what a passive pipe shows. Ask when the home was last tested.' },
    { answer: 'A fan', means: 'The record is behind: ask who put it in and when, and have it looked at.' },
    { answer: 'They do not know', means: 'Ask for a photograph of the pipe in the attic or outside.' },
  ],
  source: null,
}

/** What was done around the system since it was last well. */
export const whatHappened: FirstQuestion = {
  key: 'what-happened',
  ask: 'What happened before: heavy rain, hard frost, work on the roof, the attic, the basement, somebody at the valves?',
  why: 'Most changes of suction follow the weather or somebody’s hands.',
  meanings: [
    { answer: 'Heavy rain', means: 'Water under the floor or in the pipe. Ask whether the sump pump runs.' },
    { answer: 'Hard frost', means: 'An iced outlet: it often comes back when it turns milder.' },
    {
      answer: 'Work on roof, attic or garage',
      means: 'A pipe parted above the fan blows soil gas indoors while the gauge looks well: urgent.',
    },
    { answer: 'Work in the basement, a valve', means: 'An open lid or hole, or a branch that was shut.' },
  ],
  source: null,
}

export const lidAndHoles: FirstQuestion = {
  key: 'lid-and-holes',
  ask: 'Is the sump lid on, is a pipe loose or the floor open somewhere, and do you hear whistling or gurgling?',
  why: 'Sounds tell a leak from water, and both are found without tools.',
  meanings: [
    {
      answer: 'Whistling, lid off, pipe loose',
      means: 'Air is drawn from the rooms: close it and read the gauge again.',
    },
    { answer: 'Gurgling', means: 'Water in the pipe or under the floor.' },
    { answer: 'Nothing', means: 'Think of the fan, or of a change below the floor.' },
  ],
  source: null,
}

/** The two that come before all else where the record knows of no fan; null where it does. */
export function withoutFan(facts: CallFacts): FirstQuestion | null {
  if (facts.system === 'none') return isThereOne
  return facts.system === 'passive' ? fanOnPassive : null
}
