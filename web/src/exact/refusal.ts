// The one way in which what somebody typed is refused: what was found, and what may be written instead.

export class Refusal extends Error {
  readonly found: string;
  readonly allowed: string;

  constructor(message: string, found: string, allowed = "") {
    super(message);
    const letters = [...found];
    this.found = printable(letters.length <= 60 ? found : letters.slice(0, 57).join("") + "...");
    this.allowed = allowed;
  }
}

const UNPRINTABLE = /[\p{C}\p{Z}]/u;
const SHORT: Record<string, string> = { "\t": "\\t", "\n": "\\n", "\r": "\\r" };

function escaped(letter: string): string {
  if (letter === " " || !UNPRINTABLE.test(letter)) return letter;
  const code = letter.codePointAt(0) ?? 0;
  const [mark, digits] = code < 256 ? ["x", 2] : code < 65536 ? ["u", 4] : ["U", 8];
  return SHORT[letter] ?? `\\${mark}${code.toString(16).padStart(Number(digits), "0")}`;
}

/** The text with control characters and lone surrogates written as escapes. */
export function printable(text: string): string {
  return [...text].map(escaped).join("");
}

/** The text between quotes, as messages quote it. */
export function quoted(text: string): string {
  const mark = text.includes("'") && !text.includes('"') ? '"' : "'";
  const letters = [...text].map((one) => (one === "\\" || one === mark ? `\\${one}` : escaped(one)));
  return mark + letters.join("") + mark;
}
