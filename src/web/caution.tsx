/** The caution, in the size of everything else. Every page and paper that shows a verdict ends with it. */
export const cautionWords =
  'This record follows published guidance as entered here. Local codes, the terms of a contract and the judgement of ' +
  'a licensed or certified professional come first. A test tells what was measured where and when; radon changes ' +
  'with season, weather and the house.'

/** The caution with the company's own words after it, which take nothing from it. */
export const cautionWith = (added: string): string => (added === '' ? cautionWords : `${cautionWords} ${added}`)

export const Caution = ({ added = '' }: { added?: string }): JSX.Element => (
  <p class="caution">
    <strong>Caution.</strong> <span safe>{cautionWith(added)}</span>
  </p>
)
