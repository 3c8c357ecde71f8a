import { LevelForm } from '../../water/level/forms.ts'
import { readingOfInput } from '../../water/level/input.ts'
import { addLevelReading } from '../../water/level/store.ts'
import { readForm } from '../../web/forms/forms.ts'
import type { TakeRow, Typing } from './types.ts'

/** The level book from paper: each row as the screen would have taken it. */
export async function levelRows({ request, at }: Typing): Promise<TakeRow> {
  return async (body) => {
    const form = readForm(LevelForm, body)
    if (!form.ok) return { ok: false, form }
    const read = readingOfInput(form.data, form, { timeZone: request.visit.group?.timeZone ?? 'UTC', now: at })
    if ('problem' in read) return { ok: false, form: read.problem }
    return { ok: true, write: (pen) => addLevelReading(pen, read.reading) }
  }
}
