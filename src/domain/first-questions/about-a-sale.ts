import type { FirstQuestion, FirstQuestions } from './call-facts.ts'

const whoAndWhen: FirstQuestion = {
  key: 'who-and-when',
  ask: 'Who is buying or has bought, how are they reached, and on which day is or was the closing?',
  why: 'From that day on reminders go to the new owner, and links mailed to the old one stop opening.',
  meanings: [
    { answer: 'It has closed', means: 'Enter the new owner below, in one step.' },
    { answer: 'It is to close', means: 'Put buyer, seller and agents beside the home; change the owner on the day.' },
  ],
  source: null,
}
const testWanted: FirstQuestion = {
  key: 'test-wanted',
  ask: 'Is a test wanted: who orders it, who pays, and who may see the result?',
  why: 'A sale is a reason to test again, and the result goes only to those who may see it.',
  meanings: [
    { answer: 'Yes', means: 'Plan it, and write on it who ordered, who pays and who may see the result, until when.' },
    { answer: 'No', means: 'The home owes what it owed before.' },
  ],
  source: 'MAH-2019 8.5.9.2: a new test with any sale',
}
const papers: FirstQuestion = {
  key: 'papers',
  ask: 'Does the new owner have the papers of the system, and know where its gauge is and what it stood at?',
  why: 'Whoever lives there is the one who sees the gauge.',
  meanings: [
    { answer: 'No', means: 'Send the homeowner packet once the owner is changed.' },
    { answer: 'Yes', means: 'Ask what the gauge shows today.' },
  ],
  source: 'CC-1000 12.2: start-up reading and what to do on failure are handed over',
}
const papersOfTests: FirstQuestion = {
  ...papers,
  ask: 'Does the new owner have the reports of the tests?',
  why: 'No system of this home is on record: the tests are all there is to hand over.',
  meanings: [
    { answer: 'No', means: 'Send them once the owner is changed.' },
    { answer: 'Yes', means: 'Nothing more to hand over.' },
  ],
  source: null,
}

export const aboutSale = (hasSystem: boolean): FirstQuestions => [
  whoAndWhen,
  testWanted,
  hasSystem ? papers : papersOfTests,
]
