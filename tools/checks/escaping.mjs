import { outputOfScript } from './program.mjs'

/** kitajs escapes only with `safe`; its scanner finds strings that are printed without. */
export async function escaping() {
  const { code, stdout, stderr } = await outputOfScript(
    '@kitajs/ts-html-plugin/dist/cli.js',
    '--project',
    'tsconfig.json',
  )
  return code === 0 ? [] : [`${stdout}${stderr}`.trim()]
}
