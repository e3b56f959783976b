import { hash, verify } from '@node-rs/argon2'

// OWASP's least for argon2id: 19 MiB, two passes, one lane.
const cost = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

/** The argon2id hash of a password, in PHC form. Of any length: nothing is cut off. */
export const passwordHashOf = (password: string): Promise<string> => hash(password.normalize('NFKC'), cost)

let nobodys: Promise<string> | undefined

/** Whether the password is the one hashed. Without a hash it takes the same time and is false. */
export async function passwordFits(password: string, kept: string | null): Promise<boolean> {
  nobodys ??= passwordHashOf('a password nobody has')
  const fits = await verify(kept ?? (await nobodys), password.normalize('NFKC'))
  return fits && kept !== null
}
