/** A store in a folder of this computer's disk, for instance the one that a network storage shares. */
import { randomBytes } from "node:crypto";
import { link, mkdir, open, readdir, readFile, rename, rm, stat } from "node:fs/promises";
import { dirname, join, resolve, sep } from "node:path";
import { StoreFault } from "../../replicate/faults/faults.ts";
import type { Bytes, Head, Listed, Store } from "../../replicate/stores/store.ts";

const codeOf = (error: unknown): string => (error as NodeJS.ErrnoException).code ?? "";

export function folderStore(folder: string): Store {
  const root = resolve(folder);
  const pathOf = (path: string): string => {
    const full = join(root, path);
    if (full !== root && !full.startsWith(root + sep)) throw new Error(`${path} leaves ${root}.`);
    return full;
  };
  const faultOf = (error: unknown): unknown => {
    const values = { address: root };
    if (["ENOSPC", "EDQUOT"].includes(codeOf(error))) return new StoreFault("full", values);
    if (["EACCES", "EPERM", "EROFS"].includes(codeOf(error))) {
      return new StoreFault("read-only", values);
    }
    return error;
  };
  /** Null where the disk says that there is nothing. */
  const orNull = async <T>(question: Promise<T>): Promise<T | null> => {
    try {
      return await question;
    } catch (error) {
      if (["ENOENT", "ENOTDIR"].includes(codeOf(error))) return null;
      throw faultOf(error);
    }
  };
  /** Written whole under another name first: a name of ours never shows half a body. */
  const written = async (path: string, bytes: Bytes): Promise<string> => {
    const draft = `${pathOf(path)}.${randomBytes(6).toString("hex")}.part`;
    try {
      await mkdir(dirname(draft), { recursive: true });
      const file = await open(draft, "wx");
      try {
        await file.writeFile(bytes);
        await file.sync();
      } finally {
        await file.close();
      }
      return draft;
    } catch (error) {
      await rm(draft, { force: true }).catch(() => undefined);
      throw faultOf(error);
    }
  };

  return {
    address: root,
    async list(inside) {
      const found = await orNull(readdir(pathOf(inside), { withFileTypes: true }));
      const listed: Listed[] = [];
      for (const item of found ?? []) {
        if (item.name.endsWith(".part")) continue;
        listed.push({ name: item.name, folder: item.isDirectory(), bytes: 0 });
      }
      return listed;
    },
    async head(path): Promise<Head | null> {
      const found = await orNull(stat(pathOf(path)));
      return found?.isFile() ? { bytes: found.size, storedAt: found.mtimeMs } : null;
    },
    async get(path) {
      const bytes = await orNull(readFile(pathOf(path)));
      return bytes && (new Uint8Array(bytes) as Bytes);
    },
    async putIfAbsent(path, bytes) {
      const draft = await written(path, bytes);
      try {
        // Fails where the name exists: the condition is the disk's own.
        await link(draft, pathOf(path));
        return "stored";
      } catch (error) {
        if (codeOf(error) === "EEXIST") return "present";
        // Disks without hard links (FAT, some network storages).
        if (!["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS"].includes(codeOf(error)))
          throw faultOf(error);
        if (await orNull(stat(pathOf(path)))) return "present";
        await rename(draft, pathOf(path));
        return "stored";
      } finally {
        await rm(draft, { force: true });
      }
    },
    async replace(path, bytes) {
      const draft = await written(path, bytes);
      await rename(draft, pathOf(path)).catch((error) => Promise.reject(faultOf(error)));
    },
    async delete(path) {
      await rm(pathOf(path), { force: true }).catch((error) => Promise.reject(faultOf(error)));
    },
  };
}
