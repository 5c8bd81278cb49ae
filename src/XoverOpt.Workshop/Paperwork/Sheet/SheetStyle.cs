namespace XoverOpt.Workshop.Paperwork;

/// <summary>The style of a build sheet: a page of A4 in black on white, on a screen as on paper.</summary>
internal static class SheetStyle
{
    /// <summary>The sheet; what lies between the tags of its style element.</summary>
    public const string Css =
        """

        @page { size: A4 portrait; margin: 8mm 9mm; }
        * { box-sizing: border-box; }
        html { color-scheme: light; background: #fff; color: #000; }
        body { margin: 0; font: 7.6pt/1.25 Helvetica, Arial, "Liberation Sans", "DejaVu Sans", sans-serif; }
        /* One page: what is drawn gives way to what is written, here and in the steps of fit below. */
        main { width: 192mm; height: 280mm; margin: 0 auto; display: flex; flex-direction: column; }
        main > * { flex: none; }
        main > .wide { flex: 0 1 auto; min-height: 30mm; display: flex; flex-direction: column; }
        .wide svg { flex: 0 1 auto; min-height: 0; }
        .wide h2 { flex: none; }
        @media screen { body { padding: 8mm 0; } }
        h1 { font-size: 13pt; line-height: 1.1; margin: 0 0 1mm; overflow-wrap: anywhere; }
        h2 { font-size: 8.4pt; margin: 0 0 0.8mm; border-bottom: 0.3mm solid #000; }
        p { margin: 0 0 0.8mm; }
        header { display: flex; gap: 5mm; justify-content: space-between; margin-bottom: 2mm; }
        header > div:first-child { flex: 1; min-width: 0; }
        .identity { flex: none; max-width: 54mm; font-size: 6.6pt; }
        .identity table { width: auto; }
        .row { display: flex; gap: 4mm; margin-bottom: 2mm; align-items: flex-start; }
        .row > section { flex: 1 1 0; min-width: 0; }
        .row > .parts { flex: 1.15 1 0; }
        .row > .schematic { flex: 1.15 1 0; }
        .row > .curve { flex: 1.25 1 0; }
        section h2 + table { margin-bottom: 0.8mm; }
        table { border-collapse: collapse; width: 100%; font-size: 7.2pt; }
        th, td { text-align: left; padding: 0.25mm 2mm 0.25mm 0; vertical-align: top; border-bottom: 0.1mm solid #999; overflow-wrap: anywhere; }
        th { font-weight: bold; white-space: nowrap; }
        .number { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
        .fields { margin-top: 1.6mm; }
        .no { white-space: nowrap; font-weight: bold; }
        .parts .no { white-space: normal; }
        .limits { font-size: 6.6pt; }
        ul, ol { margin: 0; padding-left: 4mm; }
        .checks li { margin-bottom: 0.9mm; }
        .twocolumns ol { columns: 2; column-gap: 6mm; }
        .twocolumns { margin-bottom: 2mm; }
        .wide { margin-bottom: 2mm; }
        .warning { border: 0.4mm solid #000; padding: 0.6mm 1mm; font-weight: bold; }
        svg { display: block; max-width: 100%; height: auto; }
        .fit-95 svg { max-height: 95mm; }
        .fit-85 svg { max-height: 85mm; }
        .fit-75 svg { max-height: 75mm; }
        .fit-65 svg { max-height: 65mm; }
        .fit-55 svg { max-height: 55mm; }
        .fit-45 svg { max-height: 45mm; }
        .wide svg { max-height: 80mm; margin: 0 auto; }
        .dense table { font-size: 6.5pt; line-height: 1.15; }
        .curve svg { width: 100%; }
        footer { margin-top: auto; border-top: 0.3mm solid #000; padding-top: 0.8mm; font-size: 6.8pt; }

        """;
}
