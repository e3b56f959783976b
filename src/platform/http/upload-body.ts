import multipart from '@fastify/multipart'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { addField } from './form-body.ts'
import { problem } from './problem.ts'

export type UploadedFile = { readonly fileName: string; readonly type: string; readonly bytes: Buffer }
export const isUploadedFile = (value: unknown): value is UploadedFile =>
  typeof value === 'object' && value !== null && Buffer.isBuffer((value as UploadedFile).bytes)

/**
 * Reads multipart/form-data where a route takes an `upload`: `request.body` becomes its fields, a file an UploadedFile;
 * a file input left empty is no field. The file's type is what the sender says, so look at its bytes.
 */
export async function readUploads(app: FastifyInstance): Promise<void> {
  await app.register(multipart, { limits: { fields: 200, parts: 220, files: 20, fieldSize: 262_144, headerPairs: 50 } })
  app.addHook('preValidation', async request => {
    // Nobody's files are kept in memory for a page that needs somebody.
    if (!request.isMultipart() || (request.routeOptions.config.page && !request.actor)) return
    const { upload } = request.routeOptions.config
    if (!upload) throw problem(415, 'unsupported-media-type', 'This operation takes no files.')
    request.body = await fieldsOf(request, request.routeOptions.bodyLimit)
  })
}

async function fieldsOf(request: FastifyRequest, maxBytes: number): Promise<Record<string, unknown>> {
  const fields: Record<string, unknown> = {}
  for await (const part of request.parts({ limits: { fileSize: maxBytes } })) {
    if (part.type === 'field') {
      addField(fields, part.fieldname, part.value)
      continue
    }
    const bytes = await part.toBuffer()
    if (part.filename) addField(fields, part.fieldname, { fileName: part.filename, type: part.mimetype, bytes })
  }
  return fields
}
