import type { SitePage } from './page.ts';

/** The first page: a door for each of the three people who come. */
export function startPage(): SitePage {
  return {
    path: 'index.html',
    title: 'Proving Range',
    wide: true,
    body: `<h1>Does what you teach change the swing?</h1>
<p class="lead">Proving Range takes a folder of plain spreadsheets (who was in the trial, when they came, what was measured at each swing) and tells
whether a drill changed it, by how much, for whom, and how sure that is: on a page that a coach can read, a director can trust and a student can run again.</p>
<ul class="doors">
<li><h2><a href="/tutorials/coach.html">I test a drill</a></h2>
<p>From an empty folder to an answer about your own pupils: planned, drawn by lot, measured, told.</p>
<p class="kind">For coaches. A spreadsheet is enough.</p></li>
<li><h2><a href="/tutorials/director.html">I compare instructors</a></h2>
<p>What can be said fairly about people with few pupils, what cannot, and how pupils' data stay theirs.</p>
<p class="kind">For academy directors.</p></li>
<li><h2><a href="/tutorials/student.html">I reproduce a published angle</a></h2>
<p>Every step from markers to degrees, its error, a notebook, and a program of your own to cite.</p>
<p class="kind">For students of sports science.</p></li>
</ul>
<section aria-labelledby="look-up"><h2 id="look-up">Look something up</h2>
<ul class="plain">
<li><a href="/commands.html">Commands</a> <small class="soft">every word that can be typed, with its options and an example</small></li>
<li><a href="/metrics.html">Metrics</a> <small class="soft">what each number of the swing means, with a drawing, its equation and its source</small></li>
<li><a href="/tables.html">Tables</a> <small class="soft">every column of the spreadsheets</small></li>
<li><a href="/json/index.html">JSON files</a> <small class="soft">plan, layout, model, import mapping and recipe, field by field</small></li>
<li><a href="/library/index.html">Library</a> <small class="soft">for programs of your own: every public name</small></li>
<li><a href="/notebooks/index.html">Notebooks</a> and <a href="/reports/index.html">reports</a> <small class="soft">as they were run, on data whose truth is known</small></li>
<li><a href="/search.html">Search, and everything from A to Z</a></li>
</ul>
</section>
<section aria-labelledby="two-minutes"><h2 id="two-minutes">Two commands to begin with</h2>
<p>In the folder of Proving Range, with Node.js 20.19 or newer and nothing else. No data leave your machine.</p>
<pre tabindex="0"><code>npm ci &amp;&amp; npm run demo    # ends with the path of a report: open it in a browser
npm ci &amp;&amp; npm test        # every check this project makes of itself</code></pre>
<p>The whole of it on one page is the <a href="/readme.html">README</a>.</p>
</section>`,
  };
}
