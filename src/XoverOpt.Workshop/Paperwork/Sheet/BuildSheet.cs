using System.Security.Cryptography;
using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>
/// One printed A4 page that a bench can build from and test by: parts, cuts, wiring, drawings, expected curve with limits, checks in order, cautions,
/// identity. A page of HTML that needs nothing else: its style is within it, and there is no script and no address.
/// </summary>
public static class BuildSheet
{
    /// <summary>From this width on a schematic takes the whole width of the page, px.</summary>
    private const double WideSchematic = 820;

    /// <summary>Heights that the style knows, mm.</summary>
    private static readonly int[] _fits = [95, 85, 75, 65, 55, 45];

    /// <summary>Rows of parts that fit in ordinary print.</summary>
    private const int MostRows = 14;

    /// <summary>The hash of the page's style, as a content security policy names it.</summary>
    public static string StyleHash { get; } = "'sha256-" + Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(SheetStyle.Css))) + "'";

    /// <summary>The page. The same arguments give the same text, in any culture.</summary>
    /// <param name="build">The build with its job.</param>
    /// <param name="limits">What a unit is measured against.</param>
    /// <param name="limitsFrom">Where these limits come from, in words.</param>
    /// <param name="origin">Where the build comes from.</param>
    public static string Html(BuildInJob build, UnitLimits limits, string limitsFrom, SheetOrigin origin)
    {
        Problem problem = build.Job.Problem;
        RankedBuild judged = new BuildEvaluation(problem).Judge(build.Build.Earpiece, build.Build.RelaxedCost ?? double.NaN);
        string key = BuildKey.Of(build.Build.Earpiece);
        SvgDrawing schematic = NetworkSchematic.Draw(build.Build.Earpiece);
        bool wide = schematic.Extent.Width > WideSchematic;
        bool dense = SheetTables.PartRows(build) > MostRows;
        int fit = Fit(SheetTables.PartRows(build), dense, build.Build.Earpiece.Ways.Count, judged);
        string network = NetworkSchematic.Svg(build.Build.Earpiece), acoustics = AssemblyDrawing.Svg(build.Build.Earpiece, build.Body, wide ? 84 : 88, wide ? 66 : fit);
        string curve = SpreadPlot.LimitsSvg(limits, problem, 500, wide ? 235 : 265);
        string checks = SheetTables.Checks(BenchChecks.Of(build), build, limitsFrom);
        string figures = SheetTables.Figures(judged, problem);
        string name = problem.Name, rank = (origin.Rank ?? build.Build.Rank) is { } number ? FormattableString.Invariant($"build {number}") : "build";
        StringBuilder page = new();
        page.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
            .Append("<title>").Append(Xml.Escape($"Build sheet: {name}, {rank}")).Append("</title>\n<style>").Append(SheetStyle.Css).Append("</style>\n</head>\n<body>\n<main").Append(dense ? " class=\"dense\"" : "").Append(">\n");
        page.Append("<header><div><h1>").Append(Xml.Escape(name)).Append("</h1><p>Build sheet, ").Append(Xml.Escape(rank))
            .Append(": one earpiece; a set takes two, left and right alike.</p>").Append(figures)
            .Append("<p class=\"fields\">Unit ____________ Side L / R &nbsp; Date ______________ Built by __________ Tested by __________</p>").Append("</div>")
            .Append(Identity(build, origin, key)).Append("</header>\n");
        page.Append("<div class=\"row\"><section class=\"parts\"><h2>Parts</h2>").Append(SheetTables.Parts(build)).Append("</section><section><h2>Cut list</h2>")
            .Append(SheetTables.Cuts(build)).Append("<h2>Wiring, from the socket</h2>").Append(SheetTables.Wires(build.Build.Earpiece)).Append("</section></div>\n");
        string curveWithTable = $"<section class=\"curve\"><h2>Curve to measure</h2>{curve}{SheetTables.Limits(limits)}</section>";
        string assembly = $"<section class=\"assembly\"><h2>Acoustic side</h2>{acoustics}</section>";
        page.Append(wide
            ? $"<section class=\"wide\"><h2>Schematic</h2>{network}</section>\n<div class=\"row\">{assembly}{curveWithTable}</div>\n<section class=\"twocolumns\"><h2>Checks, in this order</h2>{checks}</section>\n"
            : $"<div class=\"row fit-{fit}\"><section class=\"schematic\"><h2>Schematic</h2>{network}</section>{assembly}</div>\n<div class=\"row\">{curveWithTable}<section><h2>Checks, in this order</h2>{checks}</section></div>\n");
        page.Append("<footer><p><strong>Take care of ears.</strong> ").Append(Xml.Escape(BuildFile.Caution))
            .Append(" The model is linear; the ear it holds stands for real ears from 100 Hz to 10 kHz only. Measure what you build.</p></footer>\n</main>\n</body>\n</html>\n");
        return page.ToString();
    }

    /// <summary>
    /// How high the drawings may be, mm, so that all fits on the page: what is written takes about so many lines of so many millimetres, counted on
    /// printed pages.
    /// </summary>
    private static int Fit(int partRows, bool dense, int ways, RankedBuild judged)
    {
        double warning = judged.Feasible ? 0 : 4 + (3.6 * Math.Ceiling((30 + string.Join("; ", judged.BrokenLimits).Length) / 80.0));
        double parts = 8 + ((partRows + 1) * (dense ? 3.2 : 3.8)), wiring = 20 + (ways * 12), page = 280 - 31 - warning - Math.Max(parts, wiring) - 76 - 13 - 10;
        return _fits.FirstOrDefault(height => height <= page, _fits[^1]);
    }

    private static string Identity(BuildInJob build, SheetOrigin origin, string key)
    {
        Problem problem = build.Job.Problem;
        List<(string Name, string Value)> rows =
        [
            ("run", origin.Run ?? "command line"),
            ("job", Short(problem.JobHash)),
            ("drawer", Short(problem.InventoryHash)),
            ("build", Short(CanonicalJson.Hash($"{key}\n{problem.JobHash}\n{problem.InventoryHash}"))),
            ("seed", FormattableString.Invariant($"{origin.Seed ?? problem.Effort.Seed}")),
            ("found by", Version(build.Build.ProgramVersion ?? "unknown")),
            ("written by", Version(BuildFile.ProgramVersion)),
        ];
        string warning = build.Build.JobHash is { } hash && hash != problem.JobHash ? "<p class=\"warning\">This build was found for another job than the one it is judged by here.</p>" : "";
        return "<div class=\"identity\"><table>" + string.Concat(rows.Select(row => $"<tr><th scope=\"row\">{row.Name}</th><td>{Xml.Escape(row.Value)}</td></tr>")) + $"</table>{warning}</div>";
    }

    private static string Short(string hash) => hash.Length > 16 ? hash[..16] : hash;

    /// <summary>The version with as much of its commit as tells it apart.</summary>
    private static string Version(string version) => version.IndexOf('+', StringComparison.Ordinal) is >= 0 and int plus ? version[..Math.Min(version.Length, plus + 10)] : version;
}
