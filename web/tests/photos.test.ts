// What a picture is, by its first bytes: JPEG (ISO/IEC 10918-1), PNG (ISO/IEC 15948), WebP (RFC 9649), HEIC (ISO/IEC 23008-12).
import assert from "node:assert/strict";
import { test } from "node:test";
import { chosen, LARGEST_PHOTO, megabytes, pictureType } from "../src/visit/photos.ts";

const bytes = (text: string): Uint8Array<ArrayBuffer> => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

const KINDS: readonly [string, string | null][] = [
  ["\xff\xd8\xff\xe0\0\x10JFIF", "image/jpeg"],
  ["\xff\xd8\xff\xe1Exif", "image/jpeg"],
  ["\x89PNG\r\n\x1a\n\0\0", "image/png"],
  ["RIFF\x24\0\0\0WEBPVP8 ", "image/webp"],
  ["\0\0\0\x18ftypheic\0\0\0\0mif1heic", "image/heic"],
  ["\0\0\0\x18ftypmif1\0\0\0\0mif1heic", "image/heic"],
  ["\0\0\0\x18ftypavif\0\0\0\0mif1avif", null],
  ["\0\0\0\x14ftypisom\0\0\0\0mp41heic", null], // behind the box that names the brands
  ["\0\0\0\x18ftyp", null],
  ["GIF89a", null],
  ["RIFF\0\0\0\0WAVE", null],
  ["<svg xmlns='http://www.w3.org/2000/svg'/>", null],
  ["<!doctype html>", null],
  ["", null],
];

test("a picture is what its first bytes say", () => {
  for (const [text, type] of KINDS) assert.equal(pictureType(bytes(text)), type, JSON.stringify(text));
});

test("a photo is chosen whatever it is called, and refused by its name", async () => {
  const good = await chosen(new File([bytes(KINDS[0]?.[0] ?? "")], "page.html", { type: "text/html" }));
  assert.equal(good.photo?.type, "image/jpeg");
  assert.match(good.photo?.id ?? "", /^[0-9a-f]{64}$/);
  const text = await chosen(new File(["<script>"], "yard.jpg", { type: "image/jpeg" }));
  assert.equal(text.photo, null);
  assert.match(text.why ?? "", /^yard\.jpg: no picture/);
  const large = await chosen(new File([bytes("\xff\xd8\xff"), new Uint8Array(LARGEST_PHOTO)], "large.jpg"));
  assert.match(large.why ?? "", /^large\.jpg: too big, 20\.1 MB; up to 20 MB/);
});

test("the same picture is the same photo", async () => {
  const one = await chosen(new File([bytes("\xff\xd8\xff\xe0one")], "a.jpg"));
  const again = await chosen(new File([bytes("\xff\xd8\xff\xe0one")], "b.jpg"));
  assert.equal(one.photo?.id, again.photo?.id);
});

test("sizes are told to the tenth, never too small", () => {
  assert.deepEqual([0, 1, 100_000, 100_001, 19_999_999].map(megabytes), ["0 MB", "0.1 MB", "0.1 MB", "0.2 MB", "20 MB"]);
});
