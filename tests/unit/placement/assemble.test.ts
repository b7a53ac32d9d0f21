import { describe, expect, test } from "vitest";
import {
  checkResultSchema,
  drawingSchema,
  moveSchema,
  vehicleLineSchema,
} from "../../../src/job/result/result.ts";
import { evaluatePlacement, placementPieces } from "../../../src/placement/assemble.ts";
import { fakeSolution } from "./fake-solution.ts";
import { buildScene, setup, sheet, step } from "./scene.ts";

const measured = (evaluation: ReturnType<typeof evaluatePlacement>): Record<string, number> =>
  Object.fromEntries(evaluation.checks.map((c) => [c.id, c.measured]));

describe("one step from network to words", () => {
  test("a target where it should be measures as required, whatever the bay frame", () => {
    const solution = fakeSolution(buildScene());
    const values = measured(evaluatePlacement(solution, setup, sheet, step));
    const expected = { distance: 1500, lateral: 0, height: 1200, yaw: 0, pitch: 0, roll: 0 };
    for (const [id, value] of Object.entries(expected)) {
      expect(Math.abs(values[id] - value), id).toBeLessThan(1e-6);
    }
    expect(Object.keys(values).sort()).toEqual(Object.keys(expected).sort());
  });

  test("a stand too far left and turned clockwise is told so, with moves in order", () => {
    const scene = buildScene({ target: { positionMm: [1500, 23, 1200], yawDeg: -0.7 } });
    const solution = fakeSolution({
      ...scene,
      poseSd: { "target:test board": [0.0002, 0.3] },
    });
    const { checks, moves } = evaluatePlacement(solution, setup, sheet, step);
    const byId = Object.fromEntries(checks.map((c) => [c.id, c]));
    expect(byId.lateral.inWords).toBe("23.0 mm too far left");
    expect(byId.lateral.verdict).toBe("misses");
    expect(byId.yaw.inWords).toBe("0.70 degrees clockwise too far, seen from above");
    expect(byId.distance.verdict).toBe("meets");
    expect(moves.map((m) => [m.order, m.kind, m.short])).toEqual([
      [1, "turn", "0.70° counter-clockwise"],
      [2, "slide", "23 mm right"],
    ]);
  });

  test("everything it returns fits the result document", () => {
    const solution = fakeSolution({
      ...buildScene({ target: { positionMm: [1490, 23, 1210], yawDeg: -0.7, rollDeg: 1 } }),
      poseSd: { "target:test board": [0.0002, 0.3] },
    });
    const result = evaluatePlacement(solution, setup, sheet, step);
    expect(result.checks.length).toBe(6);
    expect(result.moves.length).toBeGreaterThan(3);
    expect(result.vehicle.length).toBeGreaterThan(10);
    for (const check of result.checks) checkResultSchema.parse(check);
    for (const move of result.moves) moveSchema.parse(move);
    for (const line of result.vehicle) vehicleLineSchema.parse(line);
    drawingSchema.parse(result.drawing);
  });

  test("pieces hold one chain per taught board and one scalar block per plate", () => {
    const pieces = placementPieces(setup);
    expect(pieces.frames.map((f) => f.key)).toEqual(["target:test board"]);
    expect(pieces.chains.map((c) => c.key)).toEqual([
      "taught:test board:31",
      "taught:test board:32",
    ]);
    expect(pieces.scalars.map((s) => s.key)).toEqual([
      "plate:front left",
      "plate:front right",
      "plate:rear left",
      "plate:rear right",
      "floor:target",
    ]);
  });

  // The drawing names the boards that are on the wheels, and no thrust line that nobody measured.
  test("the drawing: a plate with another board, a rear hub with a dropped point alone", () => {
    const { "rear left": rear, ...others } = setup.vehicle.wheels;
    const scene = buildScene();
    const solution = fakeSolution({
      poses: { ...scene.poses, "5": scene.poses["2"] },
      scalars: { ...scene.scalars, "point:hub": [0, 0] },
    });
    const vehicle = {
      ...setup.vehicle,
      wheels: {
        ...others,
        "front right": { plate: { board: "5", standOffMm: 60 } },
        "rear left": { plumbPoint: "hub" },
      },
      points: [{ name: "hub", board: "3" }],
    };
    const { drawing } = evaluatePlacement(solution, { ...setup, vehicle }, sheet, step);
    expect(drawing.wheels.map((wheel) => wheel.id)).toEqual([1, 5, 3, 4]);
    expect(drawing.thrustDirection).toBeNull();
    drawingSchema.parse(drawing);
    expect(rear?.plate?.board).toBe("3");
    const whole = evaluatePlacement(fakeSolution(scene), setup, sheet, step).drawing;
    expect(Math.abs(whole.thrustDirection![0] - 1)).toBeLessThan(1e-9);
  });

  test("boards that no photo shows are left out", () => {
    const pieces = placementPieces(setup, { present: (key) => key !== "32" });
    expect(pieces.chains.map((c) => c.key)).toEqual(["taught:test board:31"]);
  });
});
