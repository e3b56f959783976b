import { aboutSale } from './about-a-sale.ts'
import { closedHouse, whereItStands, whichDevice } from './about-radon.ts'
import { current, humAndAir } from './about-the-fan.ts'
import { gaugeItself, gaugeNow } from './about-the-gauge.ts'
import { lidAndHoles, whatHappened, withoutFan } from './about-the-system.ts'
import {
  combustion,
  howCold,
  sinceMilder,
  sumpPump,
  whereIsWater,
  whichSmell,
  whichSound,
} from './about-what-is-heard.ts'
import type { CallFacts, FirstQuestion, FirstQuestions, Reported } from './call-facts.ts'

const brokenWhere: FirstQuestion = {
  key: 'broken-where',
  ask: 'What is broken, and is it above or below the fan, indoors or outside?',
  why: 'Above the fan the pipe blows: soil gas goes wherever it is open.',
  meanings: [
    {
      answer: 'Above the fan, indoors',
      means: 'Urgent, though the gauge looks well: switch the fan off, open a window.',
    },
    { answer: 'Below the fan', means: 'Room air is drawn in: less suction, the fan stays on.' },
    { answer: 'Outside, above the fan', means: 'Keep windows nearby shut. A visit this week.' },
  ],
  source: null,
}
const inTheirWords: FirstQuestion = {
  key: 'in-their-words',
  ask: 'What do you see or hear, since when, and what did you do about it?',
  why: 'What does not fit a word of ours is best kept in theirs.',
  meanings: [{ answer: 'Whatever it is', means: 'If it becomes one of the other reports, ask on with its questions.' }],
  source: null,
}

/**
 * The three questions to ask first for what is reported, in order. They go by what is on record of the home, never by a
 * figure of suction that would be right everywhere: gravel may run a fifth of what tight soil needs.
 */
export function firstQuestionsOf(reported: Reported, facts: CallFacts): FirstQuestions {
  if (reported === 'sold') return aboutSale(facts.system !== 'none')
  if (reported === 'high-result') return aboutHighResult(facts)
  if (reported === 'odour') return [whichSmell, combustion, withoutFan(facts) ?? lidAndHoles]
  if (reported === 'other') return [inTheirWords, withoutFan(facts) ?? gaugeNow(facts), whatHappened]
  if (reported === 'noise') return [whichSound(facts), withoutFan(facts) ?? gaugeNow(facts), whatHappened]
  if (reported === 'water') return [whereIsWater, sumpPump, withoutFan(facts) ?? gaugeNow(facts)]
  if (reported === 'damage') return [brokenWhere, withoutFan(facts) ?? humAndAir(facts), whatHappened]
  const unknownFan = withoutFan(facts)
  if (unknownFan) return [unknownFan, gaugeNow(facts), humAndAir(facts)]
  if (reported === 'gauge-at-zero')
    return facts.gauge ? [humAndAir(facts), gaugeItself, current] : [gaugeNow(facts), humAndAir(facts), current]
  if (reported === 'gauge-changed') return [gaugeNow(facts), whatHappened, lidAndHoles]
  if (reported === 'ice') return [gaugeNow(facts), howCold, sinceMilder]
  if (reported === 'power') return [current, humAndAir(facts), gaugeNow(facts)]
  return facts.gauge ? [gaugeNow(facts), current, humAndAir(facts)] : [humAndAir(facts), current, gaugeNow(facts)]
}

const aboutHighResult = (facts: CallFacts): FirstQuestions => [
  whichDevice,
  closedHouse,
  facts.system === 'with-fan' ? gaugeNow(facts) : whereItStands,
]
