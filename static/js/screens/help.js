// Help: one answer for each question, opened where the question arose ("#help=window").
let shown = null;

export function paint(now, zone, about) {
  if (shown === about) return;
  shown = about;
  const answer = about ? document.getElementById(`help-${about}`) : null;
  for (const one of document.querySelectorAll("#screen-help details")) one.open = one === answer;
  answer?.scrollIntoView({ block: "start" });
}

export const actions = {
  "help-back": () => history.back(),
  /** From a sheet: it closes, the answer opens. */
  "help-open": ({ about }) => {
    for (const dialog of document.querySelectorAll("dialog[open]")) dialog.close();
    location.hash = `#help=${about}`;
  },
};
