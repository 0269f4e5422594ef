/* The grower's manual, page by page, in the reader's language.  Its pages are docs/manual; web/manual.mjs made data of them. */
import { html, nothing, press, render } from '../dom.js';
import { getLanguage, languages, t } from '../i18n.js';
import { listenKeys } from '../keys.js';
import { go } from '../router.js';

/* Asked for as soon as this screen's module is here, so that the pages are on the tablet when the network goes. */
const asked = new Map();
function pagesOf(language) {
  if (!asked.has(language)) {
    asked.set(language, import(`../manual/${language}.js`).then((module) => module.default, (fault) => {
      asked.delete(language); // asked anew next time
      throw fault;
    }));
  }
  return asked.get(language);
}
for (const language of languages) pagesOf(language).catch(() => {});

const part = (p) => {
  if (typeof p === 'string') return p;
  return p[0] === 'b' ? html`<b>${p[1]}</b>` : html`<a href=${p[1]}>${p[2].map(part)}</a>`;
};
const line = (parts) => parts.map(part);

const picture = (name, shows, language, [width, height] = []) => html`<figure><a href="/manual/${language}/${name}.webp" target="_blank"><img src="/manual/${language}/${name}.webp" alt=${shows} width=${width} height=${height} loading="lazy"></a><figcaption>${shows}</figcaption></figure>`;

const BLOCKS = {
  text: (parts) => html`<p>${line(parts)}</p>`,
  head: (parts) => html`<h2>${line(parts)}</h2>`,
  care: (parts) => html`<p class="care"><b>${t('manual.care')}</b> ${line(parts)}</p>`,
  step: (items) => html`<ol>${items.map((parts) => html`<li>${line(parts)}</li>`)}</ol>`,
  item: (items) => html`<ul>${items.map((parts) => html`<li>${line(parts)}</li>`)}</ul>`,
};

/** The pages in the order of the contents, which links to each. */
const order = ({ pages }) => pages.index.blocks.filter(([kind]) => kind === 'item').flatMap(([, items]) => items.map((parts) => parts.find((p) => p[0] === 'a')?.[1].split('/')[2])).filter((name) => pages[name]);

function ways(manual, name) {
  const names = order(manual);
  const next = names[names.indexOf(name) + 1];
  return html`<nav class="manual-ways no-print" aria-label=${t('manual.title')}>
    ${name === 'index' ? nothing : html`<a class="button" href="/manual">${t('manual.contents')}</a>`}
    ${next ? html`<a class="button" href="/manual/${next}">${name === 'index' ? manual.pages[next].title : t('manual.next', { title: manual.pages[next].title })}</a>` : nothing}
    <button @click=${press(() => globalThis.print())}>${t('manual.print')}</button></nav>`;
}

/** Mounts the page of the manual in params.page, or its contents.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params, setTitle }) {
  const name = params.page ?? 'index';
  async function show() {
    const language = getLanguage();
    const manual = await pagesOf(language).catch(() => null);
    const page = manual?.pages[name];
    if (!page) {
      render(html`<div class="notice" role="status">${t(manual ? 'manual.no_page' : 'missing.not_here')} <a href="/manual">${t('manual.contents')}</a></div>`, el);
      return;
    }
    setTitle(page.title, name === 'index' ? '' : t('manual.title'));
    render(html`<article class="manual">${page.blocks.map(([kind, what, shows]) => (kind === 'picture' ? picture(what, shows, language, manual.sizes[what]) : BLOCKS[kind](what)))}
      ${ways(manual, name)}</article>`, el);
  }
  show();
  return name === 'index' ? {} : { destroy: listenKeys({ leave: () => go('/manual') }) };
}
