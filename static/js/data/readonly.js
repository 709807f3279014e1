// Lets everybody read what only its owner may change.

/** The same object for readers: to set a value by it is an error. */
export const readonly = (owned) =>
  new Proxy(owned, {
    set: (target, name) => {
      throw new TypeError(`${name} is changed by its owner alone`);
    },
  });
