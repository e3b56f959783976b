import type { TestPurpose } from '../../domain/facts.ts'
import { methodWords } from '../../web/method-words.ts'
import type { TableRole } from '../results-table/table-reading.ts'

export const ROLE_WORDS: Readonly<Record<TableRole, string>> = {
  'home-id': 'the home’s id',
  street: 'the street',
  'unit-of-home': 'the unit',
  city: 'the town',
  region: 'the state or province',
  postcode: 'the postcode',
  location: 'the location',
  floor: 'the floor',
  method: 'the method',
  purpose: 'the purpose',
  start: 'the start',
  'start-time': 'the start’s time of day',
  stop: 'the end',
  'stop-time': 'the end’s time of day',
  value: 'the result',
  'radon-unit': 'the unit of the result',
  uncertainty: 'the uncertainty',
  'kit-number': 'the kit number',
  laboratory: 'the laboratory',
  ignored: 'nothing that is read',
}

const choices = <T extends string>(words: Readonly<Record<T, string>>) =>
  (Object.entries(words) as [T, string][]).map(([value, text]) => ({ value, words: text }))

export const METHODS = choices(methodWords)
export const PURPOSES = choices<TestPurpose>({
  'pre-mitigation': 'pre-mitigation test',
  'post-mitigation': 'post-mitigation test',
  retest: 'retest',
  'real-estate': 'real-estate test',
  'follow-up': 'follow-up test',
})
