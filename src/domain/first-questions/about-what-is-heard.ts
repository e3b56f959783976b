import { wornWords } from './about-the-fan.ts'
import type { CallFacts, FirstQuestion } from './call-facts.ts'

export const whichSound = (facts: CallFacts): FirstQuestion => ({
  key: 'which-sound',
  ask: 'What does it sound like, and where: grinding or rattling, whistling, gurgling, or a louder hum?',
  why: 'Each cause has its own sound.',
  meanings: [
    {
      answer: 'Grinding or rattling at the fan',
      means: facts.system === 'with-fan' ? `Worn bearings. ${wornWords(facts)}` : 'Something that turns: find it.',
    },
    { answer: 'Whistling', means: 'Air drawn in at a joint, a crack or a lid.' },
    { answer: 'Gurgling', means: 'Water in a low part of the pipe.' },
    { answer: 'A louder hum in the rooms', means: 'A loose bracket, or pipe touching wood.' },
  ],
  source: null,
})

export const whereIsWater: FirstQuestion = {
  key: 'where-is-water',
  ask: 'Where is the water: heard in the pipe, dripping from a joint, or near the fan, its plug or the panel?',
  why: 'Water and current do not go together; water that is only heard can wait a day.',
  meanings: [
    {
      answer: 'Near current',
      means: 'Stay away from it; switch the fan off at the panel if that is dry. A visit today.',
    },
    { answer: 'Dripping from a joint', means: 'A leaking joint, or rain and melted frost running back. A visit.' },
    { answer: 'Only heard', means: 'A low spot in the pipe, or water under the floor.' },
  ],
  source: null,
}

export const sumpPump: FirstQuestion = {
  key: 'sump-pump',
  ask: 'Did it rain hard or thaw, and does the sump pump run when it should?',
  why: 'A dead pump under a sealed lid lets water rise to the pipe without anybody seeing it.',
  meanings: [
    { answer: 'The pump is dead', means: 'The pump first: the system can only pull when the water is gone.' },
    { answer: 'Rain or thaw, pump runs', means: 'It may drain by itself: read the gauge again tomorrow.' },
    { answer: 'Dry, no pump', means: 'Moist soil air that settles in a low part of the pipe.' },
  ],
  source: null,
}

export const howCold: FirstQuestion = {
  key: 'how-cold',
  ask: 'How cold has it been, for how long, and can you see ice where the pipe ends?',
  why: 'Moist soil air freezes at the outlet and closes it bit by bit.',
  meanings: [
    {
      answer: 'Days of hard frost, ice in sight',
      means: 'An iced outlet. Nobody climbs for it: it thaws from within.',
    },
    { answer: 'Cold, no ice in sight', means: 'Ice further down in a pipe outdoors, or another cause.' },
    { answer: 'Not cold', means: 'Not ice: ask on as for a gauge that has changed.' },
  ],
  source: null,
}

export const sinceMilder: FirstQuestion = {
  key: 'since-milder',
  ask: 'Did it come back by itself when it was milder, or was it so last winter too?',
  why: 'What comes back with milder weather is ice, and wants another outlet or insulation, not a fan.',
  meanings: [
    { answer: 'Yes', means: 'Ice. Plan the outlet for the summer.' },
    { answer: 'No', means: 'Look for water, or at the fan.' },
  ],
  source: null,
}

export const whichSmell: FirstQuestion = {
  key: 'which-smell',
  ask: 'What does it smell of: gas, exhaust, sewer, damp earth, hot plastic?',
  why: 'Two of these come before radon.',
  meanings: [
    { answer: 'Gas', means: 'Everybody out, touch no switch, call the gas emergency line from outside. Then us.' },
    { answer: 'Hot plastic', means: 'Switch the fan off at the panel. A visit today.' },
    { answer: 'Sewer', means: 'A dry trap, or a drain that the system pulls on.' },
    { answer: 'Damp earth', means: 'Soil air indoors: a leak above the fan. Urgent.' },
  ],
  source: null,
}

export const combustion: FirstQuestion = {
  key: 'combustion',
  ask: 'Is there a furnace, water heater or fireplace that burns, and has a carbon-monoxide alarm sounded?',
  why: 'A fan that pulls on the house can draw exhaust back down a chimney.',
  meanings: [
    { answer: 'The alarm sounded', means: 'Everybody out, call the emergency line. Then us.' },
    { answer: 'It burns, no alarm', means: 'Have the draught tested, the system running and not.' },
    { answer: 'Nothing burns', means: 'Not exhaust.' },
  ],
  source: 'ASTM E1998 5.4.3: new exhaust is a reason to look for backdraft',
}
