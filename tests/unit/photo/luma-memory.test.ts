import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { LumaMemory } from "../../../src/photo/grey/luma-memory.ts";
import { decodeJpeg } from "../../../src/photo/jpeg/jpeg.ts";

const photo = (name: string) =>
  new Uint8Array(readFileSync(`sample-images/demo-job/photos/${name}`));

it("decodes photo after photo into the same memory, with the same grey values", () => {
  const memory = new LumaMemory();
  const files = [photo("bay-01.jpg"), photo("bay-02.jpg"), photo("bay-01.jpg")];
  const buffers = new Set<unknown>();
  for (const file of files) {
    const own = decodeJpeg(file);
    const shared = decodeJpeg(file, { memory });
    if (!own.ok || !shared.ok) throw new Error("a sample photo was refused");
    expect(Buffer.compare(shared.luma.data, own.luma.data)).toBe(0);
    buffers.add(shared.luma.data.buffer);
    expect(shared.luma.data.buffer).not.toBe(own.luma.data.buffer);
  }
  expect(buffers.size).toBe(1);
});

it("gives other memory to a photo of another size", () => {
  const memory = new LumaMemory();
  expect(memory.take(100).byteLength).toBe(100);
  expect(memory.take(50).byteLength).toBe(50);
});
