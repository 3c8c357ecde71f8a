import { execFileSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { CLIPS, type ClipKey } from '../../domain/people/voice/clips.ts'
import { clipOf } from '../../domain/people/voice/sound/clip.ts'
import { readWave } from '../../domain/people/voice/sound/wave-read.ts'
import { waveOf } from '../../domain/people/voice/sound/wave-write.ts'
import { loadLocale } from '../../server/web/figures/locale.ts'
import { MARKS } from '../marks.ts'

/**
 * Makes the example's voice anew: `npm run voice-of-example`, where Debian's espeak-ng is installed. The clips stand one after the other
 * in one sound file, their names and lengths beside it.
 */
const { t } = loadLocale('en')
const pictures = [...new Set(MARKS.map(({ mark }) => mark.picture))]
const clips: [ClipKey, string][] = [
  ...Object.values(CLIPS).flatMap((keys) => keys.map((key): [ClipKey, string] => [key, t(`voice.clip.${key}`)])),
  ...pictures.map((picture): [ClipKey, string] => [`picture-${picture}`, t(`mark.picture.${picture}`)]),
]
const spoken = clips.map(([clip, words]) => ({ clip, bytes: clipOf(readWave(saidBySynthesiser(words))) }))
const all = Buffer.concat(spoken.map(({ bytes }) => bytes))
writeFileSync(join(import.meta.dirname, 'english.wav'), waveOf(all))
const lengths = spoken.map(({ clip, bytes }) => `${clip} ${bytes.length}`).join('\n')
writeFileSync(join(import.meta.dirname, 'english.txt'), `${lengths}\n`)
console.log(`${clips.length} clips, ${all.length} bytes.`)

function saidBySynthesiser(words: string): Buffer {
  return execFileSync('espeak-ng', ['-v', 'en', '-s', '215', '--stdout', words], { maxBuffer: 10_000_000 })
}
