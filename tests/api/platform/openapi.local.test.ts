import { writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { buildTestApp } from '../../support/test-app.ts'
it('doc', async () => {
  const t = await buildTestApp()
  writeFileSync('/tmp/openapi.json', JSON.stringify(t.app.swagger(), null, 1))
  await t.close()
  expect(1).toBe(1)
})
