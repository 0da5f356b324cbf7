// Style of the sheet file: paper and ink, one accent, tabular figures; prints on A4 and Letter.

export const SHEET_STYLE = `
:root{--paper:#fbfaf5;--ink:#1c2328;--muted:#5d6a70;--line:#d9d5c8;--accent:#006d77;
--pic-paper:#fbfaf5;--pic-ink:#1c2328;--pic-faint:#5d6a70;--pic-rule:#d9d5c8;--pic-accent:#006d77}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:15px/1.45 "Gill Sans","Gill Sans MT",Candara,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums}
main{max-width:62rem;margin:0 auto;padding:1.5rem}
h1{font-size:1.75rem;margin:0;font-weight:600;letter-spacing:.01em}
h2{font-size:1.05rem;margin:1.4rem 0 .4rem;padding-top:.35rem;border-top:1px solid var(--ink);font-weight:600}
h3{font-size:1rem;margin:0;font-weight:600}
p{margin:.25rem 0}
.facts,.quiet,caption,figcaption{color:var(--muted)}
.verdict{font-size:1.12rem;margin:.5rem 0 1rem;max-width:46rem}
.log{display:flex;flex-wrap:wrap;align-items:flex-end;gap:10px}
.log figure,.plan{margin:0}
.print{flex:1 1 20rem;align-self:stretch}
.print h2{margin-top:0}
.print th{white-space:nowrap}
.log svg,.plan svg{display:block;max-width:100%;height:auto}
.finding{display:grid;grid-template-columns:2.2rem 1fr;gap:.1rem .6rem;margin:.7rem 0;break-inside:avoid}
.finding>svg{width:2rem;height:2rem}
.finding ul{margin:.15rem 0;padding-left:1.1rem}
.remedies li::marker{content:"→ ";color:var(--accent)}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:.12rem .6rem .12rem 0;border-bottom:1px solid var(--line);font-weight:400}
caption{text-align:left;padding:.3rem 0}
.height-table th,.height-table td{text-align:right}
.height-table{width:auto}
.rows td:last-child{white-space:nowrap}
.feet{display:grid;grid-template-columns:1fr 1fr 1fr;gap:0 1.4rem}
.feet ul{padding-left:1.1rem;margin:.2rem 0}
summary{cursor:pointer;color:var(--accent);padding:.4rem 0}
summary:focus-visible,a:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
.hash{overflow-wrap:anywhere;font-size:.85em}
.scroll{overflow-x:auto}
@media screen and (max-width:52rem){.feet{grid-template-columns:1fr}main{padding:.8rem}}
@media print{
@page{margin:10mm}
:root{--paper:#fff;--pic-paper:#fff}
body{font-size:8.8pt;line-height:1.22}
main{max-width:none;padding:0}
h1{font-size:16pt}
h2{font-size:10pt;margin:.7rem 0 .2rem;break-after:avoid}
h3{font-size:9.5pt}
.finding .quiet{font-size:7.6pt}
.verdict{font-size:10.5pt;margin:.2rem 0 .5rem}
.finding{margin:.3rem 0;grid-template-columns:1.8rem 1fr}
.log,.plan,.feet section,tr{break-inside:avoid}
.log{zoom:.82}
.print{font-size:8.5pt;line-height:1.2}
.print table,.print tbody{display:block}
.print tbody{columns:2;column-gap:1.4rem}
.print tr{display:grid;grid-template-columns:5.6rem 1fr}
.finding li:nth-child(n+3){display:none}
.feet{font-size:8pt;line-height:1.22}
.finding ul{margin:.05rem 0}
th,td{padding-top:.06rem;padding-bottom:.06rem}
.plan svg{max-height:38mm}
details{display:none}
}
`
