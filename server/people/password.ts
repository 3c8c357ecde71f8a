import { createHash } from 'node:crypto'
import argon2 from 'argon2'

/** argon2id with the parameters of RFC 9106's low-memory use; tests hand over cheaper ones. */
export async function hashPassword(
  password: string,
  cost: { memoryCost: number; timeCost: number } = { memoryCost: 19_456, timeCost: 2 },
): Promise<string> {
  return argon2.hash(password, { type: argon2.argon2id, parallelism: 1, ...cost })
}

export async function passwordFits(hash: string, password: string): Promise<boolean> {
  return argon2.verify(hash, password)
}

/** A key of 256 random bits cannot be guessed, so a plain digest of it is kept: of a session, of a shared device. */
export function hashOfKey(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}
