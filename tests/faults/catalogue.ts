import { bayFaults } from "./bay.ts";
import { cameraFaults } from "./camera.ts";
import type { Fault } from "./fault.ts";
import { peopleFaults } from "./people.ts";
import { photoFaults } from "./photo.ts";
import { pictureFaults } from "./picture.ts";
import { printFaults } from "./print.ts";

/** Every way to be wrong that was thought of, in five families. */
export const catalogue: readonly Fault[] = [
  ...printFaults,
  ...bayFaults,
  ...photoFaults,
  ...pictureFaults,
  ...cameraFaults,
  ...peopleFaults,
];
