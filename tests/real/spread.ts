/**
 * What a phone's photos differ by, as general priors, not fitted to any set: focal length and principal
 * point change as in any job (0.3 %, 2 thousandths of the width); a hand of 2 degrees and 60 mm a second
 * over a read-out of 50 ms (stills of phones: 1/10 to 1/60 s, ISPRS Archives XLVIII-2-W12-2026, 495), a
 * third of the turn as sway.
 */
export const spread = {
  focalSd: 0.003,
  shiftShare: 0.002,
  motion: { turnSd: 0.00175, shiftSdMm: 3, swaySd: 0.0006 },
} as const;
