/** What the pages of the site have beyond the style of every page: navigation, doors, declarations, search. */
export const siteStyle = `
.site-head,.site-foot{max-width:60rem;margin:0 auto;padding:1rem 1rem 0}
.site-head{display:flex;flex-wrap:wrap;gap:.2rem 1.6rem;align-items:baseline;border-bottom:1px solid var(--rule);padding-bottom:.7rem}
.site-name{margin:0;font-weight:600}
.site-name a{color:var(--ink);text-decoration:none}
.site-head ul{list-style:none;display:flex;flex-wrap:wrap;gap:.1rem 1.1rem;padding:0;margin:0;font-size:.9rem}
.site-head li{margin:0}
.site-head li a{display:inline-block;padding:.2rem 0;min-height:1.6rem}
.site-head [aria-current]{color:var(--ink);font-weight:600;text-decoration:none;border-bottom:3px solid var(--drill)}
.site-foot{border-top:1px solid var(--rule);padding:1rem 1rem 3rem;color:var(--soft);font-size:.86rem}
main{padding-top:1.8rem}
h1{font-size:1.9rem;margin-bottom:.6rem}
.stack{margin:.8rem 0}
.stack thead th:first-child{width:26%}
.stack thead th:nth-child(2){width:44%}
.whole{white-space:nowrap}
main:has(>.wide-content){max-width:60rem}
.crumb{font-size:.86rem;color:var(--soft);margin:0 0 .5rem}
.lead{font-size:1.08rem;text-wrap:pretty}
.doors{display:grid;grid-template-columns:repeat(auto-fit,minmax(14rem,1fr));gap:1rem;margin:1.6rem 0;padding:0;list-style:none}
.doors>li{margin:0;background:var(--raised);border-radius:10px;padding:1.1rem 1.2rem;border-top:4px solid var(--drill)}
.doors>li:nth-child(2){border-color:var(--control)}
.doors>li:nth-child(3){border-color:var(--third)}
.doors h2{margin:0 0 .4rem;font-size:1.15rem}
.doors p{margin:.4rem 0;font-size:.95rem}
.plain{list-style:none;padding:0}
.plain>li{margin:0;padding:.45rem 0;border-top:1px solid var(--rule)}
.plain>li:last-child{border-bottom:1px solid var(--rule)}
.plain small{display:block}
.columns{columns:14rem 3}
.columns li{break-inside:avoid;margin:0;padding:.15rem 0}
.entry{margin-top:2rem;padding-top:1.1rem;border-top:1px solid var(--rule)}
section>h2+.entry,nav+.entry{border-top:0;margin-top:.6rem;padding-top:.4rem}
.entry>h3{margin:0 0 .3rem}
.entry>h2{margin:0 0 .3rem;font-size:1.2rem}
.kind{font-family:system-ui,'Segoe UI',Roboto,'Noto Sans','Liberation Sans',sans-serif;font-size:.82rem;font-weight:400;color:var(--soft)}
pre.declaration{border-left:3px solid var(--drill);border-radius:0 6px 6px 0;font-size:.8em;overflow-wrap:anywhere}
pre.declaration .note-line{color:var(--soft)}
pre.declaration a{text-decoration-thickness:1px;text-underline-offset:2px}
.parts dt{font-size:.86rem;color:var(--soft);margin-top:.6rem}
.parts dd{margin:0}
.parts dd p,.parts dd pre{margin:.2rem 0}
.finder{margin:1.2rem 0}
.finder label{display:block;font-weight:600;margin-bottom:.3rem}
.finder input{font:inherit;width:100%;max-width:30rem;padding:.55rem .7rem;color:var(--ink);background:var(--paper);border:1px solid var(--zoneEdge);border-radius:6px}
.letters{display:flex;flex-wrap:wrap;gap:.3rem .9rem;list-style:none;padding:0}
.letters li{margin:0}
.letters a{display:inline-block;min-width:1.6rem;min-height:1.6rem}
.step-table th{width:9rem}
h2[id],h3[id],article[id],tr[id],section[id]{scroll-margin-top:1rem}
:target{outline:2px solid var(--drill);outline-offset:4px;border-radius:3px}
@media (max-width:540px){
h1{font-size:1.6rem}
.stack,.stack tbody,.stack tr,.stack th,.stack td{display:block;width:auto}
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack tr{border-top:1px solid var(--rule);padding:.5rem 0}
.stack tbody tr>th,.stack tbody tr>td{border:0;padding:.1rem 0}
.stack td:nth-child(n+3){color:var(--soft);font-size:.9em}
.stack td:empty{display:none}
.stack th,.stack td{overflow-wrap:anywhere}
}
@media print{
.site-head nav,.finder{display:none}
.site-foot,.site-head{max-width:none;padding-left:0;padding-right:0}
.doors>li{break-inside:avoid}
pre{white-space:pre-wrap}
}
`;
