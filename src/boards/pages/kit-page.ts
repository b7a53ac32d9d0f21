/** One page of the kit. */
export type KitPage =
  | { readonly kind: "cover" }
  | { readonly kind: "camera sheet" }
  | { readonly kind: "board"; readonly id: number };
