// Builds the screens: `node build.ts OUT`. Node runs this file as it stands; nothing is compiled to build.
//
// Each of the PAGES is one file with its script and style inside, so that it lives on in an open tab when the server is
// out of reach. What is LATE is a script of its own that some of them load when it is asked for; they know its digest.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { build, type InlineConfig, type Plugin } from "vite";

const ROOT = import.meta.dirname;
const PAGES = ["index", "visit", "job", "day", "hand"];
const LATE = [{ file: "round.js", entry: "src/round/round.ts", name: "rillwrightRound", of: ["job"], copied: ["three"] }];

/** What the content policy must allow by digest, page by page: the service sends it, nothing else inline runs. */
const policy: Record<string, { script: string[]; style: string[] }> = {};

function digest(text: string): string {
  return `sha256-${createHash("sha256").update(text, "utf8").digest("base64")}`;
}

/** Puts the one script and the one style of a page into the page. */
function intoOneFile(page: string): Plugin {
  return {
    name: "into-one-file",
    enforce: "post",
    generateBundle(_options, bundle) {
      const html = bundle[`${page}.html`];
      if (html?.type !== "asset") throw new Error(`${page}.html was not built`);
      const allowed = { script: [] as string[], style: [] as string[] };
      let style = "";
      let script = "";
      for (const [name, part] of Object.entries(bundle)) {
        if (part.type === "chunk") script += part.code.trim().replaceAll("</script", "<\\/script");
        else if (name.endsWith(".css")) style += String(part.source).trim();
        else continue;
        delete bundle[name];
      }
      const text = String(html.source)
        .replace(/\s*<script[^>]*\ssrc=[^>]*><\/script>/g, "")
        .replace(/\s*<link[^>]*rel="(?:stylesheet|modulepreload)"[^>]*>/g, "")
        .replace("</head>", () => `<style>${style}</style>\n</head>`)
        .replace("</body>", () => `<script type="module">${script}</script>\n</body>`);
      allowed.style.push(digest(style));
      allowed.script.push(digest(script));
      policy[`${page}.html`] = allowed;
      html.source = text;
    },
  };
}

/** A script that hands out what it has under one name; what is copied into it keeps its licence. */
async function buildLate(out: string, { file, entry, name, of, copied }: (typeof LATE)[number]): Promise<void> {
  const { rolldownOptions: _, ...usual } = settings(out, []).build ?? {};
  const lib = { entry: join(ROOT, entry), name, formats: ["iife" as const], fileName: () => file };
  await build({ ...settings(out, []), plugins: [], build: { ...usual, lib } });
  const built = join(out, file);
  const licences = copied.map((one) => `/*! ${one}\n${readFileSync(join(ROOT, "node_modules", one, "LICENSE"), "utf8").trim()} */\n`);
  const text = licences.join("") + readFileSync(built, "utf8").trim();
  writeFileSync(built, text);
  for (const page of of) policy[`${page}.html`]?.script.push(digest(text));
}

function settings(out: string, pages: string[], extra: Plugin[] = []): InlineConfig {
  return {
    configFile: false,
    root: ROOT,
    base: "./",
    logLevel: "error",
    publicDir: false,
    plugins: [svelte({ configFile: false, compilerOptions: { runes: true, cssHash: ({ name }) => `of-${name}` } }), ...extra],
    build: {
      outDir: out,
      emptyOutDir: false,
      target: ["es2022", "safari15.4", "chrome100", "firefox100"],
      modulePreload: false,
      assetsInlineLimit: 0,
      reportCompressedSize: false,
      rolldownOptions: {
        input: Object.fromEntries(pages.map((page) => [page, join(ROOT, `${page}.html`)])),
      },
    },
  };
}

async function main(): Promise<void> {
  const out = resolve(process.argv[2] ?? join(ROOT, "dist"));
  for (const page of PAGES) await build(settings(out, [page], [intoOneFile(page)]));
  for (const part of LATE) await buildLate(out, part);
  const fixed = join(ROOT, "public");
  for (const name of readdirSync(fixed)) writeFileSync(join(out, name), readFileSync(join(fixed, name)));
  writeFileSync(join(out, "policy.json"), JSON.stringify(policy, null, 2) + "\n");
}

await main();
