import { v7 } from 'uuid'

/** A new identifier: UUIDv7, so that keys rise with time and their index stays compact. */
export const newId = (): string => v7()
