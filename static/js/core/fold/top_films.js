// Twin of timers/core/fold/top_films.py: the rules and their sources are explained there.

export const under = (state, area) => bare(state, area, true);

export const curing = (state, area) => bare(state, area, false);

function bare({ films }, area, isSandingAnEnd) {
  const [top, over] = [[], new Set()];
  for (const film of films.toReversed()) {
    if (area !== '' && film.area !== '' && film.area !== area) continue;
    const sanded = isSandingAnEnd ? film.sanded : [];
    if (!['', film.area, area].some((one) => over.has(one) || sanded.includes(one))) top.push(film);
    over.add(film.area);
  }
  return top.reverse();
}
