using System.CommandLine;
using XoverOpt.Search;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Commands;

/// <summary><c>sources BUILD… --job JOB</c>: builds on other sources.</summary>
internal static class SourcesCommand
{
    private const string About = "How builds change on other output resistances, the load they are, and pads that hold the response.";

    private const string Guide =
        """
        A pad is one resistor in line and one across the socket, from the job's list; either may be left out. Of those that keep the
        change of shape on every source up to the one named, the one that costs least level is shown.

        Examples:
          xoveropt sources out/stage/builds/01.json --job jobs/stage.json
          xoveropt sources out/stage/builds/01.json --job jobs/stage.json --ohm 0.1 10 33 --within-db 0.5 --least-load-ohm 16

        Exit codes: 0 done; 1 a build, the job or an option is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        GuidedCommand command = new("sources", About, Guide);
        new AnalysisCommand(SourceInput.All, SourceText.Notes).AddTo(
            command, (build, _, given) => SourceSpread.Of(build.Build.Earpiece, build.Job.Problem, SourceInput.Settings(given)), SourceText.Lines);
        return command;
    }
}
