/**
 * The script of the search, run in the reader's browser on the list that the page is anyway: no index to load, so that it works
 * from a file too. Names count before descriptions, beginnings before middles. Plain JavaScript; without it the page is the list.
 */
export const searchScript = `'use strict';
(() => {
  const MOST = 60;
  const finder = document.querySelector('.finder');
  const asked = document.getElementById('asked');
  const found = document.getElementById('found');
  const hits = document.getElementById('hits');
  const all = document.getElementById('all');
  const plain = (text) => text.toLowerCase().normalize('NFKD').replace(/\\p{M}/gu, '').replace(/[_\\s]+/g, ' ').trim();
  const entries = [...document.querySelectorAll('[data-entry]')].map((item) => {
    const name = plain(item.querySelector('a').textContent);
    return { item, name, spoken: name.replace(/[^\\p{L}\\p{N}]+/gu, ' ').trim(), rest: plain(item.textContent) };
  });

  const weight = (entry, words, whole) => {
    if (!words.every((word) => entry.rest.includes(word))) return 0;
    if (entry.name === whole || entry.spoken === whole) return 100;
    let sum = 1;
    for (const word of words) {
      if (entry.spoken.startsWith(word)) sum += 20;
      else if (entry.spoken.includes(' ' + word)) sum += 12;
      else if (entry.name.includes(word)) sum += 8;
      else if (entry.rest.includes(' ' + word)) sum += 2;
    }
    return sum + 1 / (1 + entry.name.length);
  };

  const look = () => {
    const whole = plain(asked.value);
    all.hidden = whole !== '';
    hits.replaceChildren();
    found.textContent = '';
    if (whole === '') return;
    const words = whole.split(' ');
    const best = entries
      .map((entry) => ({ entry, by: weight(entry, words, whole) }))
      .filter(({ by }) => by > 0)
      .sort((a, b) => b.by - a.by);
    for (const { entry } of best.slice(0, MOST)) hits.append(entry.item.cloneNode(true));
    const more = best.length > MOST ? ', the first ' + MOST + ' of them here' : '';
    found.textContent = best.length === 0 ? 'Nothing has these words.' : best.length + ' found' + more + '.';
  };

  finder.hidden = false;
  const given = new URLSearchParams(location.search).get('q');
  if (given !== null) asked.value = given;
  asked.addEventListener('input', look);
  look();
})();
`;
