/** A file's text, its bytes, or what it holds as data (an object as `JSON.parse` gives one). */
export type Given = string | Uint8Array | object;
