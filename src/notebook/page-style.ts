/** What a notebook's page adds to the style of every page. */
export const notebookStyle = `
.over bdi{font-weight:500}
.cell{margin:1.4rem 0}
.code{display:flex;background:var(--raised);border-radius:6px;font-size:.92em;line-height:1.5}
.code pre{background:none;border-radius:0;margin:0;padding:.8rem .9rem;white-space:pre;font-size:.8rem;line-height:1.55;overflow-x:auto;tab-size:2;overflow-wrap:normal}
.code .lines{flex:none;padding-right:0;color:var(--soft);text-align:right;user-select:none;-webkit-user-select:none;overflow:hidden;min-width:2.6rem}
.code .source{flex:1;min-width:0}
.code .said{color:var(--soft);font-style:italic}
.code .quoted{color:var(--drill)}
.code .word{font-weight:600}
.cell-title{font-size:.86rem;color:var(--soft);margin:0 0 .35rem}
.output{margin:.7rem 0 0}
.output>:first-child{margin-top:0}
.output pre{background:none;border-left:3px solid var(--rule);border-radius:0;padding:.1rem 0 .1rem .9rem;margin:0;overflow-wrap:anywhere}
.output .answer{margin-top:0}
.stopped{margin:1rem 0 0;padding:.6rem 1rem;border-left:4px solid var(--control);background:var(--raised);border-radius:0 6px 6px 0}
.stopped p{margin:.2rem 0}
.stopped pre{border:0;padding:0;background:none;margin:.2rem 0}
.foot{margin-top:4rem;padding-top:1rem;border-top:1px solid var(--rule);font-size:.88rem}
.foot h2{all:unset;display:block;font-weight:600}
@media (max-width:540px){
.code .lines{display:none}
}
@media print{
.code pre{white-space:pre-wrap;overflow-wrap:anywhere}
.code .lines{display:none}
.code{border:1px solid var(--rule)}
.stopped,.output pre{break-inside:avoid}
}
`.trim();
