/**
 * Every range that the simulator draws from, with its source. "From memory" marks a value without a
 * source that was read; "own arithmetic" one that follows from the others.
 */

/** A range drawn evenly, or a standard deviation drawn normally. */
type Range = readonly [number, number];

export const phoneRanges = {
  /** Main cameras of 24 to 28 mm equivalent focal length, 12 megapixels. From memory. */
  width: 4032,
  height: 3024,
  focalPx: [2780, 3260] as Range,
  /** Pitch of one stored pixel (binned where the sensor bins), micrometres. From memory. */
  pitchUm: [1.2, 2.4] as Range,
  /** From memory: main cameras of f/1.5 to f/2.2. */
  fNumber: [1.5, 2.2] as Range,
  /** Main cameras are built to be centred within some tens of pixels. From memory. */
  centreSdPx: 20,
  /** fx / fy of square pixels. From memory. */
  aspectSd: 0.0002,
  /**
   * Time from the first to the last row, s. Kalibr's table of phone cameras: 27 to 32 ms; newer
   * stacked sensors about 10 ms (from memory); so 10 to 30 ms.
   */
  readoutS: [0.01, 0.03] as Range,
  /** Radial distortion at r = tan(field angle) = 0.4 and 0.8, share of the radius. From memory. */
  distortionNear: [-0.006, 0.012] as Range,
  distortionFar: [-0.015, 0.015] as Range,
  decentring: 0.0004,
  /**
   * What Brown's five numbers cannot follow: a smooth radial ripple of 3 to 5 half waves over the
   * radius of the frame, and a thin-prism term; px at the corner of the frame, standard deviations.
   * Aspheric plastic lenses leave some tenths of a pixel with Brown's terms; from memory.
   */
  rippleSdPx: 0.12,
  rippleHalfWaves: [3, 5] as Range,
  prismSdPx: 0.15,
  /**
   * Change of the distortion with magnification m: all radial terms times (1 + k m). Brown,
   * Close-range camera calibration (1971): distortion changes by the order of m; formula from memory.
   */
  focusDistortion: [-1.5, 1.5] as Range,
  /** Lateral colour at the corner, px of red and blue against green, standard deviations; after the
   * phone's own correction. From memory. */
  redSdPx: 0.35,
  blueSdPx: 0.5,
  /** Blur of lens and pixel filter beside defocus, px (standard deviation). From memory. */
  opticsBlurPx: [0.35, 0.75] as Range,
  /** Stabilised lenses: share of phones, and share of the hand's turn that they take away. Two to
   * four stops are claimed (from memory); during a read-out less is left to do. */
  stabilisedShare: 0.5,
  stabilisation: [0.5, 0.9] as Range,
  /** Where a stabilised lens rests differs from photo to photo, px. design.md: 8 px as a prior. */
  restShiftSdPx: [2, 10] as Range,
  /** Focus motor: repeatability of the image distance, relative. From memory. */
  focalRepeatSd: 0.0003,
} as const;

export const handRanges = {
  /** Slow drift: about one degree a second in all (three axes). Issue of rolling shutter reports:
   * "even when standing still and shooting handheld" it matters; size from memory. */
  driftDegPerS: [0.25, 1.0] as Range,
  driftMmPerS: [2, 12] as Range,
  /** Physiological tremor of the hands, 8 to 12 Hz (from memory), amplitude per axis. */
  tremorHz: [8, 12] as Range,
  tremorDeg: [0.002, 0.012] as Range,
  tremorMm: [0.01, 0.06] as Range,
} as const;

export const photoRanges = {
  /** Exposure of a lit shop (300 to 1000 lux at f/1.8): 1/250 to 1/60 s. From memory. */
  exposureS: [0.004, 0.0167] as Range,
  /** Autofocus lands this far from what is in the middle of the frame, dioptres. From memory. */
  focusErrorSd: 0.02,
  /** Noise of a middle grey after the tone curve, grey levels, before noise reduction. */
  noiseLevels: [1.2, 4] as Range,
  /** Strength of noise reduction: the noise it believes in, against the true one. From memory. */
  noiseReduction: [0, 1.2] as Range,
  /** Unsharp mask: amount and radius px. From memory. */
  sharpenAmount: [0, 0.8] as Range,
  sharpenRadiusPx: [0.8, 1.8] as Range,
  /** Local tone mapping: gain varies by this share, over so many px. From memory. */
  localGain: [0, 0.2] as Range,
  localGainPx: [150, 700] as Range,
  /** Steepness added to the sRGB curve as an S. From memory. */
  toneS: [0, 0.15] as Range,
  /** libjpeg's quality of phone photos and of messengers. From memory; the bars name 60 to 98. */
  jpegQuality: [75, 98] as Range,
} as const;

export const printRanges = {
  /** Office printers: scale across and along the paper. From memory; stretches of 0.25 % one way
   * against the other were seen in a trial. */
  scaleSd: 0.0015,
  stretchSd: 0.0015,
  /** Boards of one printer among each other; the job file's default. */
  ownScaleSd: 0.0001,
  /** Bulge over a board's width, mm; the job file's default. */
  bulgeSdMm: 0.2,
  sheetBulgeSdMm: 0.3,
  /** Reading of a 200 mm bar with a steel rule, mm; the job file's default. */
  readingSdMm: 0.15,
  /** Reflectance of toner and paper, from memory. */
  black: [0.03, 0.07] as Range,
  white: [0.75, 0.9] as Range,
} as const;

export const bayRanges = {
  /** Invented cars. */
  wheelbaseMm: [2450, 2900] as Range,
  trackMm: [1450, 1620] as Range,
  plateStandOffMm: 168,
  wheelCentreMm: [290, 340] as Range,
  toeDeg: 0.15,
  camberDeg: 0.8,
  /** The range of target distances. */
  targetAheadMm: [1500, 3000] as Range,
  targetLeftSdMm: 25,
  targetHeightMm: [900, 1300] as Range,
  targetTurnSdDeg: 0.7,
  floorSdMm: 0.5,
  floorTiltSdDeg: 0.3,
  /** Laser between floor boards' centres: its reading is all but exact, so that scale is known. */
  lengthSdMm: 0.1,
  /** A place that a person was asked to stand at. */
  stationSdMm: 150,
} as const;
