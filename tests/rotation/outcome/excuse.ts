import type { Seen, Visitor } from '../../support/visitor.ts'

/** Whoever attends writes that word came the evening before, unless told otherwise. */
export async function excuse(visitor: Visitor, turnId: string, word: Record<string, string> = {}): Promise<Seen> {
  const told = { onDate: '2026-11-24', clock: '18:30', through: 'the neighbour of the plot', ...word }
  return visitor.fill(`/turns/${turnId}/otherwise`, told, { action: `/turns/${turnId}/otherwise` })
}
