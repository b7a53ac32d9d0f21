declare module "libheif-js/libheif-wasm/libheif-bundle.mjs" {
  const make: () => import("./libheif.ts").LibHeif;
  export default make;
}
