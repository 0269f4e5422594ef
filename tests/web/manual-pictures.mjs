/*
 * Takes the pictures of the manual: docs/manual/pictures/<language>/<name>.webp, and docs/manual/pictures.json with the size
 * of each and the words that stand on it.  Run by name (make manual-pictures), when a screen has changed:
 *
 *   WEIRBOOK=.../weirbook WEIRBOOK_SOURCE=... node manual-pictures.mjs [NAME ...]
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { startBrowser } from './support.mjs';
import { CATALOGUES, makeDemo, walkAll, wordsShown } from './manual-walks.mjs';

const QUALITY = 0.25;
const dir = join(process.env.WEIRBOOK_SOURCE, 'docs/manual');
const list = join(dir, 'pictures.json');
const pictures = existsSync(list) ? JSON.parse(readFileSync(list, 'utf8')) : {};
const only = process.argv.slice(2);

const encoder = await startBrowser();
const { page: canvas } = await encoder.newTablet({ base: 'about:blank' });
await canvas.goto('about:blank');
const toWebp = (png) => canvas.evaluate(async ([text, quality]) => {
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
  const el = Object.assign(document.createElement('canvas'), { width: image.width, height: image.height });
  el.getContext('2d').drawImage(image, 0, 0);
  return { width: image.width, height: image.height, webp: el.toDataURL('image/webp', quality).split(',')[1] };
}, [png.toString('base64'), QUALITY]);

const demo = await makeDemo();
for (const language of Object.keys(CATALOGUES)) {
  mkdirSync(join(dir, 'pictures', language), { recursive: true });
  await walkAll(language, demo, async ({ name, page }) => {
    await page.waitForTimeout(700); // fonts, charts and what slides in
    const { width, height, webp } = await toWebp(await page.screenshot());
    const bytes = Buffer.from(webp, 'base64');
    writeFileSync(join(dir, 'pictures', language, `${name}.webp`), bytes);
    pictures[name] = { ...pictures[name], [language]: { width, height, words: await wordsShown(page, language) } };
    console.log(`${language} ${name} ${width} x ${height}, ${bytes.length} bytes`);
  }, { only });
}
demo.remove();
await encoder.stop();
writeFileSync(list, `${JSON.stringify(Object.fromEntries(Object.entries(pictures).sort()), null, 1)}\n`);
