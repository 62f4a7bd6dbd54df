/**
 * What Python put into the page: the drill, deflated, and recorded notes where there are any.
 * @import { PageData } from "./types.js"
 */

/**
 * @param {string} text base64
 * @returns {Uint8Array<ArrayBuffer>}
 */
function bytesOf(text) {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let at = 0; at < binary.length; at++) bytes[at] = binary.charCodeAt(at);
  return bytes;
}

/**
 * @param {string} text base64 of zlib data
 * @returns {Promise<PageData>}
 */
export async function unpacked(text) {
  const stream = new Blob([bytesOf(text)]).stream().pipeThrough(new DecompressionStream("deflate"));
  return JSON.parse(await new Response(stream).text());
}

/**
 * @param {string} text JSON of base64 by MIDI number
 * @returns {Record<string, ArrayBuffer>}
 */
export function soundsOf(text) {
  const entries = Object.entries(/** @type {Record<string, string>} */ (JSON.parse(text)));
  return Object.fromEntries(entries.map(([midi, content]) => [midi, bytesOf(content).buffer]));
}
