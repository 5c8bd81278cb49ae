using System.Text;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Paperwork;
using XoverOpt.Workshop.Running;

namespace XoverOpt.Worker.Text;

/// <summary>
/// The report on a search as one page of HTML that needs nothing else: ranked table, trade-offs, the best builds with their drawings, how sure
/// the result is, cautions. No script and no address; every name comes out as text.
/// </summary>
internal static class HtmlReport
{
    /// <summary>Builds that are shown in full.</summary>
    public const int Shown = 3;

    private const string Css =
        """

        :root { color-scheme: light dark; --line: #999; --back: #fff; --ink: #111; }
        @media (prefers-color-scheme: dark) { :root { --line: #666; --back: #14171a; --ink: #e8e8e8; } }
        body { margin: 0; background: var(--back); color: var(--ink); font: 15px/1.45 Helvetica, Arial, "Liberation Sans", "DejaVu Sans", sans-serif; }
        main { max-width: 1560px; margin: 0 auto; padding: 16px; }
        h1 { font-size: 26px; margin: 0 0 8px; overflow-wrap: anywhere; }
        h2 { font-size: 19px; margin: 28px 0 8px; border-bottom: 1px solid var(--line); }
        p { max-width: 100ch; margin: 0 0 8px; }
        .caution, .warning { border-left: 4px solid #D55E00; padding-left: 10px; }
        .scroll { overflow-x: auto; }
        table { border-collapse: collapse; font-size: 13px; }
        th, td { text-align: left; vertical-align: top; padding: 3px 12px 3px 0; border-bottom: 1px solid var(--line); }
        td:last-child { min-width: 22em; }
        .number { text-align: right; font-variant-numeric: tabular-nums; }
        pre { font: 12.5px/1.4 "DejaVu Sans Mono", "Liberation Mono", monospace; white-space: pre-wrap; overflow-wrap: anywhere; }
        .plots { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 560px), 1fr)); gap: 20px; align-items: start; }
        .plots svg { max-width: 100%; height: auto; }
        @media print { body { background: #fff; color: #000; font-size: 10pt; } main { padding: 0; } .build { break-before: page; } svg, tr { break-inside: avoid; } table { font-size: 7.5pt; } th, td { padding-right: 2mm; } }

        """;

    private static readonly (string Head, bool Number, Func<RankedBuild, string> Cell)[] _columns =
    [
        ("#", true, build => Numbers.Fixed(build.Rank, 0)),
        ("fits", false, build => build.Feasible ? "yes" : "no"),
        ("cost", true, build => Numbers.Fixed(build.Cost.Total, 3)),
        ("error RMS, dB", true, build => Numbers.Fixed(build.Figures.MagnitudeRmsDb, 2)),
        ("error at most, dB", true, build => Numbers.Fixed(build.Figures.MagnitudeMaxDb, 1)),
        ("phase at most, °", true, build => Numbers.Fixed(build.Figures.PhaseMaxDeg, 1)),
        ("arrivals apart, µs", true, build => Numbers.Fixed(build.Figures.ArrivalSpreadUs, 1)),
        ("summing loss, dB", true, build => Numbers.Fixed(build.Figures.SummingLossDb, 1)),
        ("level at 100 mV, dB", true, build => Numbers.Fixed(build.Figures.SplAt100mV, 1)),
        ("least impedance, Ω", true, build => Numbers.Fixed(build.Figures.ImpedanceMinOhm, 1)),
        ("parts, price", true, build => Numbers.Fixed((double?)build.Figures.PartsCost, 2)),
        ("receivers by way", false, build => string.Join(" · ", build.Earpiece.Ways.Select(WayText.Short))),
    ];

    /// <summary>The page. The same arguments give the same text.</summary>
    /// <param name="result">What the search found.</param>
    /// <param name="job">The job.</param>
    /// <param name="robust">Which build holds up best, in words; null where the job did not ask.</param>
    public static string Html(SearchResult result, JobDocument job, string? robust)
    {
        Problem problem = job.Problem;
        StringBuilder page = new();
        page.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>")
            .Append(Xml.Escape(problem.Name)).Append("</title>\n<style>").Append(Css).Append("</style>\n</head>\n<body>\n<main>\n<h1>").Append(Xml.Escape(problem.Name)).Append("</h1>\n");
        Paragraph(page, BuildFile.Caution, "caution");
        if (job.Note is { } note)
        {
            Paragraph(page, note);
        }

        if (RunVerdict.Complaint(result) is { } complaint)
        {
            Paragraph(page, complaint, "warning");
        }

        Ranked(page, result.Builds);
        TradeOffs(page, result.Builds);
        page.Append("<section><h2>How sure are we?</h2>\n");
        foreach (string line in SearchText.Lines(result).Concat(robust is null ? [] : [robust]).Append(Report.Model))
        {
            Paragraph(page, line.Trim());
        }

        page.Append("</section>\n");
        foreach (RankedBuild build in result.Builds.Take(Shown))
        {
            Build(page, build, job);
        }

        page.Append("<footer>");
        Paragraph(page, $"Job {problem.JobHash}, drawer {problem.InventoryHash}, written by version {BuildFile.ProgramVersion}.");
        Paragraph(page, BuildFile.Caution, "caution");
        return page.Append("</footer>\n</main>\n</body>\n</html>\n").ToString();
    }

    private static void Ranked(StringBuilder page, IReadOnlyList<RankedBuild> builds)
    {
        page.Append("<section><h2>Builds, best first</h2>\n<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Builds\"><table><thead><tr>")
            .AppendJoin("", _columns.Select(column => $"<th scope=\"col\"{(column.Number ? " class=\"number\"" : "")}>{Xml.Escape(column.Head)}</th>")).Append("</tr></thead><tbody>\n");
        foreach (RankedBuild build in builds)
        {
            page.Append("<tr>").AppendJoin("", _columns.Select(column => $"<td{(column.Number ? " class=\"number\"" : "")}>{Xml.Escape(column.Cell(build))}</td>")).Append("</tr>\n");
        }

        page.Append("</tbody></table></div>\n");
        Paragraph(page, "fits: keeps every limit. Level at the eardrum at 500 Hz, dB re 20 µPa. ∥ in parallel, + in series, ⟲ leads turned over.");
        page.Append("</section>\n");
    }

    private static void TradeOffs(StringBuilder page, IReadOnlyList<RankedBuild> builds)
    {
        TradeOffFront[] fronts = [.. TradeOffFronts.Of(builds).Where(front => front.Ranks.Count > 1)];
        if (fronts.Length == 0)
        {
            return;
        }

        page.Append("<section><h2>Trade-offs</h2>\n<pre>").Append(Xml.EscapeLines(string.Join('\n', FrontText.Lines(builds)))).Append("</pre>\n<div class=\"plots\">\n");
        foreach (TradeOffFront front in fronts)
        {
            page.Append(TradeOffPlot.Svg(builds, front));
        }

        page.Append("</div></section>\n");
    }

    private static void Build(StringBuilder page, RankedBuild build, JobDocument job)
    {
        BuildInJob whole = new(job, new BuildDocument { Earpiece = build.Earpiece, Rank = build.Rank });
        page.Append(Numbers.Invariant($"<section class=\"build\"><h2>Build {build.Rank}</h2>\n<pre>")).Append(Xml.EscapeLines(string.Join('\n', BuildText.Lines(build, job.Problem)))).Append("</pre>\n<div class=\"plots\">\n");
        foreach (string name in BuildDrawings.Names.Where(name => !BuildDrawings.DrawsUnits(name)))
        {
            page.Append(BuildDrawings.Svg(name, whole, 1));
        }

        page.Append("</div></section>\n");
    }

    private static void Paragraph(StringBuilder page, string text, string? kind = null) =>
        page.Append(kind is null ? "<p>" : $"<p class=\"{kind}\">").Append(Xml.Escape(text)).Append("</p>\n");
}
