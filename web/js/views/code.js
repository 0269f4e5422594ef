/* /s/CODE: what a scanned label or plate leads to.  A place opens on the Round, anything else its own page. */
import * as api from '../api.js';
import { checkHolds } from '../codes.js';
import { html, press, render } from '../dom.js';
import { t } from '../i18n.js';
import { errorText } from '../problems.js';
import { go } from '../router.js';
import { place } from '../setup.js';

const PLACES = ['places', 'tanks', 'units', 'beds', 'zones'];
const addressOf = ({ kind, code, id }) => (PLACES.includes(kind) ? `/at/${encodeURIComponent(code)}` : `/farm/${kind}/${id}`);

/** Where a code leads; a place is known without the network.  Throws as api.js does. */
async function follow(code) {
  const known = place(code);
  if (known && PLACES.includes(known.kind)) return `/at/${encodeURIComponent(known.row.code)}`;
  return addressOf(await api.get(`/api/codes/${encodeURIComponent(code)}`));
}

/** Mounts what a scanned code leads to: goes there, or asks for a code when params.code is none or leads nowhere.  @param {HTMLElement} el @param {Given} given @returns {Mounted} */
export function mount(el, { params }) {
  const code = params.code ?? '';
  let tried = false;
  let gone = false;

  const ask = (said) => {
    render(html`<div class="desk code-asked">
    ${said ? html`<p class="notice bad" role="alert">${said}</p>` : ''}
    <form class="section" @submit=${(event) => { event.preventDefault(); const typed = new FormData(event.target).get('code').trim(); if (typed) go(`/s/${encodeURIComponent(typed)}`); }}>
      <label class="field"><span>${t('labels.code')}</span><input name="code" value=${code} autocomplete="off" autocapitalize="characters" spellcheck="false" required></label>
      <button class="main">${t('labels.open')}</button>
      ${'BarcodeDetector' in globalThis && navigator.mediaDevices ? html`<button type="button" @click=${press(() => scan())}>${t('labels.scan')}</button>` : html`<p class="soft">${t('labels.scan_outside')}</p>`}
      <video class="scanner" hidden playsinline muted></video>
    </form></div>`, el);
    if (matchMedia('(pointer: fine)').matches) el.querySelector('input').focus(); // by / a code is typed at once; a tablet keeps its keys down
  };

  async function scan() {
    const video = el.querySelector('.scanner');
    let stream;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
    } catch {
      ask(t('labels.no_camera'));
      return;
    }
    video.hidden = false;
    video.srcObject = stream;
    await video.play();
    const detector = new BarcodeDetector({ formats: ['qr_code'] });
    while (!gone && video.isConnected) {
      const [found] = await detector.detect(video).catch(() => []);
      if (found) {
        const text = found.rawValue.split('/').pop();
        go(`/s/${encodeURIComponent(decodeURIComponent(text))}`);
        break;
      }
      await new Promise((resolve) => { setTimeout(resolve, 120); });
    }
    for (const track of stream.getTracks()) track.stop();
  }

  return {
    async update() {
      if (!code) {
        if (!tried) ask('');
        tried = true;
        return;
      }
      if (tried) return;
      tried = true;
      try {
        const address = await follow(code);
        if (!gone) go(address, { replace: true });
      } catch (fault) {
        if (gone) return;
        if (fault instanceof api.ProblemError) ask(fault.errors.length ? errorText(fault.errors[0]) : fault.message);
        else if (fault instanceof api.AwayError) ask(t(code.length > 8 && !checkHolds(code) ? 'labels.misread' : 'labels.away'));
        else throw fault;
      }
    },
    destroy: () => { gone = true; },
  };
}
