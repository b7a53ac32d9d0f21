import { expect, test } from "vitest";
import { fill } from "../../../src/app/i18n/translate.ts";
import { plainJson, plainName, plainText } from "../../../src/say/plain-text.ts";

const turned = "photo\u202Egnp.exe";
const moved = "a\u001b[2J\u001b[Hall meet\r\n.jpg";

test("direction marks and control characters are shown, everything else stays", () => {
  expect(plainName(turned)).toBe("photo<U+202E>gnp.exe");
  expect(plainName(moved)).toBe("a<U+001B>[2J<U+001B>[Hall meet<U+000D><U+000A>.jpg");
  expect(plainText(moved)).toBe("a<U+001B>[2J<U+001B>[Hall meet<U+000D>\n.jpg");
  for (const usual of ["IMG_1.jpg", "<b>µ</b> 5° – ñandú", "تصوير.jpg", "👩‍🔧.png"]) {
    expect(plainName(usual)).toBe(usual);
  }
});

test("JSON keeps its values", () => {
  const value = { name: turned, note: moved };
  const text = plainJson(JSON.stringify(value, null, 2));
  expect(JSON.parse(text)).toEqual(value);
  expect(text).not.toContain("\u202e");
});

test("a sentence of the app is not turned by a name in it", () => {
  expect(fill("{name} is empty. Copy it again.", { name: turned })).toBe(
    "photo<U+202E>gnp.exe is empty. Copy it again.",
  );
});
