// Twin of timers/core/fold/route.py: the rules and their sources are explained there.

export const FINISHES = ['straight', 'enough'];
export const COLOURS = ['plain', 'effect', 'single'];
export const SUBSTRATES = ['steel', 'aluminium', 'galvanised', 'plastic', 'factory', 'paint', 'unknown'];

export function stepsFor(route, choices) {
  const chosen = { ...usual(route), ...choices };
  return route.steps.filter(({ when = [] }) => isNeeded(when, chosen)).map(({ when, ...plain }) => plain);
}

export function asks({ steps, substrates = [] }) {
  const said = steps.flatMap(({ when = [] }) => when);
  const isColoured = COLOURS.some((one) => said.includes(one));
  return {
    finish: FINISHES.some((one) => said.includes(one)),
    colours: isColoured ? COLOURS.filter((one) => one === 'plain' || said.includes(one)) : [],
    substrates: substrates.length > 1 ? [...substrates] : [],
  };
}

export const usual = ({ substrates = [] }) => ({
  finish: 'straight',
  colour: 'plain',
  substrate: substrates.length === 1 ? substrates[0] : 'unknown',
});

function isNeeded(when, { finish, colour, substrate }) {
  const kinds = [[FINISHES, finish], [COLOURS, colour], [SUBSTRATES, substrate]];
  return kinds.every(([kind, chosen]) => when.includes(chosen) || !kind.some((one) => when.includes(one)));
}
