/** A store by its address on the command line, and the shop key from a file or a phrase. */
import { webcrypto } from "node:crypto";
import { readFile } from "node:fs/promises";
import { setTimeout as wait } from "node:timers/promises";
import { StoreFault } from "../../replicate/faults/faults.ts";
import {
  keyFileSchema,
  readInvitation,
  type StoreAddress,
} from "../../replicate/formats/address.ts";
import { aesGcm, type Subtle } from "../../replicate/keys/aes-gcm.ts";
import { presentRings } from "../../replicate/keys/ring.ts";
import { keyOfPhrase, type ShopKey, secretOfText, shopKey } from "../../replicate/keys/shop-key.ts";
import { patientStore } from "../../replicate/stores/patient.ts";
import { s3Store } from "../../replicate/stores/s3.ts";
import type { Store } from "../../replicate/stores/store.ts";
import { webdavStore } from "../../replicate/stores/webdav.ts";
import { openVault, readRings, type Vault } from "../../replicate/sync/vault.ts";
import { UnusableInput } from "../job-folder.ts";
import { folderStore } from "../stores/folder-store.ts";
import { nodeSend } from "../stores/node-send.ts";

export const cipher = aesGcm(webcrypto.subtle as unknown as Subtle);

type Environment = Readonly<Record<string, string | undefined>>;

/**
 * "s3://bucket/folder" with the endpoint and keys in the environment, "https://user@host/folder" with
 * the password there, or a folder of the disk: what is on a command line can be read by others.
 */
export function addressOf(written: string, env: Environment): StoreAddress {
  const s3 = /^s3:\/\/([^/]+)\/?(.*)$/.exec(written);
  if (s3) {
    const {
      S3_ENDPOINT: url,
      AWS_ACCESS_KEY_ID: accessKey,
      AWS_SECRET_ACCESS_KEY: secretKey,
    } = env;
    if (!url || !accessKey || !secretKey) {
      throw new UnusableInput(
        "For s3:// set S3_ENDPOINT, AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY in the environment.",
      );
    }
    const region = env.AWS_REGION ?? "us-east-1";
    return { kind: "s3", url, bucket: s3[1], folder: s3[2], region, accessKey, secretKey };
  }
  if (!/^https?:\/\//i.test(written)) return { kind: "folder", path: written };
  let url: URL;
  try {
    url = new URL(written);
  } catch {
    throw new UnusableInput(`${written} is no address.`);
  }
  const user = decodeURIComponent(url.username);
  const password = decodeURIComponent(url.password) || (env.STORE_PASSWORD ?? "");
  url.username = "";
  url.password = "";
  return { kind: "webdav", url: url.toString(), user, password };
}

export function storeAt(address: StoreAddress): Store {
  const plain = {
    folder: () => folderStore((address as { path: string }).path),
    webdav: () => webdavStore(address as never, nodeSend),
    s3: () => s3Store(address as never, nodeSend, Date.now),
  }[address.kind]();
  return patientStore(plain, { wait: (ms) => wait(ms), random: Math.random });
}

/** The key in a file: a key file, or the text of an invitation. */
async function keyInFile(path: string): Promise<ShopKey> {
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch {
    throw new UnusableInput(`${path} cannot be read.`);
  }
  const invitation = readInvitation(text);
  const written = invitation?.key ?? keyIn(text);
  const secret = written && secretOfText(written);
  if (!secret) throw new UnusableInput(`${path} is no key file (plumbshot-shop-key).`);
  return shopKey(secret);
}

const keyIn = (text: string): string | null => {
  try {
    return keyFileSchema.parse(JSON.parse(text)).key;
  } catch {
    return null;
  }
};

/** Opens a store with a key file, or with the phrase in SHOP_PHRASE. Throws StoreFault, UnusableInput. */
export async function openShop(
  written: string,
  keyFile: string | undefined,
  env: Environment = process.env,
): Promise<Vault> {
  const store = storeAt(addressOf(written, env));
  if (keyFile) return openVault(store, cipher, await keyInFile(keyFile), null);
  if (!env.SHOP_PHRASE) {
    throw new UnusableInput("Name a key file with --key, or set SHOP_PHRASE in the environment.");
  }
  const [ring] = presentRings(await readRings(store));
  if (!ring) throw new StoreFault("key-wrong");
  if (!ring.phrase) throw new StoreFault("phrase-unused");
  return openVault(store, cipher, await keyOfPhrase(env.SHOP_PHRASE, ring.phrase.salt), null);
}
