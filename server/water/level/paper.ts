import { readForm } from '../../web/forms/forms.ts'
import type { PaperBook } from '../../web/pages/paper-book.ts'
import { LevelForm } from './forms.ts'
import { readingOfInput } from './input.ts'
import { addLevelReading } from './store.ts'

/** The level book on paper: each row as the screen would have taken it. */
export const levelBook: PaperBook = {
  name: 'levels',
  sheet: () => ({ form: LevelForm, head: ['readOn', 'weirId'] }),
  typing: {
    permission: 'level.record',
    rows:
      async ({ timeZone, at }) =>
      async (body) => {
        const form = readForm(LevelForm, body)
        if (!form.ok) return { ok: false, form }
        const read = readingOfInput(form.data, form, { timeZone, now: at })
        if ('problem' in read) return { ok: false, form: read.problem }
        return { ok: true, write: (pen) => addLevelReading(pen, read.reading) }
      },
  },
}
