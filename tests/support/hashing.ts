/** Cheap hashing, so that a test spends its time on the book and not on passwords. */
export const CHEAP_HASHING = { memoryCost: 1024, timeCost: 2 }
