// An event target of which is known what each of its events tells.

/** @template Details what each type of event carries: {type: detail} */
export class TypedEvents extends EventTarget {
  /**
   * Call `handle` with the detail of each event of a type.
   *
   * @template {keyof Details & string} Type
   * @param {Type} type
   * @param {(detail: Details[Type]) => void} handle
   */
  on(type, handle) {
    this.addEventListener(type, (event) => {
      handle(/** @type {CustomEvent<Details[Type]>} */ (event).detail);
    });
  }

  /**
   * @template {keyof Details & string} Type
   * @param {Type} type
   * @param {Details[Type]} detail
   */
  say(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}
