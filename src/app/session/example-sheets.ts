/** The invented example sheets that ship with the program, loaded only when asked for. */
const files = import.meta.glob<unknown>("../../placement/examples/*.json", { import: "default" });

export async function exampleSheets(): Promise<
  { readonly title: string; readonly sheet: unknown }[]
> {
  const sheets = await Promise.all(Object.values(files).map((load) => load()));
  return sheets
    .map((sheet) => ({ title: String((sheet as { title?: unknown }).title ?? ""), sheet }))
    .sort((a, b) => a.title.localeCompare(b.title));
}
