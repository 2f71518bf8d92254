/** What a notebook's page adds to the style of every page. */
export const notebookStyle = `
.over bdi{font-weight:500}
.cell{margin:1.4rem 0}
.cell-title{font-size:.86rem;color:var(--soft);margin:0 0 .35rem}
pre.code{margin:0;padding:.7rem .9rem .7rem 0;font-size:.78rem;line-height:1.6;white-space:pre-wrap;overflow-wrap:anywhere;tab-size:2}
.code code{font-size:inherit}
.code .line{display:block;position:relative;padding-left:calc(3.2rem + 2ch);text-indent:-2ch}
.code .line::before{content:attr(data-line);position:absolute;left:0;width:2.5rem;text-align:right;text-indent:0;color:var(--soft);user-select:none;-webkit-user-select:none}
.code .said{color:var(--soft);font-style:italic}
.code .quoted{color:var(--drill)}
.code .word{font-weight:600}
.output{margin:.7rem 0 0}
.output>:first-child{margin-top:0}
.output pre{background:none;border-left:3px solid var(--rule);border-radius:0;padding:.1rem 0 .1rem .9rem;margin:0;overflow-wrap:anywhere}
.output .answer{margin-top:0}
.output table.data bdi{overflow-wrap:break-word}
.output.brief caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.output.long .scroll{max-height:32rem;overflow-y:auto;border-bottom:1px solid var(--rule)}
.stopped{margin:1rem 0 0;padding:.6rem 1rem;border-left:4px solid var(--control);background:var(--raised);border-radius:0 6px 6px 0}
.stopped p{margin:.2rem 0}
.stopped pre{border:0;padding:0;background:none;margin:.2rem 0}
.foot{margin-top:4rem;padding-top:1rem;border-top:1px solid var(--rule);font-size:.88rem}
.foot h2{all:unset;display:block;font-weight:600}
.foot .hash{font-size:.74rem}
@media (max-width:540px){
.output td:last-child bdi{display:block;min-width:9rem}
.code .line{padding-left:calc(.9rem + 2ch)}
.code .line::before{content:none}
}
@media print{
pre.code{border:1px solid var(--rule)}
.output.long .scroll{max-height:none}
.stopped{break-inside:avoid}
}
`.trim();
