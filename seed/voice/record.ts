import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { addDays } from '../../domain/calendar.ts'
import type { ClipKey } from '../../domain/people/voice/clips.ts'
import { recordClips } from '../../server/people/voice/store.ts'
import { projectFolder } from '../../server/project-folder.ts'
import { penOf, type Scene } from '../scene.ts'
import { PERSONS } from '../valley.ts'

/** The clips end the file; what stands before them is its head. */
const clipsOfFile = () => {
  const folder = join(projectFolder(), 'seed', 'voice')
  const lines = readFileSync(join(folder, 'english.txt'), 'utf8').trim().split('\n')
  const named = lines
    .map((line) => line.split(' ') as [ClipKey, string])
    .map(([clip, length]) => ({ clip, length: Number(length) }))
  const all = readFileSync(join(folder, 'english.wav'))
  const whole = named.reduce((sum, { length }) => sum + length, 0)
  let at = all.length - whole - (whole % 2)
  return named.map(({ clip, length }) => {
    const sound = Buffer.from(all.subarray(at, at + length))
    at += length
    return { clip, sound }
  })
}

/** The book's voice in the valley: said by a machine, so that everything can be heard in practice. */
export async function recordVoice(scene: Scene): Promise<void> {
  const pen = penOf(scene, PERSONS[0]!.name, addDays(scene.today, -1), '20:45')
  await recordClips(pen, 'en', clipsOfFile())
}
