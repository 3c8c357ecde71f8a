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
