/** Small help with markup: elements are made by hand, so that no text ever becomes markup. */

export const SVG = "http://www.w3.org/2000/svg";

/**
 * An SVG element with attributes and children.
 * @param {string} tag
 * @param {Record<string, string | number>} attributes
 * @param {...(Node | string)} children
 * @returns {SVGElement}
 */
export function svg(tag, attributes = {}, ...children) {
  const element = /** @type {SVGElement} */ (document.createElementNS(SVG, tag));
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/**
 * An HTML element with attributes and children.
 * @param {string} tag
 * @param {Record<string, string | number>} attributes
 * @param {...(Node | string)} children
 * @returns {HTMLElement}
 */
export function html(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/**
 * The element of the page with a name; it is there, for the page is written so.
 * @param {string} id
 * @returns {any}
 */
export function part(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found;
}
