/**
 * What can go wrong between a device and a store, in words: what is wrong, and what to do. The app
 * says the same in other languages by the code.
 */
export const faultTexts = {
  unreachable:
    "The store {address} gives no answer ({reason}). Check the network and the address. A browser says the same of a certificate that it does not trust and of a store that does not allow this app's address (CORS).",
  certificate:
    "The certificate of {address} is not trusted ({reason}). Ask whoever runs the store; nothing was sent.",
  refused: "The store {address} does not accept the user name or the password.",
  "read-only": "The store {address} can be read but not written to. Ask for the right to write.",
  full: "The store {address} is full. Nothing is lost: what waits is kept on this device. Make room there, then go on.",
  "not-there": "There is no such folder at {address}. Check the address.",
  "no-store": "What answers at {address} is no WebDAV or S3 store (answer {status}).",
  busy: "The store {address} has no time or a fault of its own (answer {status}). What waits is kept; try again later.",
  clock:
    "The store {address} refuses because this device's clock is wrong. Set date and time of this device.",
  insecure:
    "S3 needs an app that was opened over https, because browsers sign only there. Use WebDAV, or npm start -- --https.",
  "key-wrong": "The key or phrase is not that of this shop's store. Nothing was read or written.",
  "key-changed":
    "The shop's key was changed. Add this device again with a new QR code. What waits is kept on this device.",
  "phrase-unused": "The shop's present key is a key file: a phrase does not open it.",
  damaged: "{name} in the store is damaged. It was not taken in, and nothing here was replaced.",
  foreign:
    "{name} in the store is not what its name stands for. It was not taken in, and nothing here was replaced.",
  gap: "The store does not show index {number} of device {device}, though it must exist: it was taken away, or the store shows an old state.",
  "device-clock":
    "This device's clock differs from the store's by {minutes} minutes. Times in records come from this device: set the clock.",
  missing: "{name} is named by an index but is not in the store.",
  "newer-program":
    "{name} was written by a newer version of the program. Update this device to read it.",
} as const;

export type FaultCode = keyof typeof faultTexts;
export type FaultValues = Readonly<Record<string, string | number>>;

export interface Fault {
  readonly code: FaultCode;
  readonly values: FaultValues;
}

export const faultSentence = ({ code, values }: Fault): string =>
  faultTexts[code].replace(/\{(\w+)\}/g, (whole, name) => String(values[name] ?? whole));

/** Ends what was being done; what was done before it stays. */
export class StoreFault extends Error implements Fault {
  constructor(
    readonly code: FaultCode,
    readonly values: FaultValues = {},
    /** True where the same question may be answered a moment later. */
    readonly again = false,
  ) {
    super(faultSentence({ code, values }));
    this.name = "StoreFault";
  }
}
