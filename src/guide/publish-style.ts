// Style of guide and hand-out: paper and ink, one accent; A4 and Letter; nothing depends on colour.

export const GUIDE_STYLE = `
:root{--paper:#fbfaf5;--ink:#1c2328;--muted:#56636a;--line:#d0cbbc;--accent:#00626b;
--pic-paper:#fbfaf5;--pic-ink:#1c2328;--pic-faint:#56636a;--pic-rule:#d0cbbc;--pic-accent:#00626b}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 "Gill Sans","Gill Sans MT",Candara,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums}
main{max-width:52rem;margin:0 auto;padding:1.5rem}
h1{font-size:1.9rem;line-height:1.2;margin:0;font-weight:600}
h2{font-size:1.25rem;margin:2rem 0 .5rem;padding-top:.4rem;border-top:2px solid var(--ink);font-weight:600}
h3{font-size:1.05rem;margin:1.1rem 0 .2rem;font-weight:600}
p{margin:.35rem 0;max-width:44rem}
a{color:var(--accent)}
a:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
.facts,.quiet,caption,figcaption{color:var(--muted)}
.lead{font-size:1.15rem}
figure{margin:.8rem 0}
.standing{float:right;margin:0 0 .6rem 1.2rem;max-width:45%}
.standing svg,.photos img{display:block;max-width:100%;height:auto}
.photos{display:grid;grid-template-columns:repeat(auto-fit,minmax(15rem,1fr));gap:1rem}
.photos figure{margin:0}
table{border-collapse:collapse;width:100%;margin:.3rem 0 .8rem}
th,td{text-align:left;vertical-align:top;padding:.25rem .7rem .25rem 0;border-bottom:1px solid var(--line);font-weight:400}
thead th{border-bottom:1px solid var(--ink);color:var(--muted)}
caption{text-align:left;padding:.3rem 0;font-weight:600;color:var(--ink)}
tbody th{width:30%}
.value{white-space:nowrap}
.own{font-weight:600}
.scroll{overflow-x:auto}
.cautions{border:2px solid var(--ink);padding:.3rem 1rem .6rem;margin-top:2rem}
.cautions h2{border:0;margin:.4rem 0 .2rem;padding:0}
.cautions li{margin:.3rem 0}
ul,ol{padding-left:1.3rem;margin:.3rem 0}
.hash{overflow-wrap:anywhere;font-size:.85em}
footer{margin-top:2rem;border-top:1px solid var(--line);padding-top:.5rem}
.blank td{height:2.1rem;border:1px solid var(--ink);padding:.2rem .4rem}
.blank th{border:1px solid var(--ink);padding:.2rem .4rem}
.write{border-bottom:1px solid var(--ink);display:inline-block;min-width:11rem}
.box{display:inline-block;width:.95em;height:.95em;border:1.5px solid var(--ink);vertical-align:-.12em;margin-right:.4em}
@media screen and (max-width:40rem){main{padding:.9rem}.standing{float:none;max-width:100%;margin:0}.value{white-space:normal}tbody th{width:auto}}
@media print{
@page{margin:14mm}
:root{--paper:#fff;--pic-paper:#fff}
body{font-size:10pt;line-height:1.36}
main{max-width:none;padding:0}
h1{font-size:18pt}
h2{font-size:12pt;margin:1.1rem 0 .3rem;break-after:avoid}
h3{font-size:10.5pt;break-after:avoid}
tr,figure,.cautions li,article{break-inside:avoid}
thead{display:table-header-group}
.photos img{max-height:80mm}
a{color:inherit}
}
`

/** Size of the paper, when the page sets it. */
export const paperStyle = (paper: 'A4' | 'Letter' | null): string =>
  paper === null ? '' : `@media print{@page{size:${paper === 'A4' ? 'A4' : 'letter'}}}`
