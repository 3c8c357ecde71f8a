import * as modules from 'node:module'
import { join } from 'node:path'
import { projectFolder } from './project-folder.ts'

const LEAST = [22, 12] as const

/** A sentence for whoever started the book with a Node that its modules would end without a word; null where it will do. */
function runtimeProblem(version: string): string | null {
  const [major = 0, minor = 0] = version.split('.').map(Number)
  if (major > LEAST[0] || (major === LEAST[0] && minor >= LEAST[1])) return null
  return `This needs Node ${LEAST.join('.')} or newer, and was started with ${version}. Start it by npm (npm start, npm run verify ...): the project brings its own Node.`
}

// Imported first by every entry file: nothing native is loaded before this has been said.
const problem = runtimeProblem(process.versions.node)
if (problem !== null) {
  console.error(problem)
  process.exit(1)
}

// What was made of the sources is kept beside the modules, so that the next start takes half the work; where nothing can be
// written, each start makes it anew.
modules.enableCompileCache(join(projectFolder(), 'node_modules', '.compiled'))
