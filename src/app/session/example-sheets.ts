/** The invented example sheets that ship with the program, loaded only when asked for. */
export async function exampleSheets(): Promise<
  { readonly title: string; readonly sheet: unknown }[]
> {
  const { exampleSheets: sheets } = await import("../../placement/examples/index.ts");
  return Object.values(sheets).map((sheet) => ({ title: sheet.title, sheet }));
}
