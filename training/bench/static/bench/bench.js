// bench.js: the hands at the bench. Every deed is a form that works without this script; with it, a deed carries
// the playhead as its moment and a key used once, a dropped line is tried again with the same key, and the focus
// stays where the hand was or goes to what was found.
addEventListener('DOMContentLoaded', () => {
  const $ = (s, r = document) => r.querySelector(s), $$ = (s, r = document) => [...r.querySelectorAll(s)];
  const player = window.pumpwright.player, calm = matchMedia('(prefers-reduced-motion: reduce)');
  const LATE = 5000, AGAIN = [1000, 3000, 8000], TOLD = new Set([409, 422]), PLAYS_ON = new Set(['wait', 'pin', 'unpin', 'suspect', 'hand']), LEADS_ON = new Set(['name', 'repair', 'proof', 'say']);
  const band = $('#line-band'), bench = () => $('#bench');
  const PATIENCE = 300; // seconds of the rig's clock that nobody waits beyond when nothing happens
  let tool = '', waitsFor = 0, kept = '', pending = null, tries = 0, late = 0, was = null;

  document.documentElement.classList.add('js');
  htmx.config.timeout = 90000;

  // ---- saying
  let speaking = 0;
  function say(words) { clearTimeout(speaking); const at = $('dialog:modal [data-told-in]') || $('#say'); at.textContent = ''; speaking = setTimeout(() => { at.textContent = words; }, 60); }
  // what happened without a deed stands where a deed's answer stands
  const mmss = s => `${s / 60 | 0}:${String(s % 60 | 0).padStart(2, '0')}`;
  function tell(words) { const at = $('#told', bench()), p = document.createElement('p'); p.textContent = words; at.className = 'say say-new'; at.dataset.told = 'yes'; at.replaceChildren(p); say(words); }
  const tellEvent = e => tell(`${mmss(e.t)} ${e.say}.`);
  function lineSays(words, again) { $('[data-band]').textContent = words; $('[data-again]').hidden = !again; band.hidden = !words; if (words) say(words); }

  // ---- tools and places
  function take(next) {
    tool = next;
    for (const b of $$('.pocket', bench())) b.setAttribute('aria-pressed', b.dataset.tool === tool);
    for (const w of $$('.where', bench())) w.hidden = w.dataset.for !== tool;
    const fits = new Set(placesInHand().map(b => b.dataset.place));
    for (const g of $$('.tgt', bench())) g.classList.toggle('fits', fits.has(g.dataset.place));
  }
  const placesInHand = () => tool ? $$(`#where-${CSS.escape(tool)} [data-place]`, bench()) : [];
  function point(place) {
    const found = placesInHand().filter(b => b.dataset.place === place);
    for (const b of placesInHand()) b.classList.toggle('here', b.dataset.place === place);
    if (found.length === 1) found[0].click(); else if (found.length) { found[0].focus(); say(`${found.length} checks can be made here. Choose one from the list.`); }
  }

  // ---- walk round: move the picture's window
  function view(box) {
    const rig = $('.scene .rig'), to = box.split(' ').map(Number), from = rig.getAttribute('viewBox').split(' ').map(Number), t0 = performance.now();
    for (const b of $$('[data-view]')) b.setAttribute('aria-pressed', b.dataset.view === box);
    if (calm.matches) { rig.setAttribute('viewBox', box); return; }
    (function go(ms) {
      const k = Math.max(0, Math.min(1, (ms - t0) / 420)), e = 1 - (1 - k) ** 3;
      rig.setAttribute('viewBox', from.map((f, i) => (f + (to[i] - f) * e).toFixed(1)).join(' '));
      if (k < 1) requestAnimationFrame(go);
    })(t0);
  }

  // ---- places in the dialog follow the fault chosen
  function places(select) {
    const where = $(select.dataset.places), fault = select.value;
    if (!where) return;
    let any = false;
    for (const o of where.options) { const fits = !o.value || (o.dataset.faults || '').split(' ').includes(fault); o.hidden = o.disabled = !fits; any = any || (fits && !!o.value); }
    if (where.selectedOptions[0] && where.selectedOptions[0].disabled) where.value = '';
    where.closest('.field').hidden = !any;
  }

  // ---- deeds
  const ours = e => bench() && (e.detail.elt === bench() || bench().contains(e.detail.elt));
  document.addEventListener('htmx:configRequest', e => {
    if (!ours(e) || e.detail.verb !== 'post') return;
    const sent = e.detail.parameters;
    if (pending) { for (const [k, v] of Object.entries(pending.values)) sent[k] = v; return; }
    sent.key = crypto.randomUUID();
    if (sent.from_end) delete sent.from_end; else sent.at = player.at().toFixed(3);
    sent.tool = tool;
    pending = { url: e.detail.path, values: Object.fromEntries(Object.entries(sent)) }; tries = 0;
  });
  document.addEventListener('htmx:beforeRequest', e => {
    if (!ours(e)) return;
    player.hold(true); busy(true);
    late = setTimeout(() => lineSays('Still waiting for the answer. The rig’s clock stands until it comes.'), LATE);
  });
  document.addEventListener('htmx:afterRequest', e => {
    const status = e.detail.xhr && e.detail.xhr.status;
    if (!pending || !status) return;
    clearTimeout(late); pending = null;
    if (status < 400 || TOLD.has(status)) lineSays('');
  });
  for (const lost of ['htmx:sendError', 'htmx:timeout']) document.addEventListener(lost, () => {
    if (!pending) return;
    clearTimeout(late);
    const wait = AGAIN[tries];
    if (wait === undefined) { busy(false); lineSays('The line is down. What you did last has not been answered; nothing else was done.', true); return; }
    tries += 1;
    lineSays('The line dropped. Trying the same deed again…');
    setTimeout(again, wait);
  });
  document.addEventListener('htmx:responseError', e => {
    if (!bench()) return;
    busy(false); player.hold(false); player.play(false);
    lineSays(e.detail.xhr.status === 403 ? 'You are no longer signed in, or the page is old. Load it again.' : `The shop’s computer answered with an error (${e.detail.xhr.status}). Nothing was written in the log.`);
  });
  addEventListener('online', () => { if (pending) again(); });
  function again() { if (pending) htmx.ajax('POST', pending.url, { target: '#bench', swap: 'outerHTML', source: '#bench', values: pending.values }); }
  function busy(on) { bench().toggleAttribute('aria-busy', on); if (on) bench().setAttribute('aria-busy', 'true'); for (const b of $$('button[type="submit"], button:not([type])', bench())) if (on) b.setAttribute('aria-disabled', 'true'); else b.removeAttribute('aria-disabled'); }
  document.addEventListener('click', e => { if (e.target.closest('[aria-disabled="true"]') && bench() && bench().contains(e.target)) { e.preventDefault(); e.stopImmediatePropagation(); } }, true);

  // ---- swaps: the page keeps what was open, where it was scrolled and where the hand was
  document.addEventListener('htmx:beforeSwap', e => {
    if (!bench() || e.detail.target !== bench()) return;
    if (e.detail.xhr.status === 200 && !e.detail.xhr.responseText.includes('id="bench"')) { e.detail.shouldSwap = false; busy(false); lineSays('You are no longer signed in. Load the page again; nothing was written in the log.'); return; }
    was = {
      focus: document.activeElement && document.activeElement.id, deed: deedOf(e), dialog: ($('dialog:modal') || {}).id,
      open: $$('details[open]', bench()).map(d => d.id), scroll: $$('.note-l, .sus-l, .where-l, .sheet', bench()).filter(s => s.id).map(s => [s.id, s.scrollTop, s.scrollLeft]),
      playing: player.isPlaying(), top: scrollY,
    };
  });
  const deedOf = e => (e.detail.requestConfig && e.detail.requestConfig.parameters && e.detail.requestConfig.parameters.deed) || '';
  document.addEventListener('htmx:afterSettle', () => { if (was) { const before = was; was = null; enter(before); } });

  function enter(before) {
    player.load(bench());
    take(tool || bench().dataset.tool || '');
    for (const s of $$('[data-places]', bench())) places(s);
    for (const d of $$('dialog[open]', bench())) { d.removeAttribute('open'); d.showModal(); }
    if (!before) return;
    for (const id of before.open) { const d = id && document.getElementById(id); if (d && d.tagName === 'DETAILS' && !(before.deed === 'suspect' && d.classList.contains('sus-d'))) d.open = true; }
    for (const [id, y, x] of before.scroll) { const s = document.getElementById(id); if (s) { s.scrollTop = y; s.scrollLeft = x; } }
    const refused = $('#told', bench()).dataset.told === 'no';
    const dialog = before.dialog && document.getElementById(before.dialog);
    if (dialog && !dialog.open && (refused || before.dialog === 'safe')) dialog.showModal();
    scrollTo(scrollX, before.top);
    focus(before, $('dialog:modal'));
    const stands = refused ? '' : kept;
    kept = '';
    if (refused) waitsFor = 0;
    if (waitsFor) { seek(); return; }
    if (stands) tell(stands); else say($('#told', bench()).innerText);
    player.play(before.playing && !refused && PLAYS_ON.has(before.deed));
  }
  function focus(before, dialog) {
    const same = before.focus && document.getElementById(before.focus), fit = n => n && !n.disabled && n.getClientRects().length;
    if (dialog) { const next = $('.is-next .btn', dialog); (fit(same) && dialog.contains(same) ? same : fit(next) ? next : $('[data-close]', dialog)).focus(); return; }
    if (before.deed === 'suspect' && before.focus) { const sum = $(`#${CSS.escape(before.focus.replace(/^(why|sus-do)-/, 'sus-'))} > summary`); if (sum) { sum.focus({ preventScroll: true }); return; } }
    const next = LEADS_ON.has(before.deed) && $('#told', bench()).dataset.told !== 'no' && $('#next', bench());
    if (next) { next.scrollIntoView(); next.focus({ preventScroll: true }); return; }
    (fit(same) ? same : $('#told', bench())).focus({ preventScroll: !!fit(same) });
  }

  // ---- letting the clock run
  player.on({
    // faster than life, the clock stops at an event: it would be past before it is seen
    event: e => { if (player.pace() > 1) player.play(false); tellEvent(e); },
    horizon: more,
  });
  // ask the server for what comes after the end of what it granted; the words that stand stay
  function more(end) {
    if (pending) { waitsFor = 0; return; }
    kept = $('#told', bench()).innerText;
    htmx.ajax('POST', bench().dataset.act, { target: '#bench', swap: 'outerHTML', source: '#bench', values: { deed: 'wait', until: end.toFixed(3), from_end: '1' } });
  }
  // on to the next event, asking for more of the clock as long as there is patience
  function seek() {
    const from = player.at(), next = player.onward(waitsFor);
    waitsFor -= player.at() - from;
    if (next) { waitsFor = 0; tellEvent(next); }
    else if (waitsFor < 1) { waitsFor = 0; tell(`${mmss(player.at())} Five minutes went by and nothing happened.`); }
    else more(player.horizon());
  }

  document.addEventListener('click', e => {
    const c = s => e.target.closest(s); let b;
    if ((b = c('.pocket'))) { e.preventDefault(); take(tool === b.dataset.tool ? '' : b.dataset.tool); say(tool ? `${b.textContent.trim()} in hand. Choose a place from the list.` : 'Tool put back.'); }
    else if ((b = c('.tgt'))) point(b.dataset.place);
    else if ((b = c('[data-view]'))) view(b.dataset.view);
    else if ((b = c('[data-names]'))) b.setAttribute('aria-pressed', $('.scene .rig').classList.toggle('named'));
    else if (c('[data-play]')) player.play(!player.isPlaying());
    else if ((b = c('[data-speed]'))) player.pace(+b.dataset.speed);
    else if (c('[data-again]')) { tries = 0; lineSays('Trying the same deed again…'); again(); }
    else if ((b = c('[data-until-event]'))) { e.preventDefault(); player.play(false); waitsFor = PATIENCE; seek(); }
  });
  document.addEventListener('keydown', e => { const g = e.target.closest('.tgt'); if (g && (e.key === 'Enter' || e.key === ' ')) { e.preventDefault(); point(g.dataset.place); } });
  document.addEventListener('change', e => { if (e.target.matches('[data-places]')) places(e.target); });
  enter(null);
});
