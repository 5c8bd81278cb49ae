using System.CommandLine;
using XoverOpt.Search;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Paperwork;

namespace XoverOpt.Worker.Commands;

/// <summary><c>sheet BUILD --job JOB</c>: the page a bench builds from.</summary>
internal static class SheetCommand
{
    private const string About = "Writes the build sheet of a build: one A4 page (HTML, nothing else needed) with parts, cuts, wiring, drawings, expected curve with limits, and checks.";

    private const string Guide =
        """
        Print it from a browser on A4 at 100 %. The limits of the curve are those of `spread --limits`; without such a file they are reckoned here
        from fewer units.

        Examples:
          xoveropt sheet out/stage/builds/01.json --job jobs/stage.json --out stage-01.html
          xoveropt spread out/stage/builds/01.json --job jobs/stage.json --limits bench/01.csv
          xoveropt sheet out/stage/builds/01.json --job jobs/stage.json --limits bench/01.csv --out stage-01.html

        Exit codes: 0 done; 1 the build, the job or the limits are wrong; 2 the file cannot be written.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Option<string?> limits = new("--limits") { Description = "Limits for the test bench (CSV), as spread writes them.", HelpName = "FILE" };
        GuidedCommand command = new("sheet", About, Guide) { limits };
        new PaperCommand("The page; standard output if left out.").AddTo(command, (build, parsed) =>
        {
            if (parsed.GetValue(limits) is not { } path)
            {
                return new Reading<string>(BuildSheet.Html(build, BuildDrawings.Limits(build, Environment.ProcessorCount), BuildDrawings.LimitsWords, new()), []);
            }

            Reading<UnitLimits> read = UnitLimitsFile.Read(path);
            return new(read.IsGood ? BuildSheet.Html(build, read.Value, $"the file {Path.GetFileName(path)}.", new()) : null, read.Faults);
        });
        return command;
    }
}
