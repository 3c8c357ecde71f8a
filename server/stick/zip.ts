import { readdirSync, readFileSync, statSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { type Zippable, zipSync } from 'fflate'

/** Made by a machine that knows rights, so that unpacking gives them back. */
const UNIX = 3

/** A folder as one zip file, under its own name, with the right to run kept. */
export function zipped(folder: string, name: string): Uint8Array {
  const files: Zippable = {}
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue
    const path = join(entry.parentPath, entry.name)
    const mode = statSync(path).mode
    files[`${name}/${relative(folder, path).split(sep).join('/')}`] = [
      readFileSync(path),
      { os: UNIX, attrs: mode << 16 },
    ]
  }
  return zipSync(files, { level: 6 })
}
