// Twin of timers/core/fold/given.py: the rules and their sources are explained there.

const told = ({ use = '', needs = '', card = '', why = '' }) => ({
  ...(use && { use }),
  ...(needs && { needs }),
  ...(card && { card }),
  ...(why && { why }),
});

export function fresh(step) {
  const { id, do: does, words, cls = '', coats = 1, grit = 0, area = '' } = step;
  return { id, do: does, words, cls, coats, grit, area, laid: 0, done_at: null, ...told(step) };
}

export function given(step, number, area, coats = 1) {
  const { do: does, words, cls, grit } = step;
  return { id: number, do: does, words, cls, coats, grit, area, ...told(step) };
}
