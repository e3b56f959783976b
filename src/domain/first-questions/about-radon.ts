import type { FirstQuestion } from './call-facts.ts'

export const whichDevice: FirstQuestion = {
  key: 'which-device',
  ask: 'What shows it, how long has it stood there, and is the figure of an hour, a day or since it was set?',
  why: 'Radon moves up and down within a day: a figure counts from two days on.',
  meanings: [
    { answer: 'Less than two days', means: 'Too early: ask for the mean after two days, all closed.' },
    { answer: 'A mean of two days or more', means: 'A reason to test with a device that is calibrated.' },
    { answer: 'A laboratory’s or another company’s test', means: 'Ask for the report: it goes on record as theirs.' },
  ],
  source: 'EPA testing checklist: a short-term test takes at least 48 hours',
}

export const closedHouse: FirstQuestion = {
  key: 'closed-house',
  ask: 'Were windows and outside doors shut, from twelve hours before and all the while?',
  why: 'An open house shows what the weather does. It says little of the home.',
  meanings: [
    { answer: 'Shut', means: 'The figure is to be taken seriously.' },
    { answer: 'Open', means: 'Usually too low, in wind sometimes too high: shut, and measure again.' },
  ],
  source: 'MALB-2014 4.1: closed for twelve hours before and through a test under four days',
}

export const whereItStands: FirstQuestion = {
  key: 'where-it-stands',
  ask: 'Where does it stand: which floor, how high, how far from a sump, a window or a wall outside?',
  why: 'Beside a sump or on the floor a device measures that spot, not the room.',
  meanings: [
    { answer: 'In a lived-in room, well placed', means: 'Plan a test there.' },
    { answer: 'By a sump, in a crawl space or a closet', means: 'Move it to where people live; measure again.' },
  ],
  source: '32 Ill. Adm. Code 422.130, 25 Pa. Code 240.310: where a device may stand',
}
