// Characters and numbers as people type them, to exact fractions.
import { fromDecimal, negative, plus, rational, type Rational } from "./rational.ts";
import { quoted, Refusal } from "./refusal.ts";

const LONGEST = 80; // characters

/** A number as a part of a pattern. */
export const NUMBER =
  "(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|(?:[0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?)";

const FRACTIONS: Record<string, string> = {
  "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}; // prettier-ignore
const PLAIN: Record<string, string> = {
  "'": "′’‘‛´ʹ", '"': "″”“‟ʺ", "-": "−–‐‑", "/": "⁄∕", "2": "²", "3": "³", "°": "º",
}; // prettier-ignore
const TRANSLATION = new Map<string, string>([
  ...Object.entries(PLAIN).flatMap(([plain, others]) => [...others].map((one): [string, string] => [one, plain])),
  ...Object.entries(FRACTIONS).map(([sign, plain]): [string, string] => [sign, ` ${plain}`]),
]);
const SPACES = /[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/;

/** The text with one kind of prime, quote, dash and space; refuses what cannot be a quantity at all. */
export function plainText(text: string): string {
  if ([...text].length > LONGEST) throw new Refusal(`longer than ${LONGEST} characters`, text);
  const translated = [...text].map((one) => TRANSLATION.get(one) ?? one).join("").replaceAll("''", '"');
  const plain = translated.split(SPACES).filter(Boolean).join(" ").replaceAll("- ", "-");
  if (!plain) throw new Refusal("empty: write a number and a unit", quoted(text));
  if (/[,_]/.test(plain)) refuseComma(plain, text);
  if (/^[+\- ]*(nan|inf)/.test(plain.toLowerCase())) throw new Refusal("not a finite number", text);
  return plain;
}

function refuseComma(plain: string, typed: string): never {
  const point = plain.replaceAll(",", ".");
  const closed = plain.replaceAll(/[,_]/g, "");
  if (plain.includes("_") || plain.includes(".") || plain.split(",").length > 2)
    throw new Refusal("commas and thousand separators are not read: write the digits alone, as 1234.5", typed);
  if (/[0-9],[0-9]{3}(?![0-9])/.test(plain))
    throw new Refusal(`a comma is not read: write ${closed}, or ${point} if the decimal sign is meant`, typed);
  throw new Refusal(`a comma is not read as the decimal sign: write ${point}`, typed);
}

const SIGNED = new RegExp(`^([+-]?) ?(${NUMBER})(?![0-9./]) ?(.*)$`, "s");

/** The signed number at the head of the text, and what stands after it. */
export function splitNumber(plain: string, typed: string): [Rational, string] {
  const match = SIGNED.exec(plain);
  if (match === null) throw new Refusal("does not begin with a number that can be read", typed);
  const value = readNumber(match[2] ?? "", typed);
  return [match[1] === "-" ? negative(value) : value, match[3] ?? ""];
}

/** A whole number, decimal, fraction below one, or whole number with such a fraction, exactly. */
export function readNumber(number: string, typed: string): Rational {
  if (!number.includes("/")) return fromDecimal(number);
  const parts = number.replaceAll("-", " ").split(" ");
  const fraction = parts.at(-1) ?? "";
  const [top = 0n, bottom = 0n] = fraction.split("/").map(BigInt);
  if (bottom === 0n) throw new Refusal(`${fraction} divides by nothing`, typed);
  if (top >= bottom)
    throw new Refusal(`the fraction ${fraction} is not below 1: write the whole number apart, as 6 7/8`, typed);
  return plus(rational(top, bottom), rational(BigInt(parts.length > 1 ? (parts[0] ?? "0") : "0")));
}
