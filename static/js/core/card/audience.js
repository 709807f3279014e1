// Twin of timers/core/card/audience.py: the rules and their sources are explained there.

export const panelsOf = ({ for: meant = [], used = [] }) => [...new Set([...meant, ...used.map(([panel]) => panel)])];

export function whose(state, panels) {
  if (!Object.hasOwn(state, 'mixed_at')) return state.taken ? [state.taken.by] : null;
  const takers = panels.filter((one) => (one.added_at ?? null) !== null).map((one) => one.taken);
  if ((state.who ?? null) === null || !takers.every(Boolean)) return null;
  return [...new Set([state.who, ...takers.map(({ by }) => by)])];
}

export const isMine = (phones, phone) => phones === null || phones.includes(phone);
