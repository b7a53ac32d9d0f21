import { deflateSync } from "node:zlib";
import { boardCells, cellIsBlack, marginCells } from "../../src/boards/pattern.ts";
import { dot, invert, type Pose, transform, type Vec3 } from "../../src/maths/pose.ts";

/**
 * Sharp pinhole pictures of boards as PNG files, drawn in a blink: each pixel averages a few rays.
 * For walks through the app; exact images are `render-board.ts`'s.
 */
export interface PinholePicture {
  readonly width: number;
  readonly height: number;
  readonly focalPx: number;
  /** cameraFromBoard of each board, lengths in cells. */
  readonly boards: readonly { readonly id: number; readonly pose: Pose }[];
}

const raysPerSide = 4;
const grey = { ground: 120, paper: 225, ink: 30 };

export const quickPhoto = (picture: PinholePicture): Buffer => {
  const { width, height } = picture;
  const sum = new Float64Array(width * height).fill(grey.ground);
  for (const board of picture.boards) drawBoard(picture, board.id, board.pose, sum);
  return greyPng(width, height, Uint8Array.from(sum, Math.round));
};

function drawBoard(picture: PinholePicture, id: number, pose: Pose, into: Float64Array): void {
  const { width, height, focalPx } = picture;
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const half = boardCells / 2 + marginCells;
  const corners = [-half, half].flatMap((x) =>
    [-half, half].map((y) => {
      const p = transform(pose, [x, y, 0]);
      return [cx + (focalPx * p[0]) / p[2], cy + (focalPx * p[1]) / p[2]];
    }),
  );
  const span = (k: number, size: number): [number, number] => [
    Math.max(0, Math.floor(Math.min(...corners.map((c) => c[k])))),
    Math.min(size - 1, Math.ceil(Math.max(...corners.map((c) => c[k])))),
  ];
  const [left, right] = span(0, width);
  const [top, bottom] = span(1, height);
  const back = invert(pose);
  const eye = back.t;
  const rays = raysPerSide * raysPerSide;
  for (let y = top; y <= bottom; y++)
    for (let x = left; x <= right; x++) {
      let light = 0;
      for (let k = 0; k < rays; k++) {
        const dx = ((k % raysPerSide) + 0.5) / raysPerSide - 0.5;
        const dy = (Math.floor(k / raysPerSide) + 0.5) / raysPerSide - 0.5;
        const ray: Vec3 = [(x + dx - cx) / focalPx, (y + dy - cy) / focalPx, 1];
        light += greyAt(id, back, eye, ray, half) ?? into[y * width + x];
      }
      into[y * width + x] = light / rays;
    }
}

/** Grey of the board where the ray meets its plane; null beside the sheet. */
function greyAt(id: number, { R }: Pose, eye: Vec3, ray: Vec3, half: number): number | null {
  const row = (i: number): number => dot([R[3 * i], R[3 * i + 1], R[3 * i + 2]], ray);
  const far = -eye[2] / row(2);
  const [x, y] = [eye[0] + far * row(0), eye[1] + far * row(1)];
  if (Math.abs(x) > half || Math.abs(y) > half) return null;
  const at = boardCells / 2;
  return cellIsBlack(id, Math.floor(at - y), Math.floor(at + x)) ? grey.ink : grey.paper;
}

/** A grey PNG without filters (RFC 2083, sections 3, 5 and 11), with EXIF where it is given. */
export function greyPng(
  width: number,
  height: number,
  data: Uint8Array,
  tiff?: Uint8Array,
): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header[8] = 8;
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++)
    rows.set(data.subarray(y * width, (y + 1) * width), y * (width + 1) + 1);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    ...(tiff ? [chunk("eXIf", Buffer.from(tiff))] : []),
    chunk("IDAT", deflateSync(rows, { level: 1 })),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

function chunk(name: string, body: Buffer): Buffer {
  const typed = Buffer.concat([Buffer.from(name, "latin1"), body]);
  const framed = Buffer.alloc(typed.length + 8);
  framed.writeUInt32BE(body.length, 0);
  framed.set(typed, 4);
  framed.writeUInt32BE(crc32(typed), typed.length + 4);
  return framed;
}

/** CRC-32 of PNG, bit by bit (RFC 2083, section 15). */
function crc32(bytes: Buffer): number {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit++) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return ~sum >>> 0;
}
