import type { Translate } from '../../web/figures/locale.ts'
import { type Field, seldom, select, text } from '../../web/forms/fields.ts'
import type { AskedHow, AskedThrough } from './store.ts'
import { ASKED_HOW } from './store.ts'

/** How it was asked: left empty by whoever asks alone and in person, so that it costs no tap. */
export const askedFields: { askedHow: Field<AskedHow | null>; bearer: Field<string | null> } = {
  askedHow: { ...seldom(select(ASKED_HOW)), words: 'layout.asked-how' },
  bearer: { ...seldom(text({ max: 80 })), words: 'layout.asked-bearer' },
}

/** The same in a sentence, where what was asked is told; nothing where nobody said anything of it. */
export function askedSentence(t: Translate, asked: AskedThrough | undefined): string | null {
  return asked ? t(`layout.asked-${asked.how}`, { who: asked.bearer ?? '', named: asked.bearer ? 'yes' : 'no' }) : null
}
