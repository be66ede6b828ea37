// A drawing of the service taken into the page: known shapes alone, nothing that could run, in the page's own colours.

const SHAPES = new Set(["svg", "g", "path", "polygon", "polyline", "circle", "rect", "text", "title", "desc"]);
const SAID = new Set([
  "viewBox", "width", "height", "points", "d", "cx", "cy", "r", "x", "y", "fill", "stroke", "stroke-width", "stroke-dasharray",
  "stroke-linejoin", "fill-rule", "paint-order", "text-anchor", "font-family", "font-size", "font-weight", "font-style",
  "transform", "data-layer", "data-path", "data-of", "role",
]); // prettier-ignore

/** Colours as the service draws them in light, to the page's own by meaning, so that dark needs no other drawing. */
const COLOURS: Record<string, string> = {
  "#20282b": "--ink", "#5d666a": "--quiet", "#dfe3e1": "--grid", "#ffffff": "--sheet", "#1b6b86": "--water",
  "#d5e8ee": "--water-wash", "#8fbccb": "--water-band", "#857a6c": "--stone", "#6a6054": "--word-stone", "#dbd4c8": "--stone-wash", "#a5814b": "--earth",
  "#7d5c28": "--word-earth", "#c05518": "--built", "#8e1630": "--stop", "#6a5200": "--watch",
  "#f1f2f0": "--spare-wash", "#e6d596": "--watch-wash", "#dc9aa6": "--stop-wash",
}; // prettier-ignore

/** The drawing as an element; null where the text is none. */
export function pictureOf(text: string): SVGSVGElement | null {
  const read = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  if (read.localName !== "svg" || read.namespaceURI !== "http://www.w3.org/2000/svg") return null;
  return copied(read) as SVGSVGElement;
}

function copied(from: Element): SVGElement {
  const to = document.createElementNS("http://www.w3.org/2000/svg", from.localName);
  for (const { name, value } of from.attributes) {
    if (!SAID.has(name)) continue;
    to.setAttribute(name, value);
    const own = name === "fill" || name === "stroke" ? COLOURS[value.toLowerCase()] : undefined;
    if (own) to.style.setProperty(name, `var(${own})`);
  }
  for (const child of from.childNodes) {
    if (child.nodeType === Node.TEXT_NODE) to.append(child.nodeValue ?? "");
    else if (child instanceof Element && SHAPES.has(child.localName)) to.append(copied(child));
  }
  return to;
}

/** The numbers of a picture: one for all words that say the same, the rest of these hidden from who is read to. */
export function numbersOf(picture: SVGSVGElement): SVGElement[] {
  const found: SVGElement[] = [];
  for (const words of picture.querySelectorAll<SVGElement>("[data-of]")) {
    const last = found.at(-1);
    const said = words.textContent;
    if (last && last.dataset["of"] === words.dataset["of"] && last.parentElement === words.parentElement) {
      last.setAttribute("aria-label", `${last.getAttribute("aria-label")} ${said}`);
      words.setAttribute("aria-hidden", "true");
      continue;
    }
    words.setAttribute("role", "button");
    words.setAttribute("tabindex", found.length === 0 ? "0" : "-1");
    words.setAttribute("aria-label", said);
    found.push(words);
  }
  return found;
}

/** The element of a path without its part: `falls/f3` of `falls/f3.crest`. */
export const elementOf = (path: string): string => path.split(/[.@]/)[0] ?? "";

/** What of the picture shows an element, by its path. */
export function shown(picture: SVGSVGElement, path: string): SVGElement[] {
  return [...picture.querySelectorAll<SVGElement>("[data-path]")].filter(
    (part) => elementOf(part.dataset["path"] ?? "") === elementOf(path),
  );
}
