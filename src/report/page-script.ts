/**
 * The script of a page, run in the reader's browser: it puts an interactive figure in place of each static
 * one, follows the width and the theme, and lets the arrow keys walk through the points. Plain JavaScript;
 * without it the page is complete, with static figures.
 */
export const pageScript = `'use strict';
(() => {
  const block = document.getElementById('figures');
  const Plotly = window.Plotly;
  if (block === null || Plotly === undefined) return;
  const { dark, figures } = JSON.parse(block.textContent);
  const theme = window.matchMedia('(prefers-color-scheme: dark)');

  const recolour = (value) => {
    if (typeof value === 'string') return theme.matches && Object.hasOwn(dark, value) ? dark[value] : value;
    if (Array.isArray(value)) return value.map(recolour);
    if (value === null || typeof value !== 'object') return value;
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, recolour(inner)]));
  };

  const mounted = [];
  for (const figure of figures) {
    const host = document.querySelector('[data-figure="' + figure.id + '"]');
    if (host !== null) mounted.push({ figure, host, plot: host.querySelector('.plot'), off: new Set(), width: 0, at: -1, points: [] });
  }

  const draw = async (entry) => {
    const { figure, host, plot } = entry;
    host.hidden = false;
    host.parentElement.classList.add('is-live');
    entry.width = host.clientWidth;
    const { data: traces, config } = figure;
    const layout = recolour(entry.width < 480 ? figure.narrow : figure.wide);
    const data = recolour(traces).map((trace, k) => (entry.off.has(k) ? { ...trace, visible: false } : trace));
    entry.points = data.flatMap((trace, curveNumber) =>
      trace.hovertext === undefined || entry.off.has(curveNumber) ? [] : trace.hovertext.flatMap((words, pointNumber) =>
        words === '' || trace.x[pointNumber] === null || trace.y[pointNumber] === null ? [] : [{
          curveNumber, pointNumber, words, subplot: (trace.xaxis || 'x') + (trace.yaxis || 'y') }]));
    await Plotly.react(plot, data, { ...layout, width: entry.width }, config);
  };

  const fail = (entry) => {
    entry.host.hidden = true;
    entry.host.parentElement.classList.remove('is-live');
  };

  const plain = (words) => {
    const text = words.replaceAll('<br>', '. ');
    const names = { lt: '<', gt: '>', amp: '&' };
    return text.replace(/&(lt|gt|amp);/g, (whole, name) => names[name]);
  };

  const walk = (entry, event) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const reader = entry.host.querySelector('.reader');
    if (event.key === 'Escape') {
      entry.at = -1;
      reader.textContent = '';
      Plotly.Fx.unhover(entry.plot);
    }
    if (step === undefined || entry.points.length === 0) return;
    event.preventDefault();
    const count = entry.points.length;
    entry.at = entry.at < 0 ? (step > 0 ? 0 : count - 1) : (entry.at + step + count) % count;
    const { curveNumber, pointNumber, words, subplot } = entry.points[entry.at];
    Plotly.Fx.hover(entry.plot, [{ curveNumber, pointNumber }], [subplot]);
    reader.textContent = plain(words);
  };

  const toggle = (entry, button) => {
    const shown = button.getAttribute('aria-pressed') !== 'true';
    button.setAttribute('aria-pressed', String(shown));
    for (const trace of button.dataset.traces.split(' ')) {
      if (shown) entry.off.delete(Number(trace));
      else entry.off.add(Number(trace));
    }
    entry.at = -1;
    draw(entry);
  };

  for (const entry of mounted) {
    for (const button of entry.host.querySelectorAll('.legend button')) {
      button.addEventListener('click', () => toggle(entry, button));
    }
    entry.host.addEventListener('keydown', (event) => walk(entry, event));
    entry.host.addEventListener('blur', () => {
      entry.at = -1;
      entry.host.querySelector('.reader').textContent = '';
      Plotly.Fx.unhover(entry.plot);
    });
  }

  const drawAll = async () => {
    for (const entry of mounted) {
      try {
        await draw(entry);
      } catch (error) {
        fail(entry);
        console.error(error);
      }
    }
    document.documentElement.dataset.figures = 'ready';
  };

  // Paper shows what a screen folds away; browsers that cannot open it by style need this.
  const folded = () => [...document.querySelectorAll('details.more:not([open])')];
  let opened = [];
  window.addEventListener('beforeprint', () => {
    opened = folded();
    for (const one of opened) one.open = true;
  });
  window.addEventListener('afterprint', () => {
    for (const one of opened) one.open = false;
  });

  theme.addEventListener('change', drawAll);
  let waiting = 0;
  window.addEventListener('resize', () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      if (mounted.some((entry) => entry.host.clientWidth > 0 && entry.host.clientWidth !== entry.width)) drawAll();
    }, 120);
  });
  drawAll();
})();
`;
