using System.CommandLine;
using XoverOpt.Search;
using XoverOpt.Worker.Analyses;
using XoverOpt.Worker.Text;

namespace XoverOpt.Worker.Commands;

/// <summary><c>levels BUILD… --job JOB</c>: from the desk to the eardrum.</summary>
internal static class LevelsCommand
{
    private const string About = "Level budget of builds: sensitivity, how loud by frequency, what clips first on stage, and how long one may listen.";

    private const string Guide =
        """
        The chain is console, transmitter, body pack, earpiece; its defaults are common practice and have no source.
        Levels of the chain are those of a sine in dBu (0 dBu is 0.7746 V).

        Examples:
          xoveropt levels out/stage/builds/01.json --job jobs/stage.json
          xoveropt levels out/stage/builds/0[123].json --job jobs/stage.json --pack-max-volt 0.7 --pack-ohm 10 --desk-dbu 4

        Exit codes: 0 done; 1 a build, the job or an option is wrong.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        Option<string> field = new("--field")
        {
            Description = "The sound field exposure is referred to: diffuse or free (from the front).",
            HelpName = "FIELD",
            DefaultValueFactory = _ => LevelInput.Fields[0],
        };
        field.Allow(name => LevelInput.Fields.Contains(name), string.Join(" or ", LevelInput.Fields));
        GuidedCommand command = new("levels", About, Guide) { field };
        new AnalysisCommand(LevelInput.All, LevelText.Notes).AddTo(
            command,
            (build, parsed, given) => LevelBudget.Of(
                build.Build.Earpiece, build.Job.Problem, LevelInput.Settings(given, parsed.GetRequiredValue(field), build.Job.Problem)),
            LevelText.Lines);
        return command;
    }
}
