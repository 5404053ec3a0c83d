/**
 * Black on white, for a copier and for a pen: rules instead of shades, nothing told by colour. `size: auto` leaves the
 * sheet to the printer; the widest line fits the narrower of A4 and Letter. A box is 7.6 mm high, about what a form gives
 * to one line of handwriting (common practice, no source).
 */
export const paperStyle: string = `:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #000; font: 10pt/1.35 "Liberation Sans", Arial, Helvetica, sans-serif; }
main { max-width: 190mm; margin: 0 auto; padding: 8mm 5mm; }
h1 { font-size: 15pt; margin: 0 0 2mm; line-height: 1.2; }
h2 { font-size: 11.5pt; margin: 4mm 0 1mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
p { margin: 1mm 0; }
p, li, td, th, dd, h1, h2 { overflow-wrap: anywhere; }
p.danger { border: 0.6mm solid #000; padding: 0.8mm 2mm; font-size: 9.5pt; line-height: 1.2; font-weight: bold; break-inside: avoid; break-after: avoid; }
p.conclusion { font-size: 11pt; font-weight: bold; }
p.small { font-size: 8.5pt; }
ul { margin: 1mm 0; padding-left: 5mm; }
ul.ticks { list-style: none; padding: 0; columns: 2; font-size: 9pt; column-gap: 6mm; }
ul.ticks li { break-inside: avoid; margin: 0.6mm 0; padding-left: 6mm; position: relative; }
.tick { position: absolute; left: 0; top: 0.4mm; width: 3.6mm; height: 3.6mm; border: 0.3mm solid #000; }
dl { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0 4mm; margin: 1mm 0; }
.field { display: flex; gap: 2mm; align-items: flex-end; border-bottom: 0.25mm solid #000; min-height: 7mm; break-inside: avoid; }
.field.filled { min-height: 5mm; }
.field.row, .field.lines { grid-column: 1 / -1; }
.field.lines:not(.filled) { min-height: 14mm; align-items: flex-start; padding-top: 1mm; }
dt { font-weight: bold; font-size: 8.5pt; flex: 0 1 auto; padding-bottom: 0.4mm; }
dd { margin: 0; flex: 1; }
table { border-collapse: collapse; width: 100%; margin: 1mm 0 2.5mm; font-size: 9pt; line-height: 1.15; }
table.fixed { table-layout: fixed; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
tr.group { break-after: avoid; }
tr.group th { font-size: 9pt; border-bottom: 0.2mm solid #000; padding: 1.6mm 0 0.6mm; }
th { text-align: left; font-size: 8.5pt; border-bottom: 0.4mm solid #000; padding: 0.6mm 1.2mm; vertical-align: bottom; }
td { border-bottom: 0.2mm solid #000; padding: 0.9mm 1.2mm; vertical-align: top; }
td.box { border: 0.4mm solid #000; height: 7.6mm; text-align: right; vertical-align: bottom; font-size: 8pt; }
figure { margin: 2mm 0; break-inside: avoid; }
figure svg { display: block; max-width: 100%; height: auto; max-height: 220mm; margin: 0 auto; }
figure.sheet { margin: 0; break-before: page; break-after: page; }
figure.wide { page: wide; }
figure.tall { page: tall; }
figcaption { font-size: 8.5pt; margin-top: 1mm; }
.page { break-before: page; }
@media screen { .page { border-top: 0.3mm dashed #000; margin: 6mm 0; } }
@media print { main { max-width: none; padding: 0; } figure.wide svg { max-height: 193.5mm; } figure.tall svg { max-height: 262.5mm; } figure.wide.captioned svg { max-height: 186mm; } figure.tall.captioned svg { max-height: 255mm; } }
@page wide { size: landscape; margin: 8mm; }
@page tall { size: portrait; margin: 8mm; }
@page { size: auto; margin: 11mm 12mm; }
`;
