// player.js: plays a granted trace. It shows what stands in the trace and nothing else: straight lines between
// samples, no reading for a channel that is not there. Writes attributes and CSSOM only (strict content policy).
window.pumpwright = window.pumpwright || {};
window.pumpwright.player = (() => {
  const $ = (s, r = document) => r.querySelector(s), $$ = (s, r = document) => [...r.querySelectorAll(s)];
  const PSI_PER_BAR = 14.5038, EASE = 9, CALM_STEP = 0.5, SEEN = 540; // degrees a second: a faster wheel would only flicker
  const calm = matchMedia('(prefers-reduced-motion: reduce)');
  const clamp = (v, a = 0, b = 1) => Math.max(a, Math.min(b, v));
  const mmss = s => `${s / 60 | 0}:${String(s % 60 | 0).padStart(2, '0')}`;
  const heard = { horizon: () => {}, event: () => {} };
  let root, trace, t = 0, playing = false, held = false, speed = 1, last = 0, turned = 0, waited = 0, told = 0;
  let gauges, reads, spins, belts, blurs, charts, chips, clocks;

  // the value of a channel at time `at`, or undefined when the trace has none
  function value(channel, at) {
    const ys = trace.ch[channel], xs = trace.t;
    if (!ys || !ys.length) return undefined;
    if (at < xs[0]) return ys[0];
    if (at >= xs[xs.length - 1]) return ys[xs.length - 1];
    let lo = 0, hi = xs.length - 1;
    while (hi - lo > 1) { const mid = (lo + hi) >> 1; if (xs[mid] <= at) lo = mid; else hi = mid; }
    return xs[hi] === xs[lo] ? ys[hi] : ys[lo] + (ys[hi] - ys[lo]) * (at - xs[lo]) / (xs[hi] - xs[lo]);
  }

  function shown(v, kind) {
    if (v === undefined) return '–';
    const bar = root.dataset.system === 'metric';
    if (kind === 'p') return bar ? (v / PSI_PER_BAR).toFixed(2) : v.toFixed(1);
    if (kind === 't') return (bar ? (v - 32) / 1.8 : v).toFixed(0);
    return v.toFixed(kind === 'a' ? 1 : 0);
  }

  // take over a bench: called for the first page and after each answer
  function load(bench) {
    root = bench;
    trace = JSON.parse($('#trace', root).dataset.trace);
    t = told = trace.clock;
    gauges = $$('[data-gauge]', root).map(g => ({ k: g.dataset.gauge, max: +g.dataset.max, needle: $('[data-needle]', g), angle: null }));
    reads = $$('[data-read]', root); spins = $$('[data-spin]', root); belts = $$('[data-belt]', root); blurs = $$('[data-blur]', root);
    chips = $$('[data-chip]', root); clocks = $$('[data-clock], [data-t]', root);
    charts = $$('[data-chart]', root).map(c => ({
      x0: +c.dataset.x0, x1: +c.dataset.x1, t0: +c.dataset.t0, t1: +c.dataset.t1,
      clip: $('[data-clip]', c), now: $('[data-now]', c), dots: $$('[data-dot]', c),
    }));
    held = false;
    buttons();
    paint(0);
  }

  function paint(step) {
    const soft = playing && !calm.matches && step > 0;
    for (const g of gauges) {
      const v = value(g.k, t);
      if (v === undefined) continue;
      const want = -135 + 270 * clamp(v / g.max, 0, 1.02);
      g.angle = g.angle === null || !soft ? want : g.angle + (want - g.angle) * Math.min(1, step * EASE);
      g.needle.setAttribute('transform', `rotate(${g.angle.toFixed(2)})`);
    }
    for (const r of reads) { const s = shown(value(r.dataset.read, t), r.dataset.kind); if (r.textContent !== s) r.textContent = s; }
    drive(soft, step);
    for (const c of charts) {
      const x = clamp(c.x0 + (c.x1 - c.x0) * (t - c.t0) / (c.t1 - c.t0), c.x0, c.x1);
      c.clip.setAttribute('width', (x - c.x0).toFixed(1));
      c.now.setAttribute('transform', `translate(${x.toFixed(1)} 0)`);
      for (const d of c.dots) { const v = value(d.dataset.dot, t); if (v !== undefined) d.setAttribute('cy', (+d.dataset.y0 - (d.dataset.y0 - d.dataset.y1) * clamp(v / d.dataset.max)).toFixed(1)); }
    }
    for (const c of clocks) { const s = mmss(t); if (c.textContent !== s) c.textContent = s; }
  }

  // the wheel turns slower than life so that its blades can be seen; with calm motion it stands and the chip tells
  function drive(soft, step) {
    const rpm = value('rpm', t) || 0, on = rpm > 5;
    if (soft && on) turned = (turned + Math.min(rpm / 2, SEEN) * step) % 36000;
    for (const s of spins) s.setAttribute('transform', `rotate(${(turned * (s.dataset.ratio || 1) % 360).toFixed(1)})`);
    for (const b of belts) b.setAttribute('stroke-dashoffset', (-turned * 1.87).toFixed(1));
    for (const b of blurs) b.style.opacity = calm.matches ? 0 : (clamp(rpm / 1050) * 0.55).toFixed(2);
    if (root.dataset.state !== 'safe') for (const c of chips) c.hidden = c.dataset.chip !== (on ? 'running' : 'rest');
  }

  function frame(ms) {
    if (!playing || held) return;
    const step = Math.min(0.1, (ms - last) / 1000 || 0);
    last = ms; waited += step;
    t = Math.min(trace.to, t + step * speed);
    for (const e of trace.events || []) if (e.t > told && e.t <= t) { told = e.t; if (speed > 1) t = e.t; heard.event(e); }
    if (!calm.matches || waited >= CALM_STEP || t >= trace.to || !playing) { paint(waited); waited = 0; }
    if (t >= trace.to) return heard.horizon(trace.to);
    requestAnimationFrame(frame);
  }

  function play(on) {
    playing = on;
    buttons();
    if (on && !held) { last = performance.now(); waited = 0; requestAnimationFrame(frame); }
  }

  function buttons() {
    const b = $('[data-play]', root);
    if (b) { b.setAttribute('aria-label', playing ? 'Pause' : 'Play'); $('use', b).setAttribute('href', playing ? '#i-pause' : '#i-play'); }
    for (const s of $$('[data-speed]', root)) s.setAttribute('aria-pressed', +s.dataset.speed === speed);
  }

  // jump to the next event that the trace tells of, to its end or as far as patience goes; returns the event or null
  function onward(patience = Infinity) {
    const next = (trace.events || []).find(e => e.t > t + 0.05), there = next ? next.t + 0.05 : Infinity;
    const end = Math.min(trace.to, t + patience);
    t = Math.min(there, end); told = Math.max(told, t);
    paint(0);
    return next && next.t <= end ? next : null;
  }

  return {
    load, play, onward, value, on: handlers => Object.assign(heard, handlers),
    at: () => t, horizon: () => trace.to, clock: () => trace.clock, isPlaying: () => playing,
    pace: s => { if (s) { speed = s; buttons(); } return speed; },
    hold: on => { held = on; if (!on && playing) play(true); },
  };
})();
