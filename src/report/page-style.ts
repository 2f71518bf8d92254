import { fontFamily } from './figure-svg.ts';
import { paletteCss } from './palette.ts';

const serif =
  "ui-serif,'Iowan Old Style','Palatino Linotype',Palatino,'Noto Serif','Liberation Serif',Georgia,serif";
const mono = "ui-monospace,'SF Mono',Menlo,Consolas,'Liberation Mono',monospace";

const screen = `
*,*::before,*::after{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:17px/1.55 ${fontFamily};-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0}
main{max-width:732px;margin:0 auto;padding:2.5rem 1rem 5rem;overflow-wrap:anywhere}
main:focus{outline:none}
h1,h2,h3,h4{font-family:${serif};font-weight:600;line-height:1.22;text-wrap:balance;margin:0}
h1{font-size:1.5rem}
section{margin-top:2.8rem;padding-top:1.3rem;border-top:1px solid var(--rule)}
h2{font-size:1.42rem;margin:2.4rem 0 .7rem}
section>h2:first-child,section>.figure:first-child{margin-top:0}
h3{font-size:1.08rem;margin:2rem 0 .4rem}
h4{font-size:1rem;margin:1.4rem 0 .3rem}
p,ul,ol,dl{margin:.6rem 0}
ul,ol{padding-left:1.3rem}
li{margin:.3rem 0}
a{color:var(--drill)}
small,.soft{color:var(--soft)}
small{font-size:.82rem}
code,pre,.hash{font-family:${mono};font-size:.84em}
pre{background:var(--raised);border-radius:6px;padding:.8rem 1rem;white-space:pre-wrap;line-height:1.5}
blockquote{margin:1rem 0;padding:0 0 0 1rem;border-left:3px solid var(--rule);color:var(--soft)}
:focus-visible{outline:3px solid var(--drill);outline-offset:2px;border-radius:3px}
.skip{position:absolute;left:-999rem;top:.5rem;padding:.5rem .9rem;background:var(--ink);color:var(--paper);z-index:9}
.skip:focus{left:.5rem}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.over{font-size:.82rem;letter-spacing:.02em;color:var(--soft);margin:0 0 .5rem}
details{margin:.8rem 0}
summary{cursor:pointer;color:var(--drill);font-size:.9rem;width:fit-content;padding:.15rem 0}
summary:hover{text-decoration:underline}
.scroll{overflow-x:auto;margin:.8rem 0;background:linear-gradient(to right,var(--paper) 30%,transparent) left/2.5rem 100% no-repeat local,linear-gradient(to left,var(--paper) 30%,transparent) right/2.5rem 100% no-repeat local,linear-gradient(to right,var(--rule),transparent) left/.8rem 100% no-repeat scroll,linear-gradient(to left,var(--rule),transparent) right/.8rem 100% no-repeat scroll;container-type:inline-size}
.scroll caption{position:sticky;left:0;max-width:100cqi}
table{border-collapse:collapse;width:100%;font-size:.92rem;line-height:1.4}
caption{text-align:left;color:var(--soft);font-size:.86rem;padding-bottom:.45rem}
th,td{text-align:left;vertical-align:top;padding:.5rem .9rem .5rem 0;border-top:1px solid var(--rule);overflow-wrap:break-word}
th:last-child,td:last-child{padding-right:0}
thead th{border-top:0;color:var(--soft);font-weight:500;font-size:.86rem;vertical-align:bottom}
tbody th{font-weight:500}
tbody tr:last-child>*{border-bottom:1px solid var(--rule)}
.number{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}
td.none{text-align:right;color:var(--soft)}
table.data{font-size:.86rem}
table.data thead th{white-space:normal}
table.data th:first-child,table.data td:first-child{min-width:5.2rem}
table.data th,table.data td{padding-top:.28rem;padding-bottom:.28rem}
table.data th.words,table.data td.words{min-width:11rem}
table.data td,table.data th{overflow-wrap:break-word}
`;

const answer = `
.answer{margin:1.1rem 0 0;padding:1.3rem 1.35rem 1.2rem;background:var(--raised);border-radius:10px}
.verdict{display:flex;gap:.6rem;align-items:center;margin:0 0 .55rem;font-weight:600;font-size:.95rem}
.verdict svg{flex:none;width:1.35rem;height:1.35rem}
.sentence{font-family:${serif};font-size:1.42rem;line-height:1.36;margin:0;text-wrap:pretty}
.facts{display:grid;grid-template-columns:1.15fr 1.15fr 1fr 1fr;gap:1rem 1.2rem;margin:1.2rem 0 0;padding-top:1rem;border-top:1px solid var(--rule)}
.facts div{min-width:0}
.facts dt{font-size:.82rem;color:var(--soft);line-height:1.35}
.facts dd{margin:.15rem 0 0;font-size:1.22rem;font-variant-numeric:tabular-nums;line-height:1.3}
.facts dd small{display:block;font-size:.84rem;line-height:1.4}
.note{margin:1rem 0;padding:.2rem 0 .2rem 1rem;border-left:4px solid var(--control)}
.note h2{all:unset;display:block;font-weight:600}
.note p,.note ul{margin:.25rem 0}
`;

const sections = `
.figure{margin:1.6rem 0 0}
.figure>.figure-title{margin:0 0 .6rem}
.figure svg{display:block;max-width:100%;height:auto;overflow:visible}
.figure .narrow{display:none}
.figure.is-live .static{display:none}
.live{position:relative;border-radius:4px}
.legend{display:flex;flex-wrap:wrap;gap:.1rem 1rem;margin:0 0 .3rem}
.legend button{all:unset;display:flex;align-items:center;gap:.4rem;cursor:pointer;min-height:1.5rem;max-width:100%}
.legend button:focus-visible{outline:3px solid var(--drill);outline-offset:1px;border-radius:3px}
.legend svg{flex:none}
.legend bdi{overflow-wrap:anywhere}
.legend [aria-pressed=false] svg{opacity:.35}
.legend [aria-pressed=false] bdi{text-decoration:line-through;color:var(--soft)}
.reader:empty{display:none}
.reader{margin:.3rem 0 0;font-size:.88rem}
figcaption{color:var(--soft);font-size:.92rem;margin-top:.5rem;text-wrap:pretty}
.results{table-layout:fixed}
.results thead th:last-child{width:38%}
.results .name{font-weight:600;display:block}
.results .meaning{display:block;color:var(--soft);font-weight:400;font-size:.92em;margin-top:.15rem}
.results .value{font-size:1.12rem;font-variant-numeric:tabular-nums;display:block}
.results .range{display:block;font-size:.92em;font-variant-numeric:tabular-nums}
.results .fine{display:block;line-height:1.35;color:var(--soft);font-size:.86em}
.checks{list-style:none;padding:0;margin:.8rem 0}
.checks>li{margin:0;padding:.6rem 0;border-top:1px solid var(--rule)}
.checks>li:last-child{border-bottom:1px solid var(--rule)}
.checks b{font-weight:600}
.checks details{margin:.15rem 0 0}
.state{font-size:.82rem;border:1px solid var(--zoneEdge);border-radius:99px;padding:.05rem .6rem;margin-left:.5rem;white-space:nowrap}
.state.bad,.state.look{border-color:var(--control);color:var(--control)}
.state.good{border-color:var(--drill);color:var(--drill)}
.ids{font-size:.88rem;line-height:1.7}
.ids bdi+bdi{margin-left:.9em}
.facts-list dt{font-size:.86rem;color:var(--soft);margin-top:.8rem}
.facts-list dd{margin:0}
.hash{overflow-wrap:anywhere}
.token{display:inline-block;max-width:100%;overflow-wrap:anywhere}
@media (max-width:540px){
html{font-size:16px}
main{padding-top:1.4rem}
.answer{margin-left:-.25rem;margin-right:-.25rem;padding:1.05rem 1rem}
.sentence{font-size:1.24rem}
.figure .wide{display:none}
.figure .narrow{display:block}
section{margin-top:2.2rem}
.facts{grid-template-columns:1fr 1fr}
}
`;

const print = `
@page{margin:16mm 15mm}
@media print{
html{font-size:10.5pt;background:#fff}
main{max-width:none;padding:0}
.skip,.live,.numbers,.more>summary,details:not(.more,[open]){display:none!important}
.more::details-content{content-visibility:visible;block-size:auto}
.figure .static,.figure.is-live .static{display:block}
.figure .wide{display:block}
.figure .narrow{display:none}
.figure,.answer,.checks>li,tr,.note{break-inside:avoid}
.figure svg{width:100%}
h2,h3,h4,caption,thead,thead tr,dt,.figure-title,p:has(+pre),p:has(+table){break-after:avoid}
section{margin-top:1.3rem;padding-top:.9rem}
p,li{orphans:3;widows:3}
.scroll{overflow:visible;background:none}
table.data th.words,table.data td.words{min-width:0}
table.data td,table.data th.words{overflow-wrap:anywhere}
.answer{border:1px solid var(--rule)}
a{color:inherit}
}
`;

/** The style of every page: one column, system fonts, our palette, screen and paper. */
export function pageStyle(): string {
  return [paletteCss(':root'), screen, answer, sections, print].map((part) => part.trim()).join('\n');
}
