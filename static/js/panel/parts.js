// The outer parts of a car as they lie when it is seen from above, its nose on top: left, middle, right.
import { later } from "../core/base/translate.js";

const SIDES = [
  [later("Fender"), later("Left fender"), later("Right fender")],
  [later("Mirror [[of a car]]"), later("Left mirror"), later("Right mirror")],
  [later("Front door"), later("Left front door"), later("Right front door")],
  [later("Rear door"), later("Left rear door"), later("Right rear door")],
  [later("Sill [[of a car]]"), later("Left sill"), later("Right sill")],
  [later("Quarter panel"), later("Left quarter panel"), later("Right quarter panel")],
];
const MIDDLE = [
  [later("Front bumper"), later("Front bumper cover")],
  [later("Hood [[of a car]]"), later("Hood [[of a car]]")],
  [later("Roof"), later("Roof")],
  [later("Trunk lid"), later("Trunk lid")],
  [later("Tailgate"), later("Tailgate")],
  [later("Rear bumper"), later("Rear bumper cover")],
];

/** Row by row: [what the button says, what the panel is called]. */
export const PARTS = SIDES.flatMap(([words, left, right], row) => [[words, left], MIDDLE[row], [words, right]]);
