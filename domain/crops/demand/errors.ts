/** Likely errors of a need as parts: common practice, no source. */
export const NEED_ERRORS = {
  /** Of a crop coefficient taken from a table. */
  coefficient: 0.15,
  /** Of the rain that a rule of thumb credits. */
  creditedRain: 0.2,
  /** Of the crop's use, where a group without a gauge says that unwritten days were dry. */
  missingRain: 0.15,
  /** A week's need is never known better than this, whatever was measured. */
  narrowest: 0.25,
}
