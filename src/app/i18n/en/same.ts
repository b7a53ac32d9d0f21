/** The same keys as the English texts of a stage: no text may be missing, none may be extra. */
export type Same<English> = Readonly<Record<keyof English, string>>;
