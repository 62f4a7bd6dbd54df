/** What the browser keeps: settings, the log. Where it keeps nothing (a private window), the page goes on without. */

const PREFIX = "rungwise-page-";

/**
 * @template T
 * @param {string} name
 * @param {T} otherwise
 * @returns {T}
 */
export function kept(name, otherwise) {
  try {
    const text = localStorage.getItem(PREFIX + name);
    return text === null ? otherwise : JSON.parse(text);
  } catch {
    return otherwise;
  }
}

/**
 * Keeps a value; says whether it could.
 * @param {string} name
 * @param {unknown} value
 */
export function keep(name, value) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(value));
    return true;
  } catch {
    return false;
  }
}
