import type { ExposureAnswer } from '../../domain/answers.ts'
import { localDayOf } from '../../domain/calendar/local-day.ts'
import type { Instant } from '../../domain/facts.ts'
import { weekdayWords } from '../../web/day-words.ts'
import { becauseWords, owedWords } from '../../web/owed-words.ts'
import { conversionWords, quantityWords } from '../../web/quantity-text.tsx'
import { verdictWords } from '../../web/verdict-mark.tsx'
import type { Letterhead } from './company-queries.ts'
import { type Letter, LetterDocument, letterText, PageButton, Paragraph, pageBlank } from './letter.tsx'
import type { ResultToTell } from './result-queries.ts'

/**
 * Tells what a test found, room by room; the owner, who gets the way to the page of the home, also how the home stands
 * and what is due next. Anybody else is told of this test alone.
 */
export function resultMail(company: Letterhead, result: ResultToTell, linkId: string | null, now: Instant): Letter {
  const subject = `Radon result: ${result.address}`
  const whole = linkId === null ? { ...result, verdict: null, owed: null } : result
  const lines = linesOf(whole, now, linkId === null ? 'The radon test at this address' : 'The radon test at your home')
  const page = linkId === null ? [] : [`The page of your home: ${pageBlank(linkId)}`]
  const text = [result.address, ...lines, ...page].join('\n')
  return {
    subject,
    textBody: letterText(company, result.customerName, [text], linkId !== null),
    htmlBody: String(
      <LetterDocument title={subject} company={company} name={result.customerName} withPage={linkId !== null}>
        <h1 style="margin:0 0 8px;font-size:21px;line-height:1.25" safe>
          {result.address}
        </h1>
        {lines.map(line => (
          <Paragraph words={line} />
        ))}
        {linkId === null ? '' : <PageButton linkId={linkId} words="Open the page of your home" />}
        <p style="margin:0 0 24px"></p>
      </LetterDocument>,
    ),
  }
}

function linesOf({ test, verdict, owed, zone }: ResultToTell, now: Instant, which: string): string[] {
  const today = localDayOf(now, zone)
  const ended = test?.stopAt ? ` ended on ${weekdayWords(localDayOf(test.stopAt, zone))}` : ''
  const next = owed?.find(one => one.owedBy === 'homeowner')
  return [
    `${which}${ended}.`,
    ...(test?.exposures ?? []).filter(isMeasurement).map(roomWords),
    ...(test?.validity === 'invalid'
      ? ['The conditions of the test were not met, so it decides nothing. A new test is needed.']
      : verdict
        ? [`Where your home stands: ${verdictWords(verdict)}.`]
        : []),
    ...(next ? [owedWords(next, today), becauseWords(next)] : []),
  ]
}

const isMeasurement = ({ role, result }: ExposureAnswer) => role === 'measurement' && result !== null

function roomWords({ locationName, result, uncertainty }: ExposureAnswer): string {
  const conversion = conversionWords(result!)
  return `${locationName || 'Where it stood'}: ${quantityWords({ ...result!, uncertainty })}${conversion === null ? '' : ` (${conversion})`}.`
}
