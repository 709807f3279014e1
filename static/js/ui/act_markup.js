// How markup says an act: htmx's own attributes, hx-post to the one address and hx-vals with its kind and fields.
const element = document.getElementById("sync");

/** The address that acts are posted to. */
export const SYNC = element.getAttribute("hx-post");

/** What a button says, or a row of all its buttons. */
export function setVals(node, vals) {
  const text = JSON.stringify(vals);
  if (node.getAttribute("hx-vals") !== text) node.setAttribute("hx-vals", text);
}

/** Make a button say an act. */
export function setAct(button, vals) {
  button.setAttribute("hx-post", SYNC);
  setVals(button, vals);
}
