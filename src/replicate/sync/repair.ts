/**
 * Looks after what the store should have: an object that is missing there, or of another length, is
 * stored anew by a device that has it. Asks one question for each object of this device.
 */

import type { Replica } from "./replica.ts";
import { putObject, storedWhole, type Vault } from "./vault.ts";

export async function repair(
  vault: Vault,
  replica: Pick<Replica, "entries" | "read">,
): Promise<{ readonly looked: number; readonly mended: number }> {
  let looked = 0;
  let mended = 0;
  for (const { sha256, bytes, key } of await replica.entries()) {
    // Objects under an earlier key were stored whole once; this key cannot write them.
    if (key !== vault.keys[0].id) continue;
    const own = await replica.read(sha256);
    if (!own) continue;
    looked++;
    if (await storedWhole(vault, sha256, bytes)) continue;
    await putObject(vault, sha256, own);
    mended++;
  }
  return { looked, mended };
}
