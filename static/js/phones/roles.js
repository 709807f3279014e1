// The room of the phones, as far as the phone has to do with it: the shop's name, which is a tap like others, and the
// print of the recovery phrase.  All else in it is the server's (ui/room.js).  Loaded when first asked for.
import { record } from "../ui/record.js";
import * as acts from "../data/acts.js";
import * as dialogs from "../ui/dialogs.js";
import * as room from "../ui/room.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { say, show } from "../ui/dom.js";

const node = (id) => document.getElementById(id);

export const actions = {
  "phones-name": () => {
    node("shop-name").value = nameOfShop();
    dialogs.open("dialog-shop", "shop");
  },
  "phones-named": async () => {
    const born = acts.born("shop", "shop_named", { name: node("shop-name").value.trim() });
    dialogs.close("dialog-shop");
    await record(born);
  },
  "phones-print": () => print(),
};

// A phrase that came into the page was made just now.
document.addEventListener("htmx:afterSwap", () => {
  if (node("phones-paper") && !shop.meta.phrase) shop.note({ phrase: true });
});

export function paint() {
  say("phones-shop", nameOfShop());
  show("phones-name", shop.meta.role === "keeper");
  room.paint();
}

/** As a keeper named it, heard or not yet; else as the server calls it. */
const nameOfShop = () => views.view("shop").name || shop.meta.name || "";
