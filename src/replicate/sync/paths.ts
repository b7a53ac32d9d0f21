/**
 * Where things lie in a store.
 *
 *     keys/<key id>.json                        one plain file for each shop key
 *     objects/<key id>/<2 digits>/<name>        sealed objects, 256 folders that nobody ever lists
 *     index/<lane>/<yyyy-mm>/<dd>-<name>        index objects by the day on which they were stored
 *     index/<lane>/<yyyy-mm>/all-<name>         index objects of a whole month, gathered
 *
 * One folder for a month: it is listed with one request, days that are past are a line each, and no
 * folder ever has to be deleted, which WebDAV would do with whatever came into it meanwhile.
 * Days are the store's own (what it says of an object just stored), so that a phone with a wrong clock
 * writes where the others look.
 */
import type { Lane } from "../formats/entry.ts";

export const keysFolder = "keys";
export const ringPath = (id: string): string => `${keysFolder}/${id}.json`;
export const objectPath = (keyId: string, name: string): string =>
  `objects/${keyId}/${name.slice(0, 2)}/${name}`;
export const laneFolder = (lane: Lane): string => `index/${lane}`;
export const monthFolder = (lane: Lane, month: string): string => `${laneFolder(lane)}/${month}`;

export const isMonth = (name: string): boolean => /^\d{4}-\d{2}$/.test(name);
export const monthOf = (day: string): string => day.slice(0, 7);

/** Day of an index object by the file's name, "all" for a gathered month. */
export const dayInMonth = (file: string): string => file.slice(0, file.indexOf("-"));

/** Day of a time (ms since 1970) in UTC. */
export const dayOf = (ms: number): string => new Date(ms).toISOString().slice(0, 10);

const dayMs = 86_400_000;
export const daysBefore = (day: string, count: number): string =>
  dayOf(Date.parse(`${day}T00:00:00Z`) - count * dayMs);

/** Name of a sealed object in the name of a file: the last 64 digits. */
export const sealedNameIn = (file: string): string => file.slice(-64);
