/**
 * General experience about phones, before any photo was seen: the focal length changes from photo to
 * photo by 0.3 % (relative), the principal point by 8 px on a picture 4032 px wide (share of the
 * width). How the sheet photos correct this: src/adjust/spreads/variance-component.ts. Photos of a
 * planar sheet separate focal change and shift from distance and turn only at a slant, so that each
 * may contribute much less than one degree of freedom.
 */
export const usualFocalSd = 0.003;
export const usualShiftSd = 8 / 4032;
