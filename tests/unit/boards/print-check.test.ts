import { describe, expect, test } from "vitest";
import {
  checkPrint,
  errorAtFourMetres,
  type PrintReadings,
  type PrintScale,
} from "../../../src/boards/print-check.ts";

const readings = (across: number, up: number, readingSdMm = 0.15): PrintReadings => ({
  horizontal: { nominalMm: 190, readingMm: across },
  vertical: { nominalMm: 270, readingMm: up },
  readingSdMm,
  rulerSd: 0,
});

function accepted(r: PrintReadings, cellMm = 13): PrintScale {
  const check = checkPrint(cellMm, r);
  if (!check.ok) throw new Error(check.remark.message);
  return check;
}

function refused(r: PrintReadings): string {
  const check = checkPrint(13, r);
  if (check.ok) throw new Error(`accepted as ${check.scale}`);
  expect(check.remark.severity).toBe("error");
  return check.remark.message;
}

const codes = (check: PrintScale): string[] => check.remarks.map((r) => r.code);

describe("print check", () => {
  test("a print as designed", () => {
    const check = accepted(readings(190, 270));
    expect(check.scale).toBe(1);
    expect(check.cellMm).toBe(13);
    expect(codes(check)).toEqual([]);
    // Weighted mean of two independent scales: 1 / sqrt(sum of 1 / variance) = sd / sqrt(190^2 + 270^2).
    expect(Math.abs(check.relativeSd - 0.15 / Math.hypot(190, 270))).toBeLessThan(1e-12);
  });

  test("a uniform print error is measured and explained at 4 m", () => {
    const check = accepted(readings(190 * 0.995, 270 * 0.995));
    expect(Math.abs(check.cellMm - 12.935)).toBeLessThan(1e-9);
    expect(codes(check)).toEqual([]);
    // The design's own figure: 0.5 % moves a distance of 4 m by 20 mm.
    expect(Math.abs(errorAtFourMetres(0.995) - 20.1)).toBeLessThan(0.05);
  });

  test("fit to page: 97 % is used, but said loudly", () => {
    const check = accepted(readings(184.3, 261.9));
    expect(codes(check)).toEqual(["print-scaled"]);
    expect(check.remarks[0].message).toContain("97.0 %");
    expect(check.remarks[0].message).toContain("124 mm too long");
    expect(check.remarks[0].remedy).toContain("100 %");
  });

  test("a larger print makes distances too short", () => {
    const check = accepted(readings(193.8, 275.4));
    expect(check.remarks[0].message).toMatch(/102\.0 %.* 78 mm too short/);
  });

  test("stretched one way: both scales are used, each with its own uncertainty", () => {
    const check = accepted(readings(190, 270 * 0.99));
    expect(codes(check)).toContain("print-stretched");
    expect(Math.abs(check.scale - 0.995)).toBeLessThan(1e-12);
    expect(Math.abs(check.width - 1)).toBeLessThan(1e-12);
    expect(Math.abs(check.height - 0.99)).toBeLessThan(1e-12);
    expect(Math.abs(check.widthSd - 0.15 / 190)).toBeLessThan(1e-12);
    expect(Math.abs(check.heightSd - 0.15 / 270)).toBeLessThan(1e-12);
    // Within reading noise nothing is said.
    expect(codes(accepted(readings(190.2, 270)))).toEqual([]);
  });

  test("the ruler's own error is common to both bars and does not average out", () => {
    const sharp = accepted({ ...readings(190, 270, 1e-6), rulerSd: 0.0005 });
    expect(Math.abs(sharp.relativeSd - 0.0005)).toBeLessThan(1e-8);
    expect(
      accepted({ ...readings(190, 270, 1e-6), rulerSd: undefined }).relativeSd,
    ).toBeGreaterThan(0.0004);
  });

  test("readings that cannot be right are refused with the reason", () => {
    expect(refused(readings(7.48, 10.63))).toContain("looks like inches");
    expect(refused(readings(19, 27))).toContain("looks like centimetres");
    expect(refused(readings(270, 190))).toContain("swapped");
    expect(refused(readings(190, 200))).toContain("vertical bar");
    expect(refused(readings(0, 270))).toContain("horizontal bar");
    expect(refused(readings(Number.NaN, 270))).toContain("horizontal bar");
    expect(refused(readings(190, Number.POSITIVE_INFINITY))).toContain("vertical bar");
    expect(refused(readings(190, 270, 0))).toContain("above 0 mm");
    expect(checkPrint(0, readings(190, 270)).ok).toBe(false);
  });
});
