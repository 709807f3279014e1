// The outer parts of a car as they lie when it is seen from above, its nose on top: left, middle, right.
import { later } from "../core/base/translate.js";

const SIDES = [
  [later("Fender [[on a small button]]"), later("Left fender"), later("Right fender")],
  [later("Mirror [[on a small button]]"), later("Left mirror"), later("Right mirror")],
  [later("Front door [[on a small button]]"), later("Left front door"), later("Right front door")],
  [later("Rear door [[on a small button]]"), later("Left rear door"), later("Right rear door")],
  [later("Sill [[on a small button]]"), later("Left sill"), later("Right sill")],
  [later("Quarter panel [[on a small button]]"), later("Left quarter panel"), later("Right quarter panel")],
];
const MIDDLE = [
  [later("Front bumper [[on a small button]]"), later("Front bumper cover")],
  [later("Hood [[on a small button]]"), later("Hood [[of a car]]")],
  [later("Roof"), later("Roof")],
  [later("Trunk lid [[on a small button]]"), later("Trunk lid")],
  [later("Tailgate [[on a small button]]"), later("Tailgate")],
  [later("Rear bumper [[on a small button]]"), later("Rear bumper cover")],
];

/** Row by row: [what the button says, what the panel is called]. */
export const PARTS = SIDES.flatMap(([words, left, right], row) => [[words, left], MIDDLE[row], [words, right]]);
