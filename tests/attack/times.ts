/** How often an attack is made: so often in the test line, ten times that under `npm run attack`. */
export function attacks(count: number): number {
  return count * Number(process.env.ATTACK_TIMES ?? 1)
}

/** A figure of an attack at full size, for whoever started it; the test line says nothing. */
export function tellAttack(what: string, figures: Record<string, number>): void {
  if (!process.env.ATTACK_TIMES) return
  const told = Object.entries(figures).map(([name, figure]) => `${figure} ${name}`)
  console.log(`${what}: ${told.join(', ')}`)
}
