/**
 * Gives a TensorFlow Lite face model the metadata that the detector asks for: that its input is RGB
 * and is normalised with mean 127.5 and standard deviation 127.5. The model's own bytes stay as they
 * are; in front of them comes a new root table whose offsets lead into the old file, with one buffer
 * more. Layouts: TensorFlow Lite `schema.fbs` version 3 and `metadata_schema.fbs`, FlatBuffers
 * internals (all little endian; offsets are unsigned and lead forward from where they stand).
 */
import { Builder } from "flatbuffers";

/** Fields of the root table `Model`, in the schema's order. */
const field = { version: 0, operatorCodes: 1, subgraphs: 2, description: 3, buffers: 4 } as const;
const metadataField = 6;
const vectorFields = [field.operatorCodes, field.subgraphs, field.description] as const;

/** Old data keep their alignment when what stands in front is a multiple of this. */
const alignment = 16;

const fileIdentifier = "TFL3";
const metadataName = "TFLITE_METADATA";

/** Unions and enumerations of the metadata schema. */
const imageProperties = 2;
const rgb = 1;
const normalizationOptions = 1;

/** The metadata of a model with one RGB picture as its input. */
export function rgbMetadata(mean: number, standardDeviation: number): Uint8Array {
  const b = new Builder(256);
  const floats = (value: number): number => {
    b.startVector(4, 1, 4);
    b.addFloat32(value);
    return b.endVector();
  };
  const means = floats(mean);
  const deviations = floats(standardDeviation);
  b.startObject(2);
  b.addFieldOffset(0, means, 0);
  b.addFieldOffset(1, deviations, 0);
  const normalization = b.endObject();
  b.startObject(2);
  b.addFieldInt8(0, normalizationOptions, 0);
  b.addFieldOffset(1, normalization, 0);
  const processUnit = b.endObject();
  const processUnits = vectorOf(b, processUnit);
  b.startObject(2);
  b.addFieldInt8(0, rgb, 0);
  const image = b.endObject();
  b.startObject(3);
  b.addFieldInt8(0, imageProperties, 0);
  b.addFieldOffset(1, image, 0);
  const content = b.endObject();
  b.startObject(7);
  b.addFieldOffset(3, content, 0);
  b.addFieldOffset(4, processUnits, 0);
  const tensor = b.endObject();
  const tensors = vectorOf(b, tensor);
  b.startObject(11);
  b.addFieldOffset(2, tensors, 0);
  const subgraph = b.endObject();
  const subgraphs = vectorOf(b, subgraph);
  const name = b.createString("face detector");
  b.startObject(8);
  b.addFieldOffset(0, name, 0);
  b.addFieldOffset(3, subgraphs, 0);
  b.finish(b.endObject(), "M001");
  return b.asUint8Array();
}

function vectorOf(b: Builder, offset: number): number {
  b.startVector(4, 1, 4);
  b.addOffset(offset);
  return b.endVector();
}

/** The model with the metadata; throws where the file is no model in the known layout. */
export function withMetadata(model: Uint8Array, metadata: Uint8Array): Uint8Array {
  const old = new DataView(model.buffer, model.byteOffset, model.byteLength);
  if (String.fromCharCode(...model.subarray(4, 8)) !== fileIdentifier) {
    throw new Error("This is no TensorFlow Lite model.");
  }
  const root = old.getUint32(0, true);
  const vtable = root - old.getInt32(root, true);
  const place = (index: number): number => {
    const at = 4 + 2 * index;
    const offset = at < old.getUint16(vtable, true) ? old.getUint16(vtable + at, true) : 0;
    return offset === 0 ? 0 : root + offset;
  };
  const target = (index: number): number => {
    const at = place(index);
    return at === 0 ? 0 : at + old.getUint32(at, true);
  };
  // Entries that are there already (a runtime's version) stay.
  const oldEntries = target(metadataField);
  const entries = oldEntries === 0 ? 0 : old.getUint32(oldEntries, true);
  const oldBuffers = target(field.buffers);
  const count = old.getUint32(oldBuffers, true);

  // Places in the new front part.
  const newVtable = 8;
  const table = 28;
  const buffers = table + 32;
  const metadataVector = buffers + 4 + 4 * (count + 1);
  const entryVtable = metadataVector + 4 + 4 * (entries + 1);
  const entry = entryVtable + 8;
  const nameAt = entry + 12;
  const bufferVtable = nameAt + 4 + Math.ceil((metadataName.length + 1) / 4) * 4;
  const buffer = bufferVtable + 8;
  const dataAt = Math.ceil((buffer + 8 + 4) / alignment) * alignment - 4;
  const front = Math.ceil((dataAt + 4 + metadata.length) / alignment) * alignment;

  const bytes = new Uint8Array(front + model.length);
  const view = new DataView(bytes.buffer);
  bytes.set(model, front);
  const lead = (at: number, to: number): void => view.setUint32(at, to - at, true);
  const words = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  };

  lead(0, table);
  words(4, fileIdentifier);
  // Model: version, operator codes, subgraphs, description, buffers, (no metadata_buffer), metadata.
  const offsets = [4, 8, 12, 16, 20, 0, 24];
  view.setUint16(newVtable, 4 + 2 * offsets.length, true);
  view.setUint16(newVtable + 2, 28, true);
  for (const [i, offset] of offsets.entries()) view.setUint16(newVtable + 4 + 2 * i, offset, true);
  view.setInt32(table, table - newVtable, true);
  view.setUint32(table + 4, old.getUint32(place(field.version), true), true);
  for (const [i, index] of vectorFields.entries()) {
    const to = target(index);
    if (to === 0) view.setUint16(newVtable + 4 + 2 * index, 0, true);
    else lead(table + 8 + 4 * i, front + to);
  }
  lead(table + 20, buffers);
  lead(table + 24, metadataVector);

  view.setUint32(buffers, count + 1, true);
  for (let i = 0; i < count; i++) {
    const from = oldBuffers + 4 + 4 * i;
    lead(buffers + 4 + 4 * i, front + from + old.getUint32(from, true));
  }
  lead(buffers + 4 + 4 * count, buffer);

  view.setUint32(metadataVector, entries + 1, true);
  for (let i = 0; i < entries; i++) {
    const from = oldEntries + 4 + 4 * i;
    lead(metadataVector + 4 + 4 * i, front + from + old.getUint32(from, true));
  }
  lead(metadataVector + 4 + 4 * entries, entry);
  // Metadata: name, buffer.
  view.setUint16(entryVtable, 8, true);
  view.setUint16(entryVtable + 2, 12, true);
  view.setUint16(entryVtable + 4, 4, true);
  view.setUint16(entryVtable + 6, 8, true);
  view.setInt32(entry, entry - entryVtable, true);
  lead(entry + 4, nameAt);
  view.setUint32(entry + 8, count, true);
  view.setUint32(nameAt, metadataName.length, true);
  words(nameAt + 4, metadataName);

  // Buffer: data.
  view.setUint16(bufferVtable, 6, true);
  view.setUint16(bufferVtable + 2, 8, true);
  view.setUint16(bufferVtable + 4, 4, true);
  view.setInt32(buffer, buffer - bufferVtable, true);
  lead(buffer + 4, dataAt);
  view.setUint32(dataAt, metadata.length, true);
  bytes.set(metadata, dataAt + 4);
  return bytes;
}
