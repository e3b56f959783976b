import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { Deps } from '../../platform/deps.ts'
import { readForm } from '../../platform/http/forms.ts'
import { notFound, Problem, problem } from '../../platform/http/problem.ts'
import { act } from '../../platform/http/request-facts.ts'
import { isUploadedFile } from '../../platform/http/upload-body.ts'
import { paths } from '../../web/paths.ts'
import { changeLogo } from './change-company.ts'
import { companyPage, ownerOnly } from './pages.tsx'
import { readLogo } from './queries.ts'
import { reencodeLogo } from './reencode-logo.ts'
import { versionForm } from './schemas.ts'

const logoPath = `${paths.company()}/logo`
const largest = 5 << 20

/** The logo: printed by mails, papers and homeowners' pages, so whoever has its address may see it. */
export const logoPages =
  ({ db }: Deps): FastifyPluginAsyncZod =>
  async app => {
    app.get(
      logoPath,
      { config: { open: 'Mails and homeowners’ pages show it; it is the company’s public face.' } },
      async (request, reply) => {
        const logo = await readLogo(db)
        if (!logo) throw notFound('logo')
        const etag = `"${logo.sha256.toString('base64url')}"`
        reply.headers({ etag, 'cache-control': 'public, max-age=300' })
        if (request.headers['if-none-match'] === etag) return reply.code(304).send()
        return reply.type('image/png').send(logo.bytes)
      },
    )

    app.post(logoPath, { config: { ...ownerOnly, upload: true }, bodyLimit: largest }, async (request, reply) => {
      const { logo: file, version } = request.body as { logo?: unknown; version?: unknown }
      if (!isUploadedFile(file)) return refused('choose a file first')
      try {
        const logo = await reencodeLogo(file.bytes)
        await db.transaction(tx => changeLogo(tx, act(request), versionForm.parse({ version }).version, logo))
      } catch (error) {
        if (error instanceof Problem && error.code === 'not-a-picture') return refused(error.errors[0]?.detail ?? '')
        throw error
      }
      return reply.redirect(paths.company(), 303)

      function refused(message: string) {
        return companyPage(request, reply.code(422), { form: 'logo', faults: [{ name: 'logo', message }], typed: {} })
      }
    })

    app.post(`${paths.company()}/no-logo`, { config: ownerOnly }, async (request, reply) => {
      const read = readForm(versionForm, request.body)
      if (!read.ok) throw problem(400, 'form-incomplete', 'The form came without its version; open the page again.')
      await db.transaction(tx => changeLogo(tx, act(request), read.data.version, null))
      return reply.redirect(paths.company(), 303)
    })
  }
