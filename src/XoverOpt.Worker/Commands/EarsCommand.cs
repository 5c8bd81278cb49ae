using System.CommandLine;
using XoverOpt.Search;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Commands;

/// <summary><c>ears BUILD… --job JOB</c>: builds in other ears.</summary>
internal static class EarsCommand
{
    private const string About = "How builds change in other ears: depth, size, leak, an opened mouth, unlike left and right; and which moves least.";

    private const string Guide =
        """
        The ears are choices to compare builds by; they stand under the tables.

        Examples:
          xoveropt ears out/stage/builds/01.json --job jobs/stage.json
          xoveropt ears out/stage/builds/0[123].json --job jobs/stage.json --leak-mm 0.5 --left-percent 80 --right-percent 120

        Exit codes: 0 done; 1 a build, the job or an option is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        GuidedCommand command = new("ears", About, Guide);
        new AnalysisCommand(EarInput.All, EarText.Notes).AddTo(
            command, (build, _, given) => EarSpread.Of(build.Build.Earpiece, build.Job.Problem, EarInput.Settings(given)), EarText.Lines);
        return command;
    }
}
