import { createHash, timingSafeEqual } from 'node:crypto'

const digest = (text: string) => createHash('sha256').update(text).digest()

/** Compares two secrets of any length in a time that tells neither. */
export const secretsEqual = (one: string, other: string): boolean => timingSafeEqual(digest(one), digest(other))
