/**
 * Where a target stands against a car, written down a second time for tests, with plan geometry in
 * complex numbers; nothing here comes from the program. Frame: any with z up and the floor at z = 0.
 * Directions and signs as ISO 8855:2011: X ahead, Y left, angles counter-clockwise from above.
 */

type Point = readonly [number, number, number];

export interface TrueWheel {
  readonly centre: Point;
  /** Along the spindle, away from the car; any length. */
  readonly outward: Point;
}

export interface TrueCar {
  readonly frontLeft: TrueWheel;
  readonly frontRight: TrueWheel;
  readonly rearLeft: TrueWheel;
  readonly rearRight: TrueWheel;
}

/** A target that faces the car: its centre, and unit vectors to the viewer's right, up, out of the face. */
export interface TrueTarget {
  readonly centre: Point;
  readonly right: Point;
  readonly up: Point;
  readonly face: Point;
}

export interface TruePlacement {
  /** mm, from the front axle along the axis, to its left, above the floor. */
  readonly ahead: number;
  readonly left: number;
  readonly height: number;
  /** Degrees: face turned counter-clockwise, face looking up, the viewer's left end high. */
  readonly yaw: number;
  readonly pitch: number;
  readonly roll: number;
}

type Complex = readonly [re: number, im: number];
const plan = (p: Point): Complex => [p[0], p[1]];
const over = ([a, b]: Complex, [c, d]: Complex): Complex => {
  const n = c * c + d * d;
  return [(a * c + b * d) / n, (b * c - a * d) / n];
};
const middle = (a: Point, b: Point): Complex => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const angle = ([re, im]: Complex): number => (Math.atan2(im, re) * 180) / Math.PI;
const toUnit = ([re, im]: Complex): Complex => [re / Math.hypot(re, im), im / Math.hypot(re, im)];

/** From the middle of the rear axle to the middle of the front axle, in plan, length 1. */
export const centreline = (car: TrueCar): Complex => {
  const front = middle(car.frontLeft.centre, car.frontRight.centre);
  const rear = middle(car.rearLeft.centre, car.rearRight.centre);
  return toUnit([front[0] - rear[0], front[1] - rear[1]]);
};

/**
 * Where a wheel rolls to, in plan: its spindle turned by a quarter, towards the front. Seen from
 * above a left wheel's outward spindle lies a quarter turn counter-clockwise of its heading.
 */
const heading = ({ outward }: TrueWheel, side: "left" | "right"): Complex =>
  toUnit(over(plan(outward), side === "left" ? [0, 1] : [0, -1]));

/** The thrust line's direction: halfway between the headings of the rear wheels. */
export const thrustLine = (car: TrueCar): Complex => {
  const [a, b] = [heading(car.rearLeft, "left"), heading(car.rearRight, "right")];
  return toUnit([a[0] + b[0], a[1] + b[1]]);
};

/** Degrees from the centreline to the thrust line, positive to the left. */
export const thrustAngle = (car: TrueCar): number => angle(over(thrustLine(car), centreline(car)));

/** Degrees of toe-in of a wheel. */
export const toeIn = (car: TrueCar, wheel: keyof TrueCar): number => {
  const side = wheel.endsWith("Left") ? "left" : "right";
  const turned = angle(over(heading(car[wheel], side), centreline(car)));
  return side === "left" ? -turned : turned;
};

/**
 * Where the target stands against an axis through the middle of the rear axle; distances ahead count
 * from where the axis crosses the line through the front wheels. All points are divided by the axis,
 * a complex number of length 1: then the real part is along it, the imaginary part to its left.
 */
export const placementOf = (car: TrueCar, target: TrueTarget, axis: Complex): TruePlacement => {
  const [along, aside] = over(plan(target.centre), axis);
  const [, start] = over(middle(car.rearLeft.centre, car.rearRight.centre), axis);
  const left = over(plan(car.frontLeft.centre), axis);
  const right = over(plan(car.frontRight.centre), axis);
  const crossing = left[0] + ((start - left[1]) / (right[1] - left[1])) * (right[0] - left[0]);
  const deg = 180 / Math.PI;
  return {
    ahead: along - crossing,
    left: aside - start,
    height: target.centre[2],
    yaw: angle(over(plan(target.face), [-axis[0], -axis[1]])),
    pitch: deg * Math.asin(target.face[2]),
    roll: deg * Math.atan2(-target.right[2], target.up[2]),
  };
};
