import { group } from 'd3-array'
import { type House, programOf } from '../reading/house.ts'
import type { Finding } from './finding.ts'

const FILE_LINES = 250
const FUNCTION_LINES = 70
const FOLDER_FILES = 14
const NUMBERED_OR_LISTED = /^(migrations|seed|views\/locales)(\/|$)/

export function longFiles(house: House): Finding[] {
  return programOf(house)
    .filter(({ lines }) => lines > FILE_LINES)
    .map(({ file, lines }) => ({ file, says: `${lines} lines` }))
}

/** A handler inside a routes function counts by itself and as a part of it. */
export function longFunctions(house: House): Finding[] {
  return programOf(house).flatMap(({ file, functions }) =>
    functions
      .filter(({ lines }) => lines > FUNCTION_LINES)
      .map(({ name, line, lines }) => ({ file, line, says: `${name}, ${lines} lines` })),
  )
}

export function fullFolders(house: House): Finding[] {
  const folders = group(house.files, (file) => file.slice(0, Math.max(0, file.lastIndexOf('/'))))
  return [...folders]
    .filter(([folder, files]) => folder && files.length > FOLDER_FILES && !NUMBERED_OR_LISTED.test(folder))
    .map(([folder, files]) => ({ file: folder, says: `${files.length} files` }))
}
