/**
 * AES-256-GCM (NIST SP 800-38D) by the browser's or Node's WebCrypto where there is one, else by
 * @noble/ciphers: a page on plain http in the shop's own network has no WebCrypto.
 */
import { gcm } from "@noble/ciphers/aes.js";

type Bytes = Uint8Array<ArrayBuffer>;

export interface AesGcm {
  /** Cipher text with the tag of 16 bytes behind it. */
  seal(key: Bytes, nonce: Bytes, plain: Bytes, beside: Bytes): Promise<Bytes>;
  /** Null where the tag does not fit. */
  open(key: Bytes, nonce: Bytes, sealed: Bytes, beside: Bytes): Promise<Bytes | null>;
}

/** The part of SubtleCrypto that is used. */
export interface Subtle {
  importKey(
    format: "raw",
    key: Bytes,
    algorithm: string,
    extractable: boolean,
    uses: ("encrypt" | "decrypt")[],
  ): Promise<unknown>;
  encrypt(how: GcmParameters, key: never, bytes: Bytes): Promise<ArrayBuffer>;
  decrypt(how: GcmParameters, key: never, bytes: Bytes): Promise<ArrayBuffer>;
}
interface GcmParameters {
  readonly name: "AES-GCM";
  readonly iv: Bytes;
  readonly additionalData: Bytes;
}

const inPlainCode: AesGcm = {
  seal: async (key, nonce, plain, beside) => gcm(key, nonce, beside).encrypt(plain) as Bytes,
  open: async (key, nonce, sealed, beside) => {
    try {
      return gcm(key, nonce, beside).decrypt(sealed) as Bytes;
    } catch {
      return null;
    }
  },
};

const byPlatform = (subtle: Subtle): AesGcm => {
  const parameters = (iv: Bytes, additionalData: Bytes): GcmParameters => ({
    name: "AES-GCM",
    iv,
    additionalData,
  });
  return {
    seal: async (key, nonce, plain, beside) => {
      const imported = await subtle.importKey("raw", key, "AES-GCM", false, ["encrypt"]);
      return new Uint8Array(
        await subtle.encrypt(parameters(nonce, beside), imported as never, plain),
      );
    },
    open: async (key, nonce, sealed, beside) => {
      const imported = await subtle.importKey("raw", key, "AES-GCM", false, ["decrypt"]);
      try {
        return new Uint8Array(
          await subtle.decrypt(parameters(nonce, beside), imported as never, sealed),
        );
      } catch {
        return null;
      }
    },
  };
};

export const aesGcm = (subtle: Subtle | undefined): AesGcm =>
  subtle ? byPlatform(subtle) : inPlainCode;
