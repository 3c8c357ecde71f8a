import type { Scene, Works } from './scene.ts'

/** The treasurer's evenings: written once the stores of the fees room are there. */
export async function keepMoney(_scene: Scene, _works: Works, _on: string, _index: number): Promise<void> {}
